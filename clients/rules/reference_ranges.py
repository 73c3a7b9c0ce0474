"""Published ranges of a width, and whether one is about the very measurement at hand. Pure.

A range is about a site, a state, a way of measuring and a stage; beside any other measurement it
would say something that nobody found. Ends that come from memory are told in words, not drawn.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from typing import Any

from clients.rules.assessment import Measured, width_field
from clients.rules.measured_words import number_words
from clients.rules.measuring import scheme
from coach.scheduling.dates import TERM_DAYS, Ending, PregnancyDates

_FILE = Path(__file__).parent.parent / "data" / "reference_ranges.toml"
NEVER, AFTER, RUNNING = "never", "after", "running"
NO_DIAGNOSIS = "Width alone is no diagnosis (Bø and others 2017)."
"""Stands beside every range: no weaker pelvic floor and no more leaking was found with a wide one.

Bø K and others. Neurourol Urodyn 2017;36(3):716-721.
"""


@dataclass(frozen=True, slots=True)
class ReferenceRange:
    """A published range in mm, both ends within it; `low` None: only an upper end is published.

    `uncertain`: which of "low" and "position" come from memory.
    """

    code: str
    name: str
    site: str
    state: str
    method: str
    position: str
    stage: str
    high: float
    who: str
    source: str
    low: float | None = None
    from_weeks: int = 0
    to_weeks: int = 0
    uncertain: tuple[str, ...] = ()

    @property
    def firm_low(self) -> float | None:
        """The lower end where it may be drawn."""
        return None if "low" in self.uncertain else self.low

    def beside(self, value: float) -> str:
        """Where a width lies by the ends that are certain: "within", "above" or "below".

        "not above" where no lower end is.
        """
        if value > self.high:
            return "above"
        if self.firm_low is None:
            return "not above"
        return "within" if value >= self.firm_low else "below"

    @property
    def short(self) -> str:
        """For a chart: "Mota and others 2018: 9 to 21 mm"."""
        if self.firm_low is not None:
            return f"{self.name}: {number_words(self.firm_low)} to {number_words(self.high)} mm"
        return f"{self.name}: up to {number_words(self.high)} mm"

    @property
    def words(self) -> str:
        """All of it in a sentence, and what of it is uncertain."""
        told = [f"{self.short} ({self.who})."]
        if "low" in self.uncertain and self.low is not None:
            low = number_words(self.low)
            told.append(f"Its lower end, {low} mm, is uncertain and is not drawn.")
        if "position" in self.uncertain:
            position = scheme().positions[self.position]
            told.append(f"How the women lay ({position}) is from memory.")
        return " ".join(told)


@dataclass(frozen=True, slots=True)
class Fit:
    """A range with the days on which its stage is hers."""

    range: ReferenceRange
    since: date
    until: date


@cache
def reference_ranges() -> tuple[ReferenceRange, ...]:
    """The data; ValueError that names the row if they are not sound."""
    with _FILE.open("rb") as file:
        return read_ranges(tomllib.load(file))


def read_ranges(data: Mapping[str, Any]) -> tuple[ReferenceRange, ...]:
    """From parsed data; ValueError for a row that is not sound."""
    found = [
        ReferenceRange(**{**row, "uncertain": tuple(row.get("uncertain", ()))})
        for row in data["range"]
    ]
    for one in found:
        if not _sound(one) or [each.code for each in found].count(one.code) != 1:
            raise ValueError(f"the range {one.code!r} is not sound")
    return tuple(found)


def _sound(one: ReferenceRange) -> bool:
    known, places = scheme(), (one.site, one.state, one.method, one.position)
    there = (known.sites, known.states, known.methods, known.positions)
    weeks = 0 < one.from_weeks <= one.to_weeks
    return all((
        all(code in codes for code, codes in zip(places, there, strict=True)),
        one.stage == NEVER or (one.stage in {AFTER, RUNNING} and weeks),
        one.low is None or one.low < one.high,
        set(one.uncertain) <= {"low", "position"},
        one.name and one.source and one.who,
    ))  # fmt: skip


def fitting(
    one: Measured, site: str, state: str, pregnancies: Sequence[PregnancyDates]
) -> Fit | None:
    """The range that is about this width, with the days of its stage; None: none is.

    Only a record that holds exactly one pregnancy tells a first one. That she was never pregnant
    nobody records: an empty record is not known, so those ranges fit nobody.
    """
    if width_field(site, state) not in one.values or len(pregnancies) != 1:
        return None
    way = (site, state, one.method, one.position)
    for each in reference_ranges():
        if (each.site, each.state, each.method, each.position) == way:
            fit = _in_stage(each, pregnancies[0])
            if fit and fit.since <= one.day <= fit.until:
                return fit
    return None


def _in_stage(one: ReferenceRange, pregnancy: PregnancyDates) -> Fit | None:
    """The days on which the stage of a range is hers; None: on none that is known."""
    if pregnancy.contradictory:
        return None
    if one.stage == AFTER and pregnancy.ending is Ending.BIRTH and pregnancy.ended:
        return _days(one, pregnancy.ended, None)
    if one.stage == RUNNING and pregnancy.due:
        if pregnancy.over and not pregnancy.ended:
            return None
        return _days(one, pregnancy.due - timedelta(TERM_DAYS), pregnancy.ended)
    return None


def _days(one: ReferenceRange, begin: date, end: date | None) -> Fit | None:
    """From the first day of its first week to the last of its last; `end`: the day it was over."""
    since = begin + timedelta(weeks=one.from_weeks)
    until = begin + timedelta(weeks=one.to_weeks + 1, days=-1)
    until = min(until, end - timedelta(1)) if end else until
    return Fit(one, since, until) if since <= until else None
