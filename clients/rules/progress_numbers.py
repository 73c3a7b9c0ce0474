"""Effort, pulse, totals of questionnaires and own measures over time. Pure."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from clients.rules.assessment import EFFORT, PULSE, Catalogue, Measured, Own
from clients.rules.go_ahead_words import sentence
from clients.rules.measured_words import in_unit, number_words
from clients.rules.measuring import scheme
from clients.rules.progress_shown import (
    ChartOf,
    Row,
    beneath,
    by_day,
    said_of,
    weeks_words,
    who_words,
)
from clients.rules.totals import Total, totals
from clients.rules.words import unless_quiet
from coach.scheduling.charted import Chart, Line
from coach.scheduling.dates import PregnancyDates

_BETTER = {"more": "More is better.", "less": "Less is better."}


@dataclass(frozen=True, slots=True)
class _Number:
    """What one chart is about: the code of its values and how they are told."""

    code: str
    kind: str
    title: str
    unit: str
    name: str
    told: Callable[[float], str]
    notes: tuple[str, ...]


def number_charts(
    measured: Iterable[Measured],
    pregnancies: Sequence[PregnancyDates],
    known: Catalogue,
    *,
    quiet: bool,
) -> Iterator[ChartOf]:
    """A chart for each number that was measured at all, in the order in which it is taken."""
    ordered = by_day(measured)
    for number in _numbers(known, quiet=quiet):
        if taken := [one for one in ordered if number.code in one.values]:
            yield _chart(number, taken, pregnancies, quiet)


def _numbers(known: Catalogue, *, quiet: bool) -> Iterator[_Number]:
    yield _Number(EFFORT, "number", "Effort in training", "of 10", "effort", _effort, ())
    yield _Number(
        PULSE, "number", "Pulse at rest", "beats a minute", "pulse",
        lambda value: f"{number_words(value)} beats a minute", (),
    )  # fmt: skip
    yield from map(_of_total, totals().values())
    yield from (_of_own(own, quiet=quiet) for own in known.own.values())


def _effort(value: float) -> str:
    return f"{number_words(value)} of 10: {scheme().effort[round(value)]}"


def _of_total(total: Total) -> _Number:
    def told(value: float) -> str:
        band = total.band(value)
        return f"{number_words(value)} of {total.most}{f' ({band})' if band else ''}"

    notes = (sentence(total.about), _BETTER[total.better], sentence(total.source))
    return _Number(total.field, "total", total.name, f"of {total.most}", "total", told, notes)


def _of_own(own: Own, *, quiet: bool) -> _Number:
    unit = unless_quiet(own.unit, quiet=quiet)
    name = unless_quiet(own.name, quiet=quiet, instead="a measure not named while quiet is on")
    notes = (_BETTER[own.better],) if own.better in _BETTER else ()
    return _Number(
        own.field, "own", f"{name[:1].upper()}{name[1:]}", unit, name,
        lambda value: in_unit(value, unit), notes,
    )  # fmt: skip


def _chart(
    number: _Number, taken: Sequence[Measured], pregnancies: Sequence[PregnancyDates], quiet: bool
) -> ChartOf:
    line = Line(number.name, tuple((one.day, float(one.values[number.code])) for one in taken))
    weeks = {one.day: weeks_words(pregnancies, one.day) for one in taken}
    under = tuple((day, beneath(words, day)) for day, words in weeks.items())
    said = said_of(number.title, number.unit, (line,))
    rows = tuple(
        Row(
            one.day, weeks[one.day], number.told(float(one.values[number.code])), "",
            who_words(one, quiet=quiet),
        )
        for one in reversed(taken)
    )  # fmt: skip
    last = (sentence(f"the last: {rows[0].value}"),) if number.kind == "total" else ()
    chart = Chart(number.title, number.unit, (line,), under, (), said)
    return ChartOf(number.code, number.kind, chart, rows, (*last, *number.notes))
