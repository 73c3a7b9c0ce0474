"""Reads for the page of settings about measuring."""

from __future__ import annotations

from dataclasses import dataclass

from clients.models import Client, FingerWidth, MeasuringPolicy, OwnMeasure
from clients.queries.decided import Decided
from clients.rules.measuring_policy_words import changes_words
from clients.rules.own_measures import BETTER
from coach.practice.models import User


def measuring_history() -> list[Decided]:
    """Every choice that was ever put in force, the latest first, in one query."""
    rows = MeasuringPolicy.objects.select_related("by").order_by("-begins")
    return [
        Decided(
            row.begins, row.reason, row.by.name if row.by else "", tuple(changes_words(row.values))
        )
        for row in rows
    ]


@dataclass(frozen=True, slots=True)
class OwnLine:
    """A measure of the practice's own, as the page lists it."""

    pk: int
    name: str
    note: str
    retired: bool


def own_lines() -> list[OwnLine]:
    """All of them, those still asked first, in one query."""
    rows = sorted(OwnMeasure.objects.all(), key=lambda row: (row.retired, row.pk))
    return [OwnLine(row.pk, row.name, _note(row), row.retired) for row in rows]


def _note(row: OwnMeasure) -> str:
    between = f"{row.least} to {row.most}" if row.least and row.most else ""
    one_end = f"at least {row.least}" if row.least else f"at most {row.most}" if row.most else ""
    better = BETTER[row.better] if row.better else ""
    return " · ".join(part for part in (row.unit, better, between or one_end) if part)


def finger_row(*, user: User | None = None, client: Client | None = None) -> FingerWidth | None:
    """The width of the finger of somebody of the practice, or of a client; None: not known."""
    rows = FingerWidth.objects.all()
    return (rows.filter(user=user) if user else rows.filter(client=client)).first()
