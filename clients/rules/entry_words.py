"""The words around an assessment that is being taken: how, what it comes to, what was last. Pure.

None of them names a baby, a birth or a due date; what somebody typed is looked at by the caller.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime

from clients.rules.assessment import Catalogue, Measured, problems
from clients.rules.findings import Answer
from clients.rules.impact_tests import ImpactTest, Result, grade, impact_tests
from clients.rules.measured_words import in_unit, number_words, way_words
from clients.rules.measuring import CLINICIAN, COACH, FINGERS, HERSELF, scheme
from clients.rules.totals import totals

_WHO = {HERSELF: "herself", CLINICIAN: "a clinician"}
_SAID = {
    Result.FAIL: "not passed",
    Result.INCOMPLETE: "not complete yet",
    Result.PASS: "passed",
    Result.NOT_OFFERED: "not offered",
}


def text_of(value: object) -> str:
    """A kept value as it stands in a field: "28", "2.5", "yes"; "" for none."""
    return "" if value is None else str(value)


def date_words(day: date, today: date) -> str:
    """ "5 November", with the year where it is another than today's."""
    year = f" {day.year}" if day.year != today.year else ""
    return f"{day.day} {day:%B}{year}"


def begun_words(begun: datetime, now: datetime) -> str:
    """ "begun at 14:02, not finished"; both in one time zone."""
    if begun.date() == now.date():
        return f"begun at {begun:%H:%M}, not finished"
    return f"begun on {date_words(begun.date(), now.date())} at {begun:%H:%M}, not finished"


def how_words(one: Measured, *, you: str) -> str:
    """How it is taken, in a line: "calliper, on her back, knees bent, you"; "" if nobody said."""
    mine = one.who == COACH and not one.origin and one.by.strip() in {"", you}
    name = "you" if mine else _WHO.get(one.who, one.by.strip() or "another coach")
    if one.who == CLINICIAN and one.by.strip():
        name = one.by.strip()
    return ", ".join(part for part in (way_words(one), name) if part)


def last_answer(found: Answer | None, today: date) -> str:
    """ "last: no, 5 November"; "" if it was never asked."""
    return f"last: {found.answer}, {date_words(found.day, today)}" if found else ""


def finger_words(fingers: float, finger_mm: int) -> str:
    """ "2.5 fingers × 16 mm = 40 mm"."""
    counted = in_unit(fingers, FINGERS)
    return f"{counted} × {finger_mm} mm = {number_words(fingers * finger_mm)} mm"


def came_to(code: str, one: Measured, known: Catalogue) -> str:
    """What a value just typed comes to, in words beside its field; "" where there is nothing."""
    value = one.values.get(code)
    if value is None:
        return ""
    if code.startswith("width-"):
        wrong = (each.sentence for each in problems(one, today=one.day) if each.field == code)
        told = one.unit == FINGERS and one.finger_mm
        return next(wrong, finger_words(value, one.finger_mm) if told and one.finger_mm else "")
    if code.startswith("total-"):
        return totals()[code.removeprefix("total-")].band(value)
    return ""


def test_words(test: ImpactTest, one: Measured, known: Catalogue) -> str:
    """What a test came to so far: "passed", "not complete yet: symptoms not asked"."""
    result = grade(test, one.values, known.amount(test))
    said = _SAID.get(result, "")
    if result is not Result.INCOMPLETE:
        return said
    done = all(one.values.get(test.field(part)) is not None for part in test.parts)
    return f"{said}: {'symptoms not asked' if done else 'not all of it done'}"


def asked_of(test: ImpactTest, known: Catalogue) -> str:
    """What a test asks here: "10 s each leg"."""
    return f"{known.amount(test)} {test.unit}{' each leg' if test.each_leg else ''}"


def reasons(closed: Iterable[tuple[str, str]]) -> list[tuple[str, str]]:
    """Each reason with the tests that it keeps from being offered: ("no impact", "hop, jog")."""
    found: dict[str, list[str]] = {}
    for code, why in closed:
        found.setdefault(why, []).append(impact_tests()[code].words.lower())
    everything = len(impact_tests())
    return [
        (why, "All tests" if len(tests) == everything else ", ".join(tests).capitalize())
        for why, tests in found.items()
    ]


def effort_choices() -> list[tuple[str, str]]:
    """Each effort with our words for it."""
    return [(str(at), words) for at, words in enumerate(scheme().effort)]
