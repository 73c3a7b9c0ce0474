"""The only clock. Everything else is given its "now" or its "today"."""

from __future__ import annotations

import os
from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

PRETENDED_HOUR = 9  # in the zone asked for; a working hour, so that no zone west of it lags a day


def pretended() -> date | None:
    """The day that COACH_TODAY=YYYY-MM-DD pretends it is; ValueError for any other form."""
    text = os.environ.get("COACH_TODAY")
    return date.fromisoformat(text) if text else None


def now() -> datetime:
    """The present moment in UTC; under COACH_TODAY nine o'clock UTC of that day."""
    day = pretended()
    return datetime.combine(day, time(PRETENDED_HOUR), UTC) if day else datetime.now(UTC)


def today(zone: str | ZoneInfo) -> date:
    """The date it is in a time zone, by IANA name; under COACH_TODAY that date everywhere."""
    place = zone if isinstance(zone, ZoneInfo) else ZoneInfo(zone)
    return pretended() or datetime.now(UTC).astimezone(place).date()
