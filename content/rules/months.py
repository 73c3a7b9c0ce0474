"""A month as weeks of days, and which of them are open for an upload. Pure."""

from __future__ import annotations

import calendar
from collections import Counter
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


def free_places(days: Collection[date], taken: Iterable[date], a_week: int | None) -> int:
    """How many more uploads open days are for: each one, or with so many a week what each ISO week
    still lacks.
    """
    if a_week is None:
        return len(days)
    open_in, standing = (Counter(day.isocalendar()[:2] for day in some) for some in (days, taken))
    return sum(min(many, max(0, a_week - standing[week])) for week, many in open_in.items())


def closed_days(
    month: Month,
    *,
    today: date,
    weekdays: Collection[int],
    days_off: Collection[date],
    taken: Collection[date],
) -> tuple[tuple[date, str], ...]:
    """The days of a month to come that `open_days` leaves out, each with the reason."""

    def why(day: date) -> str:
        if day in taken:
            return "an upload stands there"
        if day in days_off:
            return "a day off"
        return "" if day.weekday() in weekdays else "no publish day of yours"

    return tuple((day, why(day)) for day in month.days() if day > today and why(day))


def film_days(
    month: Month, *, today: date, weekdays: Collection[int], days_off: Collection[date]
) -> tuple[date, ...]:
    """The filming days from tomorrow to the month's end that are no day off."""
    count = max(0, (month.last - today).days)
    coming = (today + timedelta(days=n) for n in range(1, count + 1))
    return tuple(day for day in coming if day.weekday() in weekdays and day not in days_off)


def most_of(share: int, uploads: int, standing: int) -> int:
    """How many more of a focus a month takes: its share in per cent of all uploads of the month,
    rounded up, less those that stand already."""
    return max(0, -(-share * uploads // 100) - standing)


def most_days_between(a_week: int) -> int:
    """The most days from one upload to the next that so many a week, every week, leave room for."""
    return 7 // a_week
