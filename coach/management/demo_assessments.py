"""Assessments of the demo practice, from demo/assessments.csv, with what it measures of its own."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from clients.actions import record_assessment, record_next_day
from clients.actions.fingers import set_finger
from clients.actions.own_measures import add_own_measure
from clients.actions.rhythm import set_interval, snooze
from clients.models import Client, Rhythm
from clients.rules.impact_tests import SYMPTOM, impact_tests
from clients.rules.measuring import FINGERS, NO, scheme
from clients.rules.own_measures import OwnFacts
from clients.rules.totals import totals
from coach.management.demo_rows import rows
from coach.practice import audit
from coach.practice.models import User
from coach.practice.permissions import Role
from coach.practice.writing import change

COACH, CLINICIAN = "Nuala Keane-Moor", "Dr Petronella Ashby"
OWN = {"sideplank": ("Side plank on the knees", "s", "more")}
FINGER_MM = 16
_UNTOLD = {"Odalys Brennan-Cruz", "Vera Sandoval-Byrne"}  # their dates of birth are not known
_SHORT = {"above": "above45", "below": "below45"}


def fill(by_name: Mapping[str, Client], today: date) -> None:
    """Everything measured, and what was decided of when; the clients are there already."""
    own = {
        code: add_own_measure(by=audit.SYSTEM, facts=OwnFacts(name, unit, better)).pk
        for code, (name, unit, better) in OWN.items()
    }
    owner = User.objects.filter(role=Role.OWNER).order_by("pk").first()
    set_finger(by=audit.SYSTEM, user=owner, mm=FINGER_MM, measured_on=today - timedelta(days=60))
    for n, name in enumerate(sorted(by_name)):
        if name not in _UNTOLD:
            born = date(1986 + n * 7 % 13, 1 + n * 5 % 12, 1 + n * 11 % 28)
            change(by_name[name], birth_date=born)
    for row in rows("assessments.csv"):
        _record(by_name[row["name"]], row, own, today)
    _decided(by_name, today)


def _decided(by_name: Mapping[str, Client], today: date) -> None:
    """One waits with its reason, one is seen more often, one is back after five weeks away."""
    snooze(
        by=audit.SYSTEM,
        client=by_name["Sanna Koivula-Reid"],
        until=today + timedelta(days=18),
        reason="Travelling until the middle of the month.",
    )
    set_interval(by=audit.SYSTEM, client=by_name["Gráinne Holloway"], every_weeks=3)
    back = by_name["Esme Thackery"]
    away, returned = today - timedelta(days=38), today - timedelta(days=3)
    Rhythm.objects.update_or_create(client=back, defaults={"away_from": away, "back_on": returned})


def _record(client: Client, row: Mapping[str, str], own: Mapping[str, int], today: date) -> None:
    values, note = _values(row["values"], own)
    after = values.pop("next", "")
    day = today + timedelta(days=int(row["when"]))
    by_coach = row["who"] == "coach"
    kept = record_assessment(
        by=audit.SYSTEM,
        client=client,
        day=day,
        values=values | ({"note": note} if note else {}),
        who=row["who"],
        measured_by=COACH if by_coach else CLINICIAN,
        method=row["method"],
        position="crook",
        finger_mm=FINGER_MM if by_coach and row["method"] == FINGERS else None,
    )
    if after:
        on = day + timedelta(days=1)
        record_next_day(by=audit.SYSTEM, assessment=kept, answer=after, on=on)


def _values(text: str, own: Mapping[str, int]) -> tuple[dict[str, Any], str]:
    """ "navel=18 doming=no hop/left=7 note=..." as values by code; a note is the rest."""
    told, _, note = text.partition("note=")
    found: dict[str, Any] = {}
    for word in told.split():
        name, _, value = word.partition("=")
        if (name, value) == ("tests", "pass"):
            found |= _all_passed()
        else:
            found[_code(name, own)] = value
    return found, note


def _code(name: str, own: Mapping[str, int]) -> str:
    short, _, part = name.partition("/")
    if short in impact_tests():
        return f"test-{short}-{part}"
    if short in own:
        return f"own-{own[short]}"
    if short in totals():
        return f"total-{short}"
    site = _SHORT.get(short, short)
    return f"width-{site}-{part or 'rest'}" if site in scheme().sites else short


def _all_passed() -> dict[str, Any]:
    found: dict[str, Any] = {}
    for test in impact_tests().values():
        found |= {test.field(part): test.amount for part in test.parts}
        found[test.field(SYMPTOM)] = NO
    return found
