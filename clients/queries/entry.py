"""Reads of the page on which an assessment is taken."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from clients.models import Assessment, Client
from clients.queries.assessing import go_ahead_for, may_not_start, not_offered
from clients.queries.days import days_of
from clients.queries.facts import facts_for
from clients.queries.measuring import (
    catalogue,
    finger_of,
    measured_of,
    measuring_now,
    own_measures,
)
from clients.queries.scheme import the_scheme
from clients.rules.assessment import Catalogue, Measured
from clients.rules.measuring import COACH, HERSELF
from clients.rules.measuring_policy import Measuring
from clients.rules.roster import latest_dates
from coach.practice.models import User
from coach.scheduling.dates import stage_on
from coach.scheduling.values import GoAhead


def earlier_of(client: Client, row: Assessment | None, day: date) -> tuple[Measured, ...]:
    """What was finished before one that is taken on a day, the latest first.

    One of the same day comes before it if it was begun before it.
    """
    pk = row.pk if row else None
    return tuple(
        one
        for one in measured_of(client)
        if one.day < day or (one.day == day and (pk is None or one.pk < pk))
    )


def last_time(client: Client, row: Assessment | None, day: date) -> Measured | None:
    """The one finished before it; None: it is her first."""
    return next(iter(earlier_of(client, row, day)), None)


@dataclass(frozen=True, slots=True)
class EntryFacts:
    """What the page of an assessment knows: `row` None while nothing of it is kept.

    `refused`: why none may be begun, "" if one may be; `closed`: each test with why it is not
    offered; `after`: weeks are counted from an end; `fingers`: widths by who measures.
    """

    client: Client
    row: Assessment | None
    day: date
    known: Catalogue
    asked: frozenset[int]
    chosen: Measuring
    earlier: tuple[Measured, ...]
    found: GoAhead
    refused: str
    closed: Mapping[str, str]
    after: bool
    fingers: Mapping[str, int | None]


def entry_facts(client: Client, row: Assessment | None, day: date, *, user: User) -> EntryFacts:
    """Everything for the page; the same number of queries however long her history is."""
    found = go_ahead_for(client, day, days_of(client).earlier)
    dates = [one.dates for one in facts_for(client).known_by(day).pregnancies]
    ended = latest_dates(dates, day)[1]
    return EntryFacts(
        client=client,
        row=row,
        day=day,
        known=catalogue(),
        asked=frozenset(one.pk for one in own_measures(retired=False)),
        chosen=measuring_now(),
        earlier=earlier_of(client, row, day),
        found=found,
        refused="" if row else may_not_start(found),
        closed=not_offered(client, day, found),
        after=ended is not None and not stage_on(dates, day, the_scheme()).pregnant,
        fingers={who: finger_of(who, user=user, client=client) for who in (COACH, HERSELF)},
    )
