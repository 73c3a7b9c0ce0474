"""Where a client is while she trains, and whom to ring there. Pure."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from clients.rules.pregnancies import Problem


@dataclass(frozen=True, slots=True)
class Place:
    """What is kept of where she trains; "" and None are "not known".

    The `away_` ones hold until `away_until`, inclusive.
    """

    trains_at: str = ""
    emergency_number: str = ""
    emergency_contact: str = ""
    emergency_phone: str = ""
    away_at: str = ""
    away_emergency_number: str = ""
    away_until: date | None = None

    def is_away(self, on: date) -> bool:
        """Whether she is away on a day."""
        return self.away_until is not None and on <= self.away_until

    def address(self, on: date) -> str:
        """Where she is on a day; empty is not known."""
        return self.away_at if self.is_away(on) else self.trains_at

    def number(self, on: date) -> str:
        """The emergency number of where she is on a day; empty is not known.

        While she is away never the one at home: it may not answer there.
        """
        return self.away_emergency_number if self.is_away(on) else self.emergency_number


def place_problems(place: Place, *, today: date) -> list[Problem]:
    """Everything that speaks against keeping this; `today`: the earliest date it is anywhere."""
    if place.away_until is None:
        told = place.away_at or place.away_emergency_number
        return [Problem("away_until", "Say until which day she is away.")] if told else []
    if not place.away_at:
        return [Problem("away_at", "Write where she is until then.")]
    if place.away_until < today:
        return [Problem("away_until", "That day is over: take it out, or put it right.")]
    return []
