"""Classes and uploads as an app."""

from __future__ import annotations

from django.apps import AppConfig


class ContentConfig(AppConfig):
    name = "content"

    def ready(self) -> None:
        from content import registered  # noqa: PLC0415  # models load after the apps do

        registered.register()
