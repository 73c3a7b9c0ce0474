"""A month as weeks of days, and which of them are open for an upload. Pure."""

from __future__ import annotations

import calendar
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date, timedelta

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


@dataclass(frozen=True, slots=True, order=True)
class Month:
    """A calendar month, in ISO 8601 form "2027-01"."""

    year: int
    number: int

    @classmethod
    def of(cls, day: date) -> Month:
        """The month a day lies in."""
        return cls(day.year, day.month)

    @classmethod
    def parse(cls, text: str) -> Month:
        """Read "2027-01"; ValueError for anything else or a year outside 2000–2199."""
        first = date.fromisoformat(f"{text}-01")
        if not 2000 <= first.year < 2200:
            raise ValueError(f"{text} is not a month to plan")
        return cls.of(first)

    def __str__(self) -> str:
        return f"{self.year:04d}-{self.number:02d}"

    @property
    def first(self) -> date:
        return date(self.year, self.number, 1)

    @property
    def last(self) -> date:
        return date(self.year, self.number, calendar.monthrange(self.year, self.number)[1])

    @property
    def next(self) -> Month:
        return Month.of(self.last + timedelta(days=1))

    @property
    def previous(self) -> Month:
        return Month.of(self.first - timedelta(days=1))

    def weeks(self) -> list[list[date]]:
        """Its weeks, Monday first (ISO 8601), filled up with the days around it."""
        return calendar.Calendar(firstweekday=0).monthdatescalendar(self.year, self.number)

    def days(self) -> list[date]:
        """Its days in order."""
        count = (self.last - self.first).days + 1
        return [self.first + timedelta(days=n) for n in range(count)]


def open_days(
    month: Month,
    *,
    today: date,
    weekdays: Collection[int],
    days_off: Collection[date],
    taken: Iterable[date],
) -> tuple[date, ...]:
    """The publish days of a month that are still to come, not a day off and not taken.

    Today itself is over for planning: what goes out today has been decided.
    """
    closed = set(days_off) | set(taken)
    return tuple(
        day
        for day in month.days()
        if day > today and day.weekday() in weekdays and day not in closed
    )
