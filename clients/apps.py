"""Clients as an app."""

from __future__ import annotations

from typing import Any

from django.apps import AppConfig
from django.db import connection
from django.db.models.signals import post_migrate


class ClientsConfig(AppConfig):
    name = "clients"

    def ready(self) -> None:
        from clients import registered  # noqa: PLC0415  # models load after the apps do

        registered.register()
        post_migrate.connect(_rewrite_spans, sender=self)


def _rewrite_spans(*, plan: Any = (), **_: Any) -> None:
    """After every migration, because the rules may have changed with the program."""
    from clients import actions, models  # noqa: PLC0415  # models load after the apps do

    went_back = any(backwards for _, backwards in plan)
    if went_back or models.MeasuringPolicy._meta.db_table not in _tables():
        return  # the tables are not those of these models
    if models.Client.objects.exists():
        actions.rewrite_all_spans()
        actions.rewrite_all_summaries()


def _tables() -> list[str]:
    return connection.introspection.table_names()
