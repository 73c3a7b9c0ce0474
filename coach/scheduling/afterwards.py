"""Dates counted from the end of a pregnancy: always from that day, never from the due date."""

from __future__ import annotations

from calendar import monthrange
from dataclasses import dataclass
from datetime import date, timedelta


@dataclass(frozen=True, slots=True)
class Window:
    """A span of days after the end, both inclusive; the day of the end is day 0."""

    name: str
    first_day: int
    last_day: int
    source: str

    def dates(self, ended: date) -> tuple[date, date]:
        """The first and the last date of the window."""
        return ended + timedelta(days=self.first_day), ended + timedelta(days=self.last_day)


_ACOG_736 = "ACOG Committee Opinion 736 (2018, reaffirmed 2021)"
FIRST_CONTACT = Window("first contact", 0, 21, _ACOG_736)
# Twelve weeks; the six-week rule before 2018 was replaced and is not used.
COMPREHENSIVE_VISIT = Window("comprehensive visit", 0, 84, _ACOG_736)
GP_CHECK = Window("GP check", 42, 56, "NICE QS37, statement 6 (2022); NICE NG194 (2021)")
POSTNATAL_PERIOD = Window("postnatal period", 0, 42, "WHO postnatal guideline (2022)")


def weeks_since(ended: date, on: date) -> int:
    """Completed weeks from the end of a pregnancy to `on`.

    After a preterm birth too the count starts at the birth. A day before the
    end is a `ValueError`. Source: convention.
    """
    if on < ended:
        raise ValueError("that day is before the end of the pregnancy")
    return (on - ended).days // 7


def first_contact_by(ended: date) -> date:
    """The latest day of the first contact with a clinician: day 21. Source: ACOG CO 736 (2018)."""
    return FIRST_CONTACT.dates(ended)[1]


def comprehensive_visit_by(ended: date) -> date:
    """The latest day of the comprehensive visit: day 84. Source: ACOG CO 736 (2018)."""
    return COMPREHENSIVE_VISIT.dates(ended)[1]


def gp_check_window(ended: date) -> tuple[date, date]:
    """The first and last day of the GP check: days 42 to 56. Source: NICE QS37 statement 6."""
    return GP_CHECK.dates(ended)


def postnatal_period_last_day(ended: date) -> date:
    """The last day of the postnatal period: day 42. Source: WHO postnatal guideline (2022)."""
    return POSTNATAL_PERIOD.dates(ended)[1]


def add_months(day: date, n: int) -> date:
    """The same day `n` calendar months on (below zero: back), clamped to the month's end.

    Six months are not 26 weeks. A year that dates do not reach is a
    `ValueError`. Source: common practice.
    """
    years, month = divmod(day.year * 12 + day.month - 1 + n, 12)
    if not date.min.year <= years <= date.max.year:
        raise ValueError(f"no date {n} months from {day}")
    last = monthrange(years, month + 1)[1]
    return date(years, month + 1, min(day.day, last))
