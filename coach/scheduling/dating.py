"""The due date of a pregnancy, its age on a day, and what a scan may do to its dating."""

from __future__ import annotations

import re
from bisect import bisect_right
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

TERM_DAYS = 280  # from the first day of the last period to the due date, ACOG CO 700 (2017)
CONCEPTION_TO_TERM_DAYS = 266  # textbook
CYCLE_DAYS = 28  # the cycle that the 280 days assume, ACOG CO 700 (2017)
CYCLE_RANGE = range(20, 46)  # cycles that can date a pregnancy at all: common practice, no source
# Day-5 embryo: ACOG CO 700 (2017). Day-3 embryo: the same opinion, from memory.
TRANSFER_TO_TERM_DAYS = {3: 263, 5: 261}

_TYPED_AGE = re.compile(r"([0-9]{1,3})(?:w(?: ?([0-6])d)?|\+([0-6]))", re.IGNORECASE)


@dataclass(frozen=True, order=True, slots=True)
class GestationalAge:
    """The age of a pregnancy in whole days since its day 0 (the first day of the last period).

    Ages are ordered and never below zero: a `ValueError` says so. Source of
    the count: ACOG Committee Opinion 700 (2017).
    """

    days: int

    def __post_init__(self) -> None:
        if self.days < 0:
            raise ValueError("the age of a pregnancy is never below zero days")

    @classmethod
    def parse(cls, text: str) -> GestationalAge:
        """The age typed as "21w4d", "21w" or "21+4"; anything else is a `ValueError`."""
        found = _TYPED_AGE.fullmatch(text.strip())
        if found is None:
            raise ValueError("Write the weeks and days like this: 21w4d.")
        weeks, rest, rest_after_plus = found.groups()
        return cls(int(weeks) * 7 + int(rest or rest_after_plus or 0))

    @property
    def weeks(self) -> int:
        """Completed weeks."""
        return self.days // 7

    @property
    def rest(self) -> int:
        """Days beyond the completed weeks, 0 to 6."""
        return self.days % 7

    @property
    def ordinal_week(self) -> int:
        """The week she is in: 20 completed weeks are "in week 21" (convention)."""
        return self.weeks + 1

    def __str__(self) -> str:
        return f"{self.weeks}w{self.rest}d"


def due_from_last_period(first_day: date, cycle_days: int = CYCLE_DAYS) -> date:
    """The due date: 280 days after the first day of the last period.

    Days are counted; the calendar rule (three months back, seven days on) is
    not used because it strays by up to three days. Each day that the cycle
    differs from 28 moves the date by one day: common practice, no source.
    A cycle outside 20 to 45 days is a `ValueError`. Source of the 280 days:
    ACOG Committee Opinion 700 (2017).
    """
    if cycle_days not in CYCLE_RANGE:
        raise ValueError("a due date can be counted from a cycle of 20 to 45 days only")
    return first_day + timedelta(days=TERM_DAYS + cycle_days - CYCLE_DAYS)


def due_from_conception(day: date) -> date:
    """The due date: 266 days after conception or egg retrieval. Source: textbook."""
    return day + timedelta(days=CONCEPTION_TO_TERM_DAYS)


def due_from_transfer(day: date, embryo_days: int = 5) -> date:
    """The due date from the transfer of an embryo of 5 days (+261) or 3 days (+263).

    Another age is a `ValueError`. Source: ACOG Committee Opinion 700 (2017),
    the day-3 figure from memory.
    """
    if embryo_days not in TRANSFER_TO_TERM_DAYS:
        raise ValueError("an embryo is transferred at 3 or 5 days")
    return day + timedelta(days=TRANSFER_TO_TERM_DAYS[embryo_days])


def due_from_scan(scan_day: date, gestational_age: GestationalAge) -> date:
    """The due date by a scan: the scan's day and the age that it gave, counted on to 280 days.

    Source: ACOG Committee Opinion 700 (2017).
    """
    return scan_day + timedelta(days=TERM_DAYS - gestational_age.days)


def days_left(due: date, on: date) -> int:
    """Days from `on` to the due date; below zero once it is past."""
    return (due - on).days


def gestational_age(due: date, on: date) -> GestationalAge | None:
    """The age on a day, 280 less the days left; None before day 0, when there was no pregnancy.

    It counts on after the due date: whether she is still pregnant then is for
    the caller to know. Source: ACOG Committee Opinion 700 (2017).
    """
    days = TERM_DAYS - days_left(due, on)
    return GestationalAge(days) if days >= 0 else None


@dataclass(frozen=True, slots=True)
class RedatingLimit:
    """From this age on, a scan may differ from the dates by so many days and not more."""

    from_age: GestationalAge
    days: int
    source: str


_REDATING_SOURCE = "ACOG Committee Opinion 700 (2017), table 1"
REDATING_LIMITS = tuple(
    RedatingLimit(GestationalAge.parse(age), days, _REDATING_SOURCE)
    for age, days in (
        ("0w0d", 5),  # to 8w6d
        ("9w0d", 7),  # to 13w6d
        ("14w0d", 7),  # to 15w6d
        ("16w0d", 10),  # to 21w6d
        ("22w0d", 14),  # to 27w6d
        ("28w0d", 21),
    )
)
LATEST_CONFIRMING_SCAN = GestationalAge.parse("22w0d")


def _limit_at(age: GestationalAge) -> RedatingLimit:
    return REDATING_LIMITS[bisect_right(REDATING_LIMITS, age, key=lambda row: row.from_age) - 1]


def redating_limit(age: GestationalAge) -> int:
    """How many days a scan at this age (by the last period) may differ before redating.

    Redating is for a difference of *more than* this. Source: ACOG Committee
    Opinion 700 (2017), table 1.
    """
    return _limit_at(age).days


class DatingVerdict(StrEnum):
    """What comparing two due dates comes to."""

    KEEP = "keep"
    BEYOND_LIMIT = "differs by more than allowed"


@dataclass(frozen=True, slots=True)
class DatingComparison:
    """Two due dates side by side. It changes nothing: redating is a clinician's decision."""

    by_period: date
    by_scan: date
    age: GestationalAge
    limit: RedatingLimit

    @property
    def difference_days(self) -> int:
        """Days by which the scan's due date is later (below zero: earlier)."""
        return (self.by_scan - self.by_period).days

    @property
    def beyond_limit(self) -> bool:
        """True when the two differ by more than the limit, either way."""
        return abs(self.difference_days) > self.limit.days

    @property
    def verdict(self) -> DatingVerdict:
        """`beyond_limit` in words."""
        return DatingVerdict.BEYOND_LIMIT if self.beyond_limit else DatingVerdict.KEEP


def compare_datings(by_period: date, by_scan: date, age: GestationalAge) -> DatingComparison:
    """Compare the due date by the last period with the one by a scan.

    `age` is her age on the day of the scan by the last period. The result
    only says whether they differ by more than allowed; nothing is redated
    silently. Not for a pregnancy dated by an embryo transfer, which a scan
    does not redate (the same opinion, from memory). Source: ACOG Committee
    Opinion 700 (2017), table 1.
    """
    return DatingComparison(by_period, by_scan, age, _limit_at(age))


def suboptimally_dated(first_scan_age: GestationalAge | None) -> bool:
    """True when no scan before 22w0d confirms the dating; None means no scan on record.

    Source: ACOG Committee Opinion 700 (2017).
    """
    return first_scan_age is None or first_scan_age >= LATEST_CONFIRMING_SCAN
