"""Feeds as an app."""

from __future__ import annotations

from django.apps import AppConfig


class FeedsConfig(AppConfig):
    name = "coach.feeds"
    label = "feeds"

    def ready(self) -> None:
        from coach.feeds import registered  # noqa: PLC0415  # models load after the apps do

        registered.register()
