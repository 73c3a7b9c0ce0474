"""What this room registers."""

from __future__ import annotations

from clients.models import (
    Assessment,
    Clearance,
    Client,
    DueDateChange,
    GoAheadSpan,
    Pregnancy,
    WarningSign,
)
from clients.queries import spans_as_the_facts_say
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
    "known_on": Fact.HEALTH,
    "earlier": Fact.HEALTH,
}
_DUE_DATE_CHANGE = dict.fromkeys(
    ("pregnancy", "old", "old_dated_by", "new", "reason", "by", "at"), Fact.HEALTH
)
_CLEARANCE = {
    **dict.fromkeys(
        (
            "client", "said_on", "word", "clinician", "clinician_kind", "examined", "known_by",
            "known_on", "until", "until_birth", "answers", "document", "note", "withdrawn_on",
            "withdrawn_reason",
        ),
        Fact.HEALTH,
    ),
    "limits": Fact.LIMITS,
}  # fmt: skip
_SIGN = dict.fromkeys(("client", "code", "text", "happened_on", "known_on"), Fact.HEALTH)
_ASSESSMENT = dict.fromkeys(("client", "day", "measures", "by", "how"), Fact.HEALTH)
# The last day of a span may be a due date.
_SPAN = {
    "client": Fact.GO_AHEAD,
    "word": Fact.GO_AHEAD,
    "first": Fact.STAGE,
    "last": Fact.STAGE,
}


def register() -> None:
    """Called when the app is ready."""
    _register(
        Room(
            name="clients",
            facts={
                Client: _CLIENT,
                Pregnancy: _PREGNANCY,
                DueDateChange: _DUE_DATE_CHANGE,
                Clearance: _CLEARANCE,
                WarningSign: _SIGN,
                GoAheadSpan: _SPAN,
                Assessment: _ASSESSMENT,
            },
            checks=(spans_as_the_facts_say,),
            sections=(Section("Clients", "clients:roster", 40, Fact.CONTACT, ("clients",)),),
        )
    )
