"""What was typed into an assessment, read and checked before anything of it is written."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from clients.actions.shared import Refused, days_of
from clients.models import Assessment, Client
from clients.queries.assessing import go_ahead_for, may_not_start, not_offered
from clients.queries.measuring import catalogue, finger_of
from clients.rules.assessment import read
from clients.rules.impact_tests import OFFERED
from clients.rules.measuring import COACH, FINGERS, HERSELF, scheme
from clients.rules.pregnancies import Problem
from coach.practice.audit import Actor

_ABOUT = ("day", "who", "by", "method", "position", "finger_mm", "origin")
_CHOICES = {"who": "who", "method": "methods", "position": "positions"}


def read_typed(
    typed: Mapping[str, str], today: date
) -> tuple[dict[str, Any], dict[str, Any], list[Problem]]:
    """Values by code, columns, and what is wrong with the rest."""
    known, found = catalogue(), []
    values: dict[str, Any] = {}
    about: dict[str, Any] = {}
    for code, text in typed.items():
        try:
            if code in _ABOUT:
                about[code] = _about(code, text.strip(), today)
            else:
                values[code] = read(code, text, known)
        except (KeyError, ValueError) as wrong:
            words = "There is no such measure." if isinstance(wrong, KeyError) else str(wrong)
            found.append(Problem(code, words))
    return values, about, found


def measurer(
    client: Client, row: Assessment | None, about: Mapping[str, Any], by: Actor
) -> dict[str, Any]:
    """What follows from who measured: the name, and the width of that person's own finger.

    Another coach's hand, here or where a record was handed over, has neither of hers.
    """
    whose = _whose(row, about, by)
    changed = row is None or whose != _whose(row, {}, by)
    who, mine = whose
    found: dict[str, Any] = {}
    if who == HERSELF and (changed or "by" in about):
        found["by"] = client.name
    elif mine and by.user and (changed or "by" in about):
        found["by"] = by.user.name
    elif changed:
        found["by"] = about.get("by", _name_that_stays(row, who, by))
    waits = row and row.finger_mm is None and not row.finished_at and _in_fingers(row, about)
    if "finger_mm" not in about and (changed or waits):
        known = mine or who == HERSELF
        found["finger_mm"] = finger_of(who, user=by.user, client=client) if known else None
    return found


def _in_fingers(row: Assessment, about: Mapping[str, Any]) -> bool:
    method = scheme().methods.get(about.get("method", row.method))
    return method is not None and method.unit == FINGERS


def _name_that_stays(row: Assessment | None, who: str, by: Actor) -> str:
    """The name beside a record that turns out to be another's: not that of who is writing."""
    if row is None or row.who != who or (by.user and row.by == by.user.name):
        return ""
    return str(row.by)


def _whose(row: Assessment | None, about: Mapping[str, Any], by: Actor) -> tuple[str, bool]:
    """Who measured, and whether it is the coach who is writing."""
    now = {name: getattr(row, name) if row else "" for name in ("who", "by", "origin")}
    if row is None:
        now["who"] = COACH
    elif about.get("who", row.who) != row.who:
        now["by"] = ""
    now |= {name: about[name] for name in now if name in about}
    own = by.user is not None and now["by"].strip() in {"", by.user.name}
    return now["who"], own and now["who"] == COACH and not now["origin"]


def _about(code: str, text: str, today: date) -> Any:
    if code == "day":
        return _day(text, today)
    if code == "finger_mm":
        if text and not (text.isdecimal() and len(text) < 4):
            raise ValueError("Write a whole number.")
        return int(text) if text else None
    if code in _CHOICES and text not in {"", *getattr(scheme(), _CHOICES[code])}:
        raise ValueError("Choose one of these.")
    if len(text) > 120:
        raise ValueError("Write at most 120 letters.")
    return text


def _day(text: str, today: date) -> date:
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise ValueError("Write a date.") from None
    if day > today:
        raise ValueError("That day has not come yet.")
    return day


def refuse_on_hold(client: Client, about: Mapping[str, Any], today: date) -> None:
    """Refused on hold. Another coach's record is kept whatever the go-ahead was."""
    day = about.get("day", today)
    if not about.get("origin") and (
        why := may_not_start(go_ahead_for(client, day, days_of(client).earlier))
    ):
        raise Refused([Problem("", why)])


def against_tests(
    client: Client,
    row: Assessment | None,
    values: Mapping[str, Any],
    about: Mapping[str, Any],
    today: date,
) -> list[Problem]:
    """New values of tests that are not offered to her today: none is kept.

    What was kept stays, whatever came after it; what was done on an earlier day, or with another
    coach, was done, and is kept.
    """
    before = row.measures if row else {}
    day, now = about.get("day", row.day if row else today), days_of(client).earlier
    given = {code: code for code in _done(values) if values[code] != before.get(code)}
    if row and day != row.day:
        given |= {code: "day" for code in _done(before) if code not in given}
    if not given or day < now or about.get("origin", row.origin if row else ""):
        return []
    why = not_offered(client, day, go_ahead_for(client, day, now))
    asked = {field: why[code.split("-")[1]] for code, field in given.items()}
    return [Problem(field, words) for field, words in asked.items() if words]


def _done(values: Mapping[str, Any]) -> list[str]:
    """The codes under which something of a test was done."""
    return [
        code
        for code, value in values.items()
        if code.startswith("test-") and value is not None and not code.endswith(OFFERED)
    ]
