"""Diary as an app."""

from __future__ import annotations

from django.apps import AppConfig


class DiaryConfig(AppConfig):
    name = "coach.diary"
    label = "diary"

    def ready(self) -> None:
        from coach.diary import registered  # noqa: PLC0415  # models load after the apps do

        registered.register()
