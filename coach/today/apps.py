"""The first page as an app: it only adds its section."""

from __future__ import annotations

from django.apps import AppConfig


class TodayConfig(AppConfig):
    name = "coach.today"

    def ready(self) -> None:
        from coach.today import registered  # noqa: PLC0415  # models load after the apps do

        registered.register()
