"""Inter-recti distances over time, as a chart and as a table. Pure.

Nothing is judged: no published range fits every site, method and week, and a width alone is no
diagnosis (Bø and others 2017: no weaker pelvic floor with a wide distance than without).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from clients.rules.assessment import SITES, WAYS
from clients.rules.chart import Chart, Series, draw
from clients.rules.happened import Measured
from clients.rules.roster import latest_dates
from coach.scheduling.dates import PregnancyDates, gestational_age, weeks_since

# Drawn first what is spoken of most; names short enough to stand beside their line.
_NAMES = {"at_mm": "at the navel", "above_mm": "above", "below_mm": "below"}


@dataclass(frozen=True, slots=True)
class Row:
    """One assessment in the table, None where a site was not measured."""

    day: date
    weeks: str
    values: tuple[int | None, ...]
    how: str


@dataclass(frozen=True, slots=True)
class Distances:
    """The chart, and the table beside it with the newest row first."""

    chart: Chart
    sites: tuple[str, ...]
    rows: tuple[Row, ...]


def distances(
    measured: Sequence[Measured], pregnancies: Sequence[PregnancyDates]
) -> Distances | None:
    """What was measured, by day; None when no distance was."""
    ordered = sorted(measured, key=lambda one: (one.day, one.pk))
    with_any = [one for one in ordered if any(v is not None for v in _values(one))]
    series = [
        Series(name, tuple((one.day, float(mm)) for one in with_any
                           if (mm := getattr(one.measures, site)) is not None))
        for site, name in _NAMES.items()
    ]  # fmt: skip
    weeks = {one.day: weeks_words(pregnancies, one.day) for one in with_any}
    chart = draw(series, list(weeks.items()), "mm")
    if chart is None:
        return None
    rows = [Row(one.day, weeks[one.day], _values(one), WAYS.get(one.how, "not known"))
            for one in reversed(with_any)]  # fmt: skip
    return Distances(chart, tuple(SITES.values()), tuple(rows))


def _values(one: Measured) -> tuple[int | None, ...]:
    return tuple(getattr(one.measures, site) for site in SITES)


def weeks_words(pregnancies: Sequence[PregnancyDates], on: date) -> str:
    """ "27 w" while the weeks run, "11 w since" after an end, "–" where neither is known."""
    running, ended = latest_dates(pregnancies, on)
    age = gestational_age(running, on) if running else None
    if age:
        return f"{age.weeks} w"
    return f"{weeks_since(ended, on)} w since" if ended else "–"
