"""Heart rate: the highest by age, the reserve, and published bands with edition and source. Pure.

Sums are exact; only the whole numbers of a band are shown. Nothing here turns an effort into a
heart rate: in pregnancy the two agree badly (O'Neill and others 1992).
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

_FILE = Path(__file__).parent.parent / "data" / "heart_rate.toml"
RESERVE, HIGHEST, EFFORT = "reserve", "highest", "effort"
OLD_RESERVE = "reserve-2000"
TANAKA, FOX = "tanaka", "fox"
LOWEST_EFFORT, HIGHEST_EFFORT = 6, 20
# The formulas were made from healthy adults, 18 to 81 years (Tanaka 2001, from memory).
YOUNGEST, OLDEST = 18, 81


@dataclass(frozen=True, slots=True)
class Formula:
    """The highest heart rate by age: `start` − `slope` × age, beats a minute.

    `spread`: 95 of 100 people lie within so many beats of it.
    """

    code: str
    words: str
    start: Decimal
    slope: Decimal
    spread: int
    source: str

    def highest(self, age: int) -> Decimal:
        """The estimate for an age in completed years: 185.6 at 32 by Tanaka 2001."""
        return self.start - self.slope * age


@dataclass(frozen=True, slots=True)
class Band:
    """From `least` up to, not including, `below`; None: on up."""

    level: str
    least: int
    below: int | None = None

    def holds(self, value: Decimal | float) -> bool:
        """Whether a value lies in it."""
        return self.least <= value and (self.below is None or value < self.below)


@dataclass(frozen=True, slots=True)
class Scale:
    """The bands of one edition, of the reserve or the highest (percent) or of effort (6 to 20)."""

    code: str
    edition: str
    of: str
    source: str
    bands: tuple[Band, ...]
    from_age: int = 0
    to_age: int | None = None

    def level(self, value: Decimal | float) -> str:
        """The level of a value; "" where this edition names none."""
        return next((one.level for one in self.bands if one.holds(value)), "")

    def is_for(self, age: int) -> bool:
        """Whether it was made for that age."""
        return _is_for(self.from_age, self.to_age, age)


@dataclass(frozen=True, slots=True)
class Pulse:
    """A band as it is printed in beats a minute, both ends its own."""

    level: str
    edition: str
    source: str
    least: int
    most: int
    from_age: int = 0
    to_age: int | None = None

    def is_for(self, age: int) -> bool:
        """Whether it was made for that age."""
        return _is_for(self.from_age, self.to_age, age)


@dataclass(frozen=True, slots=True)
class Share:
    """A share of the highest, in percent, that is usually not taken above `cap` beats."""

    formula: str
    edition: str
    source: str
    least: int
    most: int
    cap: int


@dataclass(frozen=True, slots=True)
class Published:
    """All of the data, each by its code."""

    formulas: Mapping[str, Formula]
    scales: Mapping[str, Scale]
    pulses: tuple[Pulse, ...]
    share: Share


@cache
def published() -> Published:
    """The data; ValueError that names the row for anything that is not sound."""
    with _FILE.open("rb") as file:
        return read_published(tomllib.load(file, parse_float=Decimal))


def read_published(data: Mapping[str, Any]) -> Published:
    """From parsed data; ValueError for a code twice, bands out of order or without a source."""
    formulas = {}
    for row in data["formula"]:
        numbers = {"start": Decimal(row["start"]), "slope": Decimal(row["slope"])}
        one = Formula(**{**row, **numbers})
        fresh = one.code not in formulas and bool(one.words and one.source)
        _sound(one.code, fresh and one.start > 0 < one.slope and one.spread > 0)
        formulas[one.code] = one
    scales: dict[str, Scale] = {}
    for row in data["scale"]:
        scale = Scale(**{**row, "bands": tuple(Band(*band) for band in row["bands"])})
        known = scale.of in {RESERVE, HIGHEST, EFFORT} and bool(scale.source and scale.edition)
        _sound(scale.code, scale.code not in scales and known and _in_order(scale.bands))
        scales[scale.code] = scale
    pulses = tuple(Pulse(**row) for row in data["pulse"])
    for pulse in pulses:
        _sound(pulse.level, bool(pulse.source and pulse.edition) and pulse.least < pulse.most)
    share = Share(**data["share"])
    _sound("share", share.formula in formulas and share.least < share.most and bool(share.source))
    return Published(formulas, scales, pulses, share)


def _in_order(bands: tuple[Band, ...]) -> bool:
    """One after the other without a gap, and only the last of them open."""
    rising = all(one.below is None or one.least < one.below for one in bands)
    return bool(bands) and rising and all(one.below == two.least for one, two in pairwise(bands))


def _sound(code: str, sound: bool) -> None:
    if not sound:
        raise ValueError(f"the heart rate row {code!r} is not sound")


def _is_for(least: int, most: int | None, age: int) -> bool:
    return least <= age and (most is None or age <= most)


def age_on(born: date, day: date) -> int:
    """Completed years; born on 29 February, she is a year older on 1 March of other years."""
    return day.year - born.year - ((day.month, day.day) < (born.month, born.day))


def reserve_rate(highest: Decimal, rest: int, percent: Decimal | int) -> Decimal:
    """The heart rate at a percent of the reserve, beats a minute (Karvonen and others 1957).

    (highest − rest) × percent + rest: 115.04 at 40 percent, highest 185.6, rest 68. ValueError
    where the pulse at rest is not below the highest.
    """
    _below(rest, highest)
    return (highest - rest) * percent / 100 + rest


def reserve_percent(rate: Decimal | int, highest: Decimal, rest: int) -> Decimal:
    """How much of the reserve a heart rate takes, in percent: the other way round."""
    _below(rest, highest)
    return (rate - Decimal(rest)) * 100 / (highest - rest)


def _below(rest: int, highest: Decimal) -> None:
    if not 0 < rest < highest:
        raise ValueError("the pulse at rest is below the highest")


@dataclass(frozen=True, slots=True)
class Beats:
    """The whole beats a minute of a band, both ends its own; `most` None: on up."""

    level: str
    least: int
    most: int | None


def reserve_beats(scale: Scale, highest: Decimal, rest: int) -> tuple[Beats, ...]:
    """Each band of a scale of the reserve in beats a minute; ValueError as reserve_rate."""
    return tuple(_beats(one, lambda p: reserve_rate(highest, rest, p)) for one in scale.bands)


def highest_beats(scale: Scale, highest: Decimal) -> tuple[Beats, ...]:
    """Each band of a scale of the highest in beats a minute."""
    return tuple(_beats(one, lambda p: highest * p / 100) for one in scale.bands)


def _beats(band: Band, rate: Any) -> Beats:
    """The whole numbers that lie in the band: none in two, none left out."""
    least = _up(rate(band.least))
    return Beats(band.level, least, None if band.below is None else _up(rate(band.below)) - 1)


def share_beats(age: int) -> Beats:
    """60 to 80 percent of 220 − age, at most 140: 113 to 140 at 32 (ACOG 2020)."""
    share = published().share
    highest = published().formulas[share.formula].highest(age)
    most = min(Decimal(share.cap), highest * share.most / 100)
    return Beats("moderate", _up(highest * share.least / 100), _down(most))


def _up(value: Decimal) -> int:
    return int(value.to_integral_value(ROUND_CEILING))


def _down(value: Decimal) -> int:
    return int(value.to_integral_value(ROUND_FLOOR))


def effort_levels(effort: int, age: int) -> dict[str, str]:
    """What each edition made for her age calls a number of the scale from 6 to 20.

    Editions that name none are left out; ValueError for a number off the scale.
    """
    if not LOWEST_EFFORT <= effort <= HIGHEST_EFFORT:
        raise ValueError(f"an effort is {LOWEST_EFFORT} to {HIGHEST_EFFORT}")
    scales = (one for one in published().scales.values() if one.of == EFFORT and one.is_for(age))
    return {one.code: level for one in scales if (level := one.level(effort))}


def disputed_efforts(age: int) -> tuple[int, ...]:
    """The numbers of that scale that editions made for her age call by different levels."""
    numbers = range(LOWEST_EFFORT, HIGHEST_EFFORT + 1)
    return tuple(one for one in numbers if len(set(effort_levels(one, age).values())) > 1)
