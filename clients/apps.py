"""Clients as an app."""

from __future__ import annotations

from django.apps import AppConfig


class ClientsConfig(AppConfig):
    name = "clients"

    def ready(self) -> None:
        from clients import registered  # noqa: PLC0415  # models load after the apps do

        registered.register()
