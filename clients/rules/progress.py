"""Her assessments over time: small charts each with its table, and answers by day. Pure.

What was measured in different ways is never one line, and what has no unit in common never one
chart. "Not asked" is written out: a blank could be read as no.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from clients.rules.assessment import NEXT_DAY, TENSION, Catalogue, Measured
from clients.rules.impact_tests import Result, grade, impact_tests
from clients.rules.measuring import YES, scheme
from clients.rules.progress_numbers import number_charts
from clients.rules.progress_shown import NOT_ASKED, Cell, ChartOf, Row, Table, by_day
from clients.rules.progress_widths import width_charts
from coach.scheduling.dates import PregnancyDates

__all__ = ["Cell", "ChartOf", "Progress", "Row", "Table", "glance", "progress"]

DAYS_A_TABLE = 6
_GROUPS = {
    "width": "Inter-recti distance",
    "number": "Effort and pulse",
    "total": "Totals of questionnaires",
    "own": "Own measures",
}
_MARKS = {YES: "now", Result.PASS: "met", Result.FAIL: "no"}
_AT_THE_NAVEL = "width-navel-rest-"
Question = tuple[str, Callable[[Measured], str]]


@dataclass(frozen=True, slots=True)
class Group:
    """Charts that stand together under one heading."""

    title: str
    charts: tuple[ChartOf, ...]


@dataclass(frozen=True, slots=True)
class Progress:
    """All of it. The first of `answers` and of `tests` holds the newest days; the rest follow.

    `never_asked`: the questions that no assessment asked, which are in no table.
    """

    charts: tuple[ChartOf, ...]
    answers: tuple[Table, ...]
    tests: tuple[Table, ...]
    never_asked: tuple[str, ...]

    @property
    def groups(self) -> tuple[Group, ...]:
        """The charts by kind, in the order in which things are measured."""
        by_kind = groupby(self.charts, key=lambda one: one.kind)
        return tuple(Group(_GROUPS[kind], tuple(charts)) for kind, charts in by_kind)


def progress(
    measured: Iterable[Measured],
    pregnancies: Sequence[PregnancyDates],
    known: Catalogue,
    *,
    quiet: bool,
) -> Progress:
    """What assessments come to over time, in any order; withdrawn ones are not to be among them."""
    ordered = by_day(measured)
    asked, tested = _questions(), _tests(known)
    return Progress(
        charts=(
            *width_charts(ordered, pregnancies, quiet=quiet),
            *number_charts(ordered, pregnancies, known, quiet=quiet),
        ),
        answers=_tables(ordered, asked),
        tests=_tables(ordered, tested),
        never_asked=tuple(
            words for words, told in asked if all(told(one) == NOT_ASKED for one in ordered)
        ),
    )


def glance(
    measured: Iterable[Measured], pregnancies: Sequence[PregnancyDates], *, quiet: bool
) -> ChartOf | None:
    """The one chart of her page: at the navel at rest, else the width most measured; None: none."""
    charts = list(width_charts(measured, pregnancies, quiet=quiet))
    at_the_navel = [one for one in charts if one.code.startswith(_AT_THE_NAVEL)]
    if at_the_navel:
        return max(at_the_navel, key=lambda one: one.latest)
    return max(charts, key=lambda one: len(one.rows), default=None)


def _questions() -> list[Question]:
    """Each question with what an assessment says of it."""

    def told(code: str) -> Callable[[Measured], str]:
        return lambda one: one.answer(code) or NOT_ASKED

    def tension(one: Measured) -> str:
        return scheme().tension.get(one.answer(TENSION), NOT_ASKED)

    answers = [(asked.ask, told(code)) for code, asked in scheme().answers.items()]
    return [*answers, ("Tension of the midline", tension)]


def _tests(known: Catalogue) -> list[Question]:
    """Each test with what it came to, and the day after."""

    def told(code: str) -> Callable[[Measured], str]:
        test = impact_tests()[code]
        return lambda one: str(grade(test, one.values, known.amount(test)))

    tests = [(one.words, told(code)) for code, one in impact_tests().items()]
    return [*tests, ("Symptoms the day after", lambda one: one.answer(NEXT_DAY) or NOT_ASKED)]


def _tables(ordered: Sequence[Measured], questions: Sequence[Question]) -> tuple[Table, ...]:
    """The questions that were ever asked by the days on which any was, the newest first."""
    told = {words: [answer(one) for one in ordered] for words, answer in questions}
    shown = {words: cells for words, cells in told.items() if set(cells) != {NOT_ASKED} and cells}
    asked = [n for n in reversed(range(len(ordered)))
             if any(cells[n] != NOT_ASKED for cells in shown.values())]  # fmt: skip
    return tuple(
        Table(
            days=tuple(ordered[n].day for n in some),
            rows=tuple(
                (words, tuple(Cell(cells[n], _MARKS.get(cells[n], "")) for n in some))
                for words, cells in shown.items()
            ),
        )
        for some in (asked[n : n + DAYS_A_TABLE] for n in range(0, len(asked), DAYS_A_TABLE))
    )
