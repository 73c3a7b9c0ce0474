"""What each test before a return to impact came to lately, as far as it counts. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from clients.rules.assessment import NEXT_DAY, NEXT_DAY_ON, Measured
from clients.rules.impact_tests import (
    LEFT,
    RIGHT,
    SYMPTOM,
    ImpactTest,
    Result,
    grade,
    impact_tests,
)
from clients.rules.measuring import NO, YES
from clients.rules.measuring_policy import Measuring
from clients.rules.words import short_day_words

_LEGS = {LEFT: "left leg ", RIGHT: "right leg "}
_COUNT = (Result.PASS, Result.FAIL, Result.INCOMPLETE)


@dataclass(frozen=True, slots=True)
class Outcome:
    """The latest result of one test; NOT_ASKED where there is none that counts.

    `amount` is what is asked. `why`: what it failed by or lacks. `of`: the assessment that has it.
    """

    test: ImpactTest
    amount: int
    result: Result = Result.NOT_ASKED
    why: str = ""
    of: Measured | None = None

    @property
    def day(self) -> date | None:
        """The day of the result."""
        return self.of.day if self.of else None

    @property
    def passed(self) -> bool:
        """Whether it is a pass."""
        return self.result is Result.PASS

    @property
    def name(self) -> str:
        """ "hop on the spot", inside a sentence."""
        return self.test.words[:1].lower() + self.test.words[1:]

    @property
    def asks(self) -> str:
        """ "10 times each leg"."""
        return replace(self.test, amount=self.amount).asks

    @property
    def told(self) -> str:
        """ "fail on 1 June 2025 (left leg 9 of 10)"; "" without a result."""
        if self.of is None:
            return ""
        why = f" ({self.why})" if self.why else ""
        return f"{self.result} on {short_day_words(self.of.day)}{why}"


def was_tested(values: Mapping[str, Any]) -> bool:
    """Whether any test was done, to its end or not."""
    return any(grade(test, values) in _COUNT for test in impact_tests().values())


def as_it_counts(measured: Iterable[Measured], on: date) -> list[Measured]:
    """Assessments up to a day, the earliest first, with nothing in them that came later.

    One that is still being taken counts for what it found: its noes are left out.
    """
    known = (_known(one, on) for one in measured if one.day <= on)
    return sorted(known, key=lambda one: (one.day, one.pk))


def _known(one: Measured, on: date) -> Measured:
    values = dict(one.values)
    told = values.get(NEXT_DAY_ON)
    if told and date.fromisoformat(told) > on:
        values = {code: value for code, value in values.items() if code != NEXT_DAY}
    if not one.finished:
        values = {code: value for code, value in values.items() if value != NO}
    return replace(one, values=values)


def outcomes(
    counted: Sequence[Measured], *, first: date, after: date | None, chosen: Measuring
) -> tuple[Outcome, ...]:
    """Each test with its latest result from a first day on and after the latest end.

    Of one day nobody knows which was first, so a fail wins. `counted` is of `as_it_counts`.
    """
    lately = [one for one in counted if one.day >= first and (after is None or one.day > after)]
    return tuple(_outcome(test, lately, chosen) for test in impact_tests().values())


def _outcome(test: ImpactTest, lately: Sequence[Measured], chosen: Measuring) -> Outcome:
    amount = chosen.asked.get(test.code, test.amount)
    graded = [(one, grade(test, one.values, amount)) for one in lately]
    count = [
        (one.day, result is Result.FAIL, one.pk, one, result)
        for one, result in graded
        if result in _COUNT and (one.finished or result is Result.FAIL)
    ]
    if not count:
        return Outcome(test, amount)
    *_, one, result = max(count, key=lambda row: row[:3])
    return Outcome(test, amount, result, "; ".join(_why(test, one, amount)), one)


def _why(test: ImpactTest, one: Measured, amount: int) -> Iterator[str]:
    """What it failed by, and what it lacks."""
    symptom = one.answer(test.field(SYMPTOM))
    if symptom == YES:
        yield "symptoms"
    for part in test.parts:
        value = one.values.get(test.field(part))
        if value is None:
            yield f"{_LEGS.get(part, '')}not counted"
        elif value < amount:
            yield f"{_LEGS.get(part, '')}{value} of {amount}"
    if not symptom and one.finished:
        yield "symptoms not asked"
