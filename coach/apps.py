"""The project itself as an app: its commands, template tags and static files."""

from django.apps import AppConfig


class CoachConfig(AppConfig):
    name = "coach"
    label = "coach"
