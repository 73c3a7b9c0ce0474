"""The pace in words, and its weeks as bars to draw. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from coach.scheduling.cadence import RATE_WEEKS, Gaps, InHand, Week
from coach.scheduling.planner.words import count, past

STEP, BAR, TALLEST, SHORTEST = 10, 7, 36, 2


@dataclass(frozen=True, slots=True)
class Bar:
    """One week in a drawing STEP wide a week and TALLEST high; `kind` is "met" or "missed"."""

    x: int
    y: int
    height: int
    kind: str
    words: str


def bars(weeks: Sequence[Week], *, target: int) -> tuple[Bar, ...]:
    """A bar a week, oldest first: as high as its uploads, hollow while they are under `target`."""
    most = max(target, *(week.uploads for week in weeks))
    return tuple(_bar(place, week, target, most) for place, week in enumerate(weeks))


def _bar(place: int, week: Week, target: int, most: int) -> Bar:
    height = max(SHORTEST, round(TALLEST * week.uploads / most))
    kind = "met" if week.uploads >= target else "missed"
    many = "" if week.uploads == 1 else "s"
    words = f"week {week.number} of {week.year}: {week.uploads} upload{many}"
    return Bar(place * STEP, TALLEST - height, height, kind, words)


def pace_in_words(weeks: Sequence[Week], *, target: int, first: date) -> str:
    """ "2 a week wanted: met in 19 of the last 25 weeks." Counted from the week of the first upload
    on and without the week that is not over, as cadence.share_met does."""
    begun = first - timedelta(days=first.weekday())
    met = [week.met for week in weeks if week.met is not None and week.monday >= begun]
    if not met:
        return f"{target} a week wanted: no whole week has gone by since the first upload."
    if len(met) == 1:
        return f"{target} a week wanted: {'met' if met[0] else 'not met'} last week."
    return f"{target} a week wanted: met in {sum(met)} of the last {len(met)} weeks."


def in_hand_in_words(in_hand: InHand) -> str:
    """ "4½ weeks": how long the finished classes last, down to half a week."""
    halves = int(in_hand.weeks * 2)
    whole, half = divmod(halves, 2)
    if halves == 0:
        return "less than half a week" if in_hand.weeks > Fraction(0) else "nothing"
    number = f"{whole or ''}{'½' if half else ''}"
    return f"{number} week{'' if halves <= 2 else 's'}"


def share_in_words(share: Fraction | None) -> str:
    """ "76 %", rounded down so that a week missed always shows; "" where it is not known."""
    return f"{int(share * 100)} %" if share is not None else ""


def gap_in_words(gaps: Gaps) -> str:
    """ "3.5 days, give or take 1.2": mean and standard deviation."""
    if gaps.spread < 0.05:
        return f"{_short(gaps.mean)} days, always"
    return f"{_short(gaps.mean)} days, give or take {_short(gaps.spread)}"


def rate_in_words(in_hand: InHand) -> str:
    """ "1.5 a week": classes filmed, over the weeks that the rate is taken from."""
    if in_hand.rate is None:
        return f"nothing in the last {count(RATE_WEEKS, 'week')}"
    return f"{_short(float(in_hand.rate))} a week, over the last {count(RATE_WEEKS, 'week')}"


def ends_in_words(in_hand: InHand, today: date) -> str:
    """When what is in hand runs out, with filming as it goes and without any more."""
    if in_hand.last_out is None:
        return "Nothing finished is waiting: what goes out next has still to be made."
    without = (
        f"Without filming, the last finished class goes out on {past(in_hand.last_out, today)}"
    )
    if in_hand.rate is None:
        return f"{without}."
    if in_hand.keeps_up:
        return f"{without}; at today’s rate of filming you never run out."
    assert in_hand.ends is not None  # what neither keeps up nor is empty ends
    return f"{without}; at today’s rate of filming you run out on {past(in_hand.ends, today)}."


def ago(days: int | None) -> str:
    """ "today", "1 day ago", "26 days ago", "never"."""
    if days is None:
        return "never"
    return {0: "today", 1: "1 day ago"}.get(days, f"{days:,} days ago")


def _short(number: float) -> str:
    return f"{number:.1f}".removesuffix(".0")
