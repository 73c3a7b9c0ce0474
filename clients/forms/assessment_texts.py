"""What stands in the fields of an assessment before anybody types: as last time, or as kept."""

from __future__ import annotations

from clients.queries.entry import EntryFacts
from clients.rules.assessment import Measured
from clients.rules.entry_words import text_of
from clients.rules.measuring import CLINICIAN, COACH


def begins_with(facts: EntryFacts, before: Measured | None) -> dict[str, str]:
    """What a fresh page holds: how it was done last time, else as the practice does it."""
    mine = before if before and before.who != CLINICIAN and before.method else None
    return {
        "day": facts.day.isoformat(),
        "who": mine.who if mine else COACH,
        "method": mine.method if mine else facts.chosen.method,
        "position": mine.position if mine else facts.chosen.position,
    }


def stored_texts(facts: EntryFacts, you: str) -> dict[str, str]:
    """What a kept one holds, as it stands in the fields."""
    row = facts.row
    assert row is not None
    mine = row.who == COACH and row.by == you
    return {
        **{code: text_of(value) for code, value in row.measures.items()},
        "day": row.day.isoformat(),
        "who": row.who,
        "by": "" if mine else row.by,
        "method": row.method,
        "position": row.position,
        "finger_mm": text_of(row.finger_mm),
        "origin": row.origin,
    }
