"""Months as this room counts them. Pure."""

from __future__ import annotations

from calendar import monthrange
from datetime import date


def month_of(day: date) -> date:
    """The first day of the month that a day lies in."""
    return day.replace(day=1)


def last_of(day: date) -> date:
    """The last day of the month that a day lies in."""
    return day.replace(day=monthrange(day.year, day.month)[1])
