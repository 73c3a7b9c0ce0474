"""The pace of publishing: uploads a week, gaps, weeks in hand, days since the last one.

Weeks are ISO 8601 weeks: Monday to Sunday, numbered in the year that holds their Thursday.
All figures are worked out from days up to and including today; later ones are left out.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from itertools import pairwise

from coach.scheduling.values import SERVABLE_STAGES, Stage

WEEK = timedelta(days=7)
RATE_WEEKS = 8


@dataclass(frozen=True, slots=True)
class Published:
    """One upload that went out: the day, and what the class was for."""

    day: date
    focus: str
    stages: frozenset[Stage]


@dataclass(frozen=True, slots=True)
class Week:
    """One ISO week and its uploads. `met` is None while the week is not over."""

    year: int
    number: int
    monday: date
    uploads: int
    met: bool | None


@dataclass(frozen=True, slots=True)
class Gaps:
    """Days from one publishing day to the next. `spread` is the population standard deviation."""

    mean: float
    spread: float
    longest: int
    longest_from: date


@dataclass(frozen=True, slots=True)
class InHand:
    """How long finished classes last: weeks, and the day the last one goes out (None: none).

    That day is without any more filming. `rate` is classes filmed a week (None: none were), `ends`
    the day the last one goes out while she films at that rate; None where there is none in hand,
    and where she films no fewer than she publishes.
    """

    weeks: Fraction
    last_out: date | None
    rate: Fraction | None = None
    ends: date | None = None

    @property
    def keeps_up(self) -> bool:
        """Whether what is in hand never runs out at today's rate of filming."""
        return self.last_out is not None and self.ends is None


@dataclass(frozen=True, slots=True)
class Pace:
    """All the figures of the pace on one day; None where there is too little to say."""

    weeks: tuple[Week, ...]
    share_met: Fraction | None
    gaps: Gaps | None
    days_since_last: int | None
    in_hand: InHand


def pace(
    out: Iterable[date],
    *,
    finished: int,
    target: int,
    today: date,
    filmed: Iterable[date] = (),
    weeks: int = 26,
) -> Pace:
    """Every figure at once: the strip of weeks and the gaps over so many weeks, the rest over all.

    `out` holds the day of every upload, `target` is uploads a week, at least one; `finished` counts
    finished unpublished classes, and `filmed` holds the day on which each class was filmed.
    """
    days = [day for day in out if day <= today]
    strip = iso_weeks(days, target=target, today=today, weeks=weeks)
    rate = filming_rate(filmed, today=today)
    return Pace(
        weeks=strip,
        share_met=share_met(strip, first=min(days, default=None)),
        gaps=gaps(day for day in days if day >= strip[0].monday),
        days_since_last=(today - max(days)).days if days else None,
        in_hand=in_hand(finished, target=target, today=today, rate=rate),
    )


def iso_weeks(
    days: Iterable[date], *, target: int, today: date, weeks: int = 26
) -> tuple[Week, ...]:
    """The last so many ISO weeks with their uploads, oldest first; the last one holds today."""
    if target < 1 or weeks < 1:
        raise ValueError("A pace needs at least one upload a week and at least one week.")
    found = Counter(_monday(day) for day in days if day <= today)
    last = _monday(today)
    mondays = [last - WEEK * back for back in reversed(range(weeks))]
    return tuple(_week(monday, found[monday], target, over=monday < last) for monday in mondays)


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())


def _week(monday: date, uploads: int, target: int, *, over: bool) -> Week:
    year, number, _ = monday.isocalendar()
    return Week(year, number, monday, uploads, uploads >= target if over else None)


def weeks_ahead(today: date, weeks: int = 12) -> tuple[date, ...]:
    """The Mondays of the next so many ISO weeks, this one left out."""
    return tuple(_monday(today) + WEEK * n for n in range(1, weeks + 1))


def share_met(weeks: Iterable[Week], *, first: date | None) -> Fraction | None:
    """The share of weeks that met the target, from 0 to 1.

    Counted over weeks that are over, from the one of her first upload on: before it there was no
    pace to keep. None if no such week is over.
    """
    if first is None:
        return None
    met = [week.met for week in weeks if week.met is not None and week.monday >= _monday(first)]
    return Fraction(sum(met), len(met)) if met else None


def gaps(days: Iterable[date]) -> Gaps | None:
    """The gaps between publishing days, two uploads on one day being one; None under two days."""
    pairs = list(pairwise(sorted(set(days))))
    if not pairs:
        return None
    lengths = [(after - before).days for before, after in pairs]
    n, total = len(lengths), sum(lengths)
    variance = Fraction(n * sum(length**2 for length in lengths) - total**2, n**2)
    longest = max(lengths)
    return Gaps(total / n, math.sqrt(variance), longest, pairs[lengths.index(longest)][0])


def filming_rate(
    filmed: Iterable[date], *, today: date, weeks: int = RATE_WEEKS
) -> Fraction | None:
    """Classes filmed a week: those of the last so many weeks, today's included, ÷ that many weeks.

    None where nothing was filmed in them. Over eight weeks: common practice, no source.
    """
    first = today - WEEK * weeks
    count = sum(first < day <= today for day in filmed)
    return Fraction(count, weeks) if count else None


def in_hand(finished: int, *, target: int, today: date, rate: Fraction | None = None) -> InHand:
    """Finished unpublished classes ÷ uploads a week, and the day the last of them goes out.

    Publishing evenly from today, the last of n goes out within n ÷ target weeks; while `rate`
    classes a week are filmed as well, within n ÷ (target − rate). Days are rounded up to whole
    ones. Classes filmed but not finished are no part of n.
    """
    if target < 1 or finished < 0:
        raise ValueError("Weeks in hand need at least one upload a week, and no fewer than none.")
    last = _gone(finished, Fraction(target), today)
    return InHand(
        Fraction(finished, target),
        last,
        rate,
        _gone(finished, Fraction(target) - (rate or 0), today),
    )


def _gone(finished: int, a_week: Fraction, today: date) -> date | None:
    """The day the last of so many is gone at so many a week; None: there is none, or never."""
    if not finished or a_week <= 0:
        return None
    days = math.ceil(finished * 7 / a_week)
    return today + timedelta(days=min(days, (date.max - today).days))


def since_focus(uploads: Iterable[Published], *, today: date) -> tuple[tuple[str, int], ...]:
    """Days since the last upload of each focus that ever had one, the longest first."""
    last: dict[str, date] = {}
    for upload in uploads:
        if upload.day <= today and upload.focus:
            last[upload.focus] = max(upload.day, last.get(upload.focus, upload.day))
    ranked = sorted(last.items(), key=lambda pair: (pair[1], pair[0]))
    return tuple((focus, (today - day).days) for focus, day in ranked)


def since_stage(
    uploads: Iterable[Published], *, today: date
) -> tuple[tuple[Stage, int | None], ...]:
    """Days since the last upload for each stage that a class can be made for; None is never."""
    known = [upload for upload in uploads if upload.day <= today]
    return tuple((stage, _since(known, stage, today)) for stage in SERVABLE_STAGES)


def _since(uploads: Iterable[Published], stage: Stage, today: date) -> int | None:
    days = [upload.day for upload in uploads if stage in upload.stages]
    return (today - max(days)).days if days else None
