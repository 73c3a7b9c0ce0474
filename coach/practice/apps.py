"""The practice as an app: its triggers and what it registers."""

from __future__ import annotations

from typing import Any

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class PracticeConfig(AppConfig):
    name = "coach.practice"
    label = "practice"

    def ready(self) -> None:
        from coach.practice import registered  # noqa: PLC0415  # models load after the apps do

        registered.register()
        post_migrate.connect(_protect_audit_trail, sender=self)


def _protect_audit_trail(**_: Any) -> None:
    from coach.practice import audit  # noqa: PLC0415  # models load after the apps do

    audit.make_append_only()
