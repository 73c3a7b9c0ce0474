"""Letters, warning signs and assessments of the demo practice, from demo/*.csv."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from clients.actions import (
    close_follow_up,
    record_clearance,
    record_screening,
    record_warning_sign,
    rewrite_all_spans,
    set_place,
    write_entry,
)
from clients.models import Client, WarningSign
from clients.rules.facts import ClearanceFact, ClearanceWord, KnownBy
from clients.rules.screening import questions_for
from clients.rules.warning_signs import AFTER, PREGNANT
from coach.management import demo_assessments
from coach.management.demo_rows import rows
from coach.practice import audit
from coach.practice.models import User
from coach.practice.writing import change
from coach.scheduling.values import Limits

COACH = "Nuala Keane-Moor"


def fill(today: date) -> None:
    """Everything that was said, noticed and measured; the clients are there already."""
    by_name = {client.name: client for client in Client.objects.all()}
    signs = _signs(by_name, today)
    _screenings(by_name, today)
    _places(by_name, today)
    _entries(by_name, today)
    for row in rows("letters.csv"):
        facts = _letter(row, signs.get(row["name"], []), today)
        record_clearance(
            by=audit.SYSTEM, client=by_name[row["name"]], facts=facts, note=row["note"]
        )
    demo_assessments.fill(by_name, today)
    # Those of whom nothing was said have their days as well.
    rewrite_all_spans()


def _screenings(by_name: dict[str, Client], today: date) -> None:
    """Every question answered with no, but for those of the row."""
    for row in rows("screenings.csv"):
        client = by_name[row["name"]]
        running = client.pregnancies.filter(ended__isnull=True).exists()
        phase = PREGNANT if running else AFTER
        told = dict(pair.split() for pair in filter(None, row["answers"].split("; ")))
        every = {one.code: "no" for one in questions_for(phase)}
        made = record_screening(
            by=audit.SYSTEM,
            client=client,
            phase=phase,
            answers=every | told,
            answered_on=_day(row["when"], today),
            how="form",
        )
        # No action keeps a thing as known in the past: she sent the form on that day.
        change(made, known_on=made.answered_on)
        for condition in made.conditions.all():
            change(condition, known_on=made.answered_on)


def _places(by_name: dict[str, Client], today: date) -> None:
    for row in rows("places.csv"):
        away = row.pop("away_days")
        client = by_name[row.pop("name")]
        until = _day(away, today) if away else None
        set_place(by=audit.SYSTEM, client=client, away_until=until, **row)


def _entries(by_name: dict[str, Client], today: date) -> None:
    hers = audit.Actor(User.objects.get(name=COACH))
    for row in rows("notes.csv"):
        write_entry(
            by=hers,
            client=by_name[row["name"]],
            kind=row["kind"],
            day=_day(row["when"], today),
            text=row["text"],
            channel=row["channel"],
        )


def _signs(by_name: dict[str, Client], today: date) -> dict[str, list[tuple[int, date]]]:
    found: dict[str, list[tuple[int, date]]] = {}
    for row in rows("signs.csv"):
        known = _day(row["known"], today)
        made = record_warning_sign(
            by=audit.SYSTEM,
            client=by_name[row["name"]],
            code=row["sign"],
            happened_on=_day(row["happened"], today),
            known_on=known,
            text=row["note"],
        )
        if row["advised"]:
            _follow_up(made, row["advised"])
        found.setdefault(row["name"], []).append((made.pk, known))
    return found


def _follow_up(sign: WarningSign, advice: str) -> None:
    who, what, back = advice.split("; ")
    close_follow_up(by=audit.SYSTEM, sign=sign, advised_by=who, advice=what, graded_return=back)


def _letter(row: dict[str, str], signs: list[tuple[int, date]], today: date) -> ClearanceFact:
    """A letter answers the signs that were known when it was written."""
    said = _day(row["said"], today)
    until = row["until"]
    return ClearanceFact(
        said_on=said,
        word=ClearanceWord(row["word"]),
        known_by=KnownBy(row["known_by"]),
        known_on=min(said + timedelta(days=1), today),
        limits=_limits(row["limits"]),
        until=_day(until, today) if until not in {"", "birth"} else None,
        until_birth=until == "birth",
        answers=tuple(pk for pk, known in signs if known <= said),
        clinician=row["clinician"],
        clinician_kind=row["kind"],
        examined=row["examined"],
    )


def _limits(words: str) -> Limits:
    plain = {
        "impact": "no_impact",
        "flat": "not_lying_flat",
        "flexion": "no_loaded_trunk_flexion",
        "gentle": "gentle_recovery_only",
    }
    counted = {"lift": "lift_at_most_kg", "effort": "effort_at_most"}
    found: dict[str, Any] = {}
    for word in filter(None, words.split("; ")):
        name, _, number = word.partition(" ")
        found |= {counted[name]: int(number)} if number else {plain[name]: True}
    return Limits(**found)


def _day(days: str, today: date) -> date:
    return today + timedelta(days=int(days))
