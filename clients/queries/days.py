"""Which day it is: where the coach is and where a client is."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple
from zoneinfo import ZoneInfo

from clients.models import Client
from coach import clock
from coach.practice.queries import the_practice


class Days(NamedTuple):
    """The date where the coach is and where the client is: the earlier and the later.

    A day that has begun for either has come; what is recorded counts at once for both.
    """

    earlier: date
    later: date


def days_of(client: Client) -> Days:
    """Today, in both places, in one query."""
    return days_in(client.time_zone, the_practice().time_zone)


def days_in(one: str, two: str) -> Days:
    """Today, in two zones by IANA name."""
    dates = sorted(clock.today(ZoneInfo(zone)) for zone in (one, two))
    return Days(dates[0], dates[-1])


def practice_today() -> date:
    """Today where the coach is."""
    return clock.today(ZoneInfo(the_practice().time_zone))
