"""What this room registers: its section."""

from __future__ import annotations

from coach.practice.permissions import Fact
from coach.practice.registry import Room, Section
from coach.practice.registry import register as _register


def register() -> None:
    """Called when the app is ready."""
    _register(
        Room(
            name="diary",
            facts={},
            sections=(Section("Diary", "diary:index", 50, Fact.HEALTH, ("diary",)),),
        )
    )
