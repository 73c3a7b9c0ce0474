"""What this room registers."""

from __future__ import annotations

from coach.feeds.models import FeedAddress
from coach.practice.permissions import Fact
from coach.practice.registry import Room
from coach.practice.registry import register as _register

_SEEN = ("kind", "person", "withdrawn_at", "last_read_at")


def register() -> None:
    """Called when the app is ready."""
    _register(
        Room(
            name="feeds",
            facts={FeedAddress: dict.fromkeys(_SEEN, Fact.PRACTICE)},
            own_fields=frozenset({"id", "created_at", "token_hash"}),
        )
    )
