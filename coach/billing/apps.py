"""Billing as an app: its triggers and what it registers."""

from __future__ import annotations

from typing import Any

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class BillingConfig(AppConfig):
    name = "coach.billing"
    label = "billing"

    def ready(self) -> None:
        from coach.billing import registered  # noqa: PLC0415  # models load after the apps do

        registered.register()
        post_migrate.connect(_freeze, sender=self)


def _freeze(**_: Any) -> None:
    from coach.billing import frozen  # noqa: PLC0415  # models load after the apps do

    frozen.make_append_only()
