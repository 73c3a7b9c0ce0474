"""Reads of readiness for impact, and of whom to ask how she was the day after her tests."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import reduce
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Q

from clients.models import Assessment, Client
from clients.queries.days import Days, days_of
from clients.queries.facts import facts_for
from clients.queries.go_ahead import policies
from clients.queries.measuring import measured_of, measured_row, measuring_policies
from clients.rules.assessment import NEXT_DAY, Measured
from clients.rules.facts import ClientFacts
from clients.rules.go_ahead import go_ahead, strictest
from clients.rules.known_day import KnownDay
from clients.rules.measuring_policy import MeasuringPolicies
from clients.rules.needs import ACTIVE, PAUSED
from clients.rules.policy import Policies
from clients.rules.readiness import Readiness, ReadinessFacts, readiness
from clients.rules.readiness_tests import was_tested
from coach.practice.queries import the_practice
from coach.scheduling.values import GoAhead, Limits

ASK_WITHIN_DAYS = 7
# Days are kept where the coach or the client is: three more than are asked for cover both.
_MADE_WITHIN_DAYS = 10
_LISTED = (
    "id", "client_id", "client__name", "client__quiet", "key", "day", "measures", "by", "who",
    "method", "position", "finger_mm", "finished_at", "origin", "created_at", "withdrawn_on",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Recorded:
    """All that readiness and the go-ahead of a client rest on, read once for any number of days."""

    facts: ClientFacts
    in_force: Policies
    measured: tuple[Measured, ...]
    choices: MeasuringPolicies
    today: Days
    quiet: bool

    @classmethod
    def of(cls, client: Client) -> Recorded:
        """A client's, in nine queries."""
        return cls(
            facts_for(client), policies(), tuple(measured_of(client, finished=False)),
            measuring_policies(), days_of(client), bool(client.quiet),
        )  # fmt: skip

    def days(self, on: date) -> Days:
        """The day asked for; today it is hers and the coach's."""
        return self.today if self.today.earlier <= on <= self.today.later else Days(on, on)

    def go_ahead(self, on: date) -> GoAhead:
        """Her go-ahead on a day; today the stricter of her date and the coach's."""
        days = sorted(set(self.days(on)))
        return reduce(strictest, [go_ahead(self.facts, day, self.in_force) for day in days])

    def readiness(self, on: date) -> Readiness:
        """What is missing for a return to impact on a day, as known by it.

        Where her date and the coach's differ today, waits end for both.
        """
        days, facts = self.days(on), self.facts
        rests_on = ReadinessFacts(
            pregnancies=facts.known_by(days.later).pregnancies,
            measured=self.measured,
            go_ahead=self.go_ahead(on),
            said=reduce(Limits.and_also, [_said(facts, day, self.in_force) for day in days]),
            policy=self.in_force.on(days.later),
            quiet=self.quiet,
        )
        return readiness(rests_on, days.later, self.choices.on(days.later), earlier=days.earlier)


def readiness_of(client: Client, on: date) -> Readiness:
    """What is missing for a return to impact on a day, as known by it; in nine queries."""
    return Recorded.of(client).readiness(on)


def _said(facts: ClientFacts, on: date, in_force: Policies) -> Limits:
    """What clinicians limited, without what recoveries do."""
    return KnownDay.of(facts, on, in_force.on(on)).letter_limits


def to_ask_after(client: Client, found: Readiness) -> list[tuple[UUID, date]]:
    """The key and the day of each assessment whose day after is to be asked about; one query."""
    days = {one.pk: one.day for one in found.ask_after if one.day < found.on}
    rows = client.assessments.filter(pk__in=days).values_list("pk", "key")
    return [(key, days[pk]) for pk, key in rows]


@dataclass(frozen=True, slots=True)
class ToAskAfter:
    """A client who did tests on a day; nobody has asked her yet how she was the day after."""

    client_id: int
    name: str
    quiet: bool
    key: UUID
    day: date


def tests_to_follow_up(today: date) -> list[ToAskAfter]:
    """Whom to ask how she was the day after tests, the longest ago first; in two queries.

    Tests of yesterday and of up to seven days ago, of clients who are coached. Days are encrypted,
    so only what was begun or finished lately is read: no older row can hold such a day.
    """
    found = [
        ToAskAfter(row["client_id"], row["client__name"], bool(row["client__quiet"]), row["key"],
                   row["day"])
        for row in _lately(today)
        if row["withdrawn_on"] is None and 1 <= (today - row["day"]).days <= ASK_WITHIN_DAYS
        if (one := measured_row(row)) and was_tested(one.values) and not one.answer(NEXT_DAY)
    ]  # fmt: skip
    return sorted(found, key=lambda one: (one.day, one.name, one.client_id))


def _lately(today: date) -> list[dict[str, Any]]:
    zone = ZoneInfo(the_practice().time_zone)
    since = datetime.combine(today - timedelta(days=_MADE_WITHIN_DAYS), time.min, zone)
    lately = Q(created_at__gte=since) | Q(finished_at__gte=since)
    rows = Assessment.objects.filter(lately, client__standing__in=(ACTIVE, PAUSED))
    return list(rows.order_by("pk").values(*_LISTED))
