"""What this room registers."""

from __future__ import annotations

from clients.models import Client, DueDateChange, Pregnancy
from coach.practice.permissions import Fact
from coach.practice.registry import Room, Section
from coach.practice.registry import register as _register

_CLIENT = {
    "name": Fact.CONTACT,
    "email": Fact.CONTACT,
    "phone": Fact.CONTACT,
    "time_zone": Fact.CONTACT,
    "standing": Fact.CONTACT,
    "quiet": Fact.HEALTH,
    "note": Fact.HEALTH,
}
_PREGNANCY = {
    "client": Fact.HEALTH,
    "due": Fact.STAGE,
    "dated_by": Fact.HEALTH,
    "expected": Fact.HEALTH,
    "ended": Fact.STAGE,
    "ending": Fact.HEALTH,
    "birth_mode": Fact.HEALTH,
    "born": Fact.HEALTH,
}
_DUE_DATE_CHANGE = dict.fromkeys(
    ("pregnancy", "old", "old_dated_by", "new", "reason", "by", "at"), Fact.HEALTH
)


def register() -> None:
    """Called when the app is ready."""
    _register(
        Room(
            name="clients",
            facts={
                Client: _CLIENT,
                Pregnancy: _PREGNANCY,
                DueDateChange: _DUE_DATE_CHANGE,
            },
            sections=(Section("Clients", "clients:roster", 40, Fact.CONTACT, ("clients",)),),
        )
    )
