"""Histories for the tests of reassessment: rows of the table, and pregnancies of so many weeks."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from coach.scheduling.dates import Ending, PregnancyDates
from coach.scheduling.reassessment import Due, Found, History, due, rules_with

TODAY = date(2026, 12, 3)
TABLE = Path(__file__).parent / "reassessment_table.toml"
_MAY_SAY = {
    "given", "due_date", "born", "lost", "came", "allowed", "last", "answered", "away", "open",
    "own", "rules", "today", "by", "why", "later",
}  # fmt: skip


@dataclass(frozen=True)
class Row:
    """One row: given this history, when it is that day, then by when and why."""

    given: str
    history: History
    today: date
    rules: Mapping[str, int]
    by: date | None
    why: tuple[str, ...]
    later: tuple[str, ...]

    def due(self, *, today: date | None = None, **changed: Any) -> Due | None:
        """What the rules say of it, with another day or another history."""
        history = replace(self.history, **changed)
        return due(history, today=today or self.today, rules=rules_with(self.rules))


def rows() -> list[Row]:
    """The table; ValueError for a key that no row may have."""
    found = tomllib.loads(TABLE.read_text())["row"]
    for one in found:
        if unknown := one.keys() - _MAY_SAY:
            raise ValueError(f"{one['given']}: {unknown}")
    return [_row(one) for one in found]


def _row(one: Mapping[str, Any]) -> Row:
    away = one.get("away", ["", ""])
    history = History(
        pregnancies=_pregnancies(one),
        last=_day(one, "last"),
        go_ahead_on=_day(one, "allowed"),
        signs_answered=tuple(map(date.fromisoformat, one.get("answered", []))),
        away_from=date.fromisoformat(away[0]) if away[0] else None,
        back_on=date.fromisoformat(away[1]) if away[1] else None,
        findings=tuple(_found(*said) for said in one.get("open", [])),
        every_weeks=one.get("own"),
        since=_day(one, "came"),
    )
    return Row(
        given=one["given"],
        history=history,
        today=date.fromisoformat(one["today"]),
        rules=one.get("rules", {}),
        by=_day(one, "by"),
        why=tuple(one.get("why", ())),
        later=tuple(one.get("later", ())),
    )


def _day(one: Mapping[str, Any], name: str) -> date | None:
    return date.fromisoformat(one[name]) if name in one else None


def _pregnancies(one: Mapping[str, Any]) -> tuple[PregnancyDates, ...]:
    if "due_date" in one:
        return (PregnancyDates(due=_day(one, "due_date")),)
    if "born" in one:
        return (PregnancyDates(ended=_day(one, "born"), ending=Ending.BIRTH),)
    return (PregnancyDates(ended=_day(one, "lost"), ending=Ending.LOSS),) if "lost" in one else ()


def _found(words: str, sort: str, since: str, day: str) -> Found:
    days = (date.fromisoformat(since), date.fromisoformat(day))
    return Found(words, words, {"symptom": True, "found": False}[sort], *days)


def before(weeks: int, days: int = 0) -> date:
    """A day so long ago."""
    return TODAY - timedelta(weeks=weeks, days=days)


def born(weeks: int, days: int = 0) -> tuple[PregnancyDates, ...]:
    """A birth so long ago."""
    return (PregnancyDates(ended=before(weeks, days), ending=Ending.BIRTH),)


def carrying(weeks: int, days: int = 0) -> tuple[PregnancyDates, ...]:
    """A pregnancy that is so far along today."""
    return (PregnancyDates(due=TODAY + timedelta(days=280 - weeks * 7 - days)),)
