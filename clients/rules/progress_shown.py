"""What pages and papers show of assessments over time, as values. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from clients.rules.assessment import Measured
from clients.rules.measured_words import number_words
from clients.rules.measuring import HERSELF, scheme
from clients.rules.roster import latest_dates
from clients.rules.words import short_day_words, unless_quiet
from coach.scheduling.charted import Chart as Chart
from coach.scheduling.charted import Line
from coach.scheduling.dates import PregnancyDates, gestational_age, weeks_since

_TOLD_ONE_BY_ONE = 8
_WEEKS_TOLD = 104
NOT_ASKED = "not asked"


@dataclass(frozen=True, slots=True)
class Row:
    """One value of a chart in the table beside it. `value` with its unit, `who` measured how."""

    day: date
    weeks: str
    value: str
    way: str
    who: str


@dataclass(frozen=True, slots=True)
class ChartOf:
    """A chart, its table with the newest row first, and what stands beneath both.

    `kind`: "width", "number", "total" or "own"; `code` names it among all.
    """

    code: str
    kind: str
    chart: Chart
    rows: tuple[Row, ...]
    notes: tuple[str, ...] = ()

    @property
    def latest(self) -> date:
        """The day of its newest row."""
        return self.rows[0].day


@dataclass(frozen=True, slots=True)
class Cell:
    """What a question came to on a day; `mark` names the shape beside it, "" for none."""

    word: str
    mark: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """Questions by day: the newest day first; a row is what was asked with a cell for each day."""

    days: tuple[date, ...]
    rows: tuple[tuple[str, tuple[Cell, ...]], ...]


def by_day(measured: Iterable[Measured]) -> list[Measured]:
    """Assessments in the order in which they were taken."""
    return sorted(measured, key=lambda one: (one.day, one.pk))


def weeks_words(pregnancies: Sequence[PregnancyDates], on: date) -> str:
    """ "27 w" while the weeks run, "11 w since" or "3 y since" after an end, "–" if not known."""
    running, ended = latest_dates(pregnancies, on)
    age = gestational_age(running, on) if running else None
    if age:
        return f"{age.weeks} w"
    if ended is None:
        return "–"
    weeks = weeks_since(ended, on)
    return f"{weeks} w since" if weeks <= _WEEKS_TOLD else f"{weeks // 52} y since"


def beneath(weeks: str, day: date) -> str:
    """What stands beneath a day in a chart: its weeks, else the day itself."""
    return f"{day.day} {day:%b %Y}" if weeks == "–" else weeks


def who_words(one: Measured, *, quiet: bool) -> str:
    """ "the coach (Una)", "the client herself"."""
    by = unless_quiet(one.by, quiet=quiet)
    who = scheme().who.get(one.who, "not known")
    return who if one.who == HERSELF or not by else f"{who} ({by})"


def said_of(title: str, unit: str, lines: Sequence[Line]) -> str:
    """A chart in words, for who cannot see it."""
    told = "; ".join(_said(one) for one in lines)
    return f"{title}{f', {unit}' if unit else ''}: {told}."


def _said(line: Line) -> str:
    if len(line.points) <= _TOLD_ONE_BY_ONE:
        return f"{line.name} {', '.join(_point(*one) for one in line.points)}"
    values = [value for _, value in line.points]
    least, most = number_words(min(values)), number_words(max(values))
    ends = f"{_point(*line.points[0])} to {_point(*line.last)}"
    return f"{line.name} {len(values)} values, {ends}, lowest {least}, highest {most}"


def _point(day: date, value: float) -> str:
    return f"{number_words(value)} on {short_day_words(day)}"
