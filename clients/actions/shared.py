"""What the actions of this room share: refusing, holding a client, and which day it is for her."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import NamedTuple
from zoneinfo import ZoneInfo

from clients.models import Client
from clients.rules.pregnancies import Problem
from coach import clock
from coach.practice.queries import the_practice


class Refused(ValueError):
    """The facts cannot be kept; `problems` say why, a sentence to a field."""

    def __init__(self, found: Iterable[Problem]) -> None:
        self.problems = list(found)
        super().__init__(" ".join(problem.sentence for problem in self.problems))


class Days(NamedTuple):
    """The date where the coach is and where the client is: the earlier and the later.

    A day that has begun for either has come; what is recorded counts at once for both.
    """

    earlier: date
    later: date


def days_of(client: Client) -> Days:
    """Today, in both places."""
    zones = (client.time_zone, the_practice().time_zone)
    dates = sorted(clock.today(ZoneInfo(zone)) for zone in zones)
    return Days(dates[0], dates[-1])


def lock(client: Client) -> None:
    """The client as she is now, held until the transaction ends: two forms cannot both be kept."""
    client.refresh_from_db(from_queryset=Client.objects.select_for_update())


def refuse_if(found: list[Problem]) -> None:
    """Refused, if anything was found."""
    if found:
        raise Refused(found)
