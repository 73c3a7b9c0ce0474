"""An assessment in words: what was measured, what she said, how it was taken. Pure.

Nothing here names a baby, a birth or a due date; what somebody typed is looked at by the caller.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from clients.rules.assessment import (
    EFFORT,
    NEXT_DAY,
    PULSE,
    TENSION,
    Catalogue,
    Measured,
    width_field,
)
from clients.rules.impact_tests import Result, grade, impact_tests
from clients.rules.measuring import FINGERS, REST, YES, scheme
from clients.rules.totals import totals


def number_words(value: float) -> str:
    """ "28", "2.5", "−3"."""
    return f"{value:g}".replace("-", "−")


def in_unit(value: float, unit: str) -> str:
    """ "28 mm", "1 finger", "2.5 fingers"."""
    if unit == FINGERS:
        return f"{number_words(value)} finger{'' if value == 1 else 's'}"
    return f"{number_words(value)} {unit}".strip()


def way_words(one: Measured) -> str:
    """How its widths were taken: "calliper, on her back, knees bent"."""
    method = scheme().methods.get(one.method)
    words = (method.words if method else "", scheme().positions.get(one.position, ""))
    finger = f"a finger of {one.finger_mm} mm" if one.unit == FINGERS and one.finger_mm else ""
    return ", ".join(word for word in (words[0], finger, words[1]) if word)


def line_of(one: Measured) -> tuple[str, ...]:
    """What makes two widths comparable: who counted in fingers, with what, and how she lay."""
    by = f"{one.who} {one.by.casefold().strip()}" if one.unit == FINGERS else ""
    return (one.method, one.position, one.shown_in, by)


def width_words(one: Measured, before: Measured | None = None) -> Iterator[str]:
    """Each width with what it was in an assessment taken in the same way."""
    same = before if before and line_of(before) == line_of(one) else None
    for site in scheme().sites.values():
        for state, words in scheme().states.items():
            value = one.shown(site.code, state)
            if value is None:
                continue
            was = same.shown(site.code, state) if same else None
            told = f", was {number_words(was)}" if was is not None and was != value else ""
            how = "" if state == REST else f" {words}"
            yield f"{in_unit(value, one.shown_in)} {site.words}{how}{told}"


def answer_words(one: Measured) -> Iterator[str]:
    """What was answered: "leaking", "no heaviness"; nothing of what was not asked."""
    for code, asked in scheme().answers.items():
        if answer := one.answer(code):
            yield asked.finding if answer == YES else f"no {asked.finding}"
    if tension := scheme().tension.get(one.answer(TENSION)):
        yield tension


def test_words(one: Measured, known: Catalogue) -> Iterator[str]:
    """What the tests came to: "9 tests passed", "hop on the spot: fail"."""
    found = {test: grade(test, one.values, known.amount(test)) for test in impact_tests().values()}
    passed = sum(result is Result.PASS for result in found.values())
    if passed:
        yield f"{passed} test{'' if passed == 1 else 's'} passed"
    for test, result in found.items():
        if result in {Result.FAIL, Result.INCOMPLETE}:
            yield f"{test.words.lower()}: {result}"
    if after := one.answer(NEXT_DAY):
        yield f"{'symptoms' if after == YES else 'no symptoms'} the day after"


def number_measures(one: Measured, known: Catalogue) -> Iterator[str]:
    """Effort, pulse, totals and the practice's own measures."""
    values: Mapping[str, float] = one.values
    if (effort := values.get(EFFORT)) is not None:
        yield f"effort {effort} of 10"
    if (pulse := values.get(PULSE)) is not None:
        yield f"{pulse} beats a minute at rest"
    for total in totals().values():
        if (value := values.get(total.field)) is not None:
            band = total.band(value)
            yield f"{total.name} {number_words(value)}{f' ({band})' if band else ''}"
    for own in known.own.values():
        if (value := values.get(own.field)) is not None:
            yield f"{own.name} {in_unit(value, own.unit)}"


def told_of(one: Measured, known: Catalogue, before: Measured | None = None) -> list[str]:
    """Everything measured and answered, in the order in which it is taken."""
    return [
        *width_words(one, before),
        *answer_words(one),
        *test_words(one, known),
        *number_measures(one, known),
    ]


def has_width(one: Measured, site: str, state: str = REST) -> bool:
    """Whether a width was taken there."""
    return width_field(site, state) in one.values
