"""Reads of screenings, conditions, follow-ups, exceptions, and where a client trains."""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import date, timedelta

from clients.models import Client, Condition, Screening, SessionException, WarningSign
from clients.queries.facts import condition_key, facts_by_client, facts_for
from clients.queries.go_ahead import COACHED, policies
from clients.rules.facts import ConditionFact
from clients.rules.go_ahead import open_conditions, unanswered
from clients.rules.place import Place
from clients.rules.screening import Effect

_DAY = timedelta(days=1)
_PLACE = tuple(field.name for field in fields(Place))


@dataclass(frozen=True, slots=True)
class FollowUp:
    """A warning sign to be followed up: wanted `by` the day after it became known."""

    sign: WarningSign
    client: Client
    by: date


def screenings_of(client: Client) -> list[Screening]:
    """Her screenings, the latest first."""
    return sorted(client.screenings.all(), key=lambda row: (row.answered_on, row.pk), reverse=True)


def conditions_of(client: Client) -> list[Condition]:
    """Her conditions, those that are over too, the latest first."""
    return sorted(client.conditions.all(), key=lambda row: (row.named_on, row.pk), reverse=True)


def exceptions_of(client: Client) -> list[SessionException]:
    """The days on which she was trained by exception, the latest first."""
    rows = client.exceptions.select_related("by")
    return sorted(rows, key=lambda row: (row.day, row.pk), reverse=True)


def exception_on(client: Client, day: date) -> SessionException | None:
    """The exception of a day, if there is one."""
    return next((row for row in exceptions_of(client) if row.day == day), None)


def waiting_rows(client: Client, on: date) -> list[WarningSign | Condition]:
    """What is recorded of her and nobody has answered by name, as known on a day."""
    facts, in_force = facts_for(client), policies()
    signs = {one.pk for one in unanswered(facts, on, in_force)}
    keys = {one.key for one, _ in open_conditions(facts, on, in_force)}
    return [
        *(row for row in client.signs.all() if row.pk in signs),
        *(row for row in client.conditions.all() if condition_key(row.pk) in keys),
    ]


@dataclass(frozen=True, slots=True)
class Held:
    """An answer of a client being coached that stops or holds her, and that nobody has answered."""

    client: Client
    condition: ConditionFact
    effect: Effect


def held_by_answers(today: date) -> list[Held]:
    """Everybody whose own answers stop or hold her on a day, stops first; eight queries."""
    rows = Condition.objects.filter(over_on__isnull=True, client__standing__in=COACHED)
    clients = {row.client_id: row.client for row in rows.select_related("client")}
    facts = facts_by_client(clients, {pk: bool(one.quiet) for pk, one in clients.items()})
    in_force = policies()
    found = [
        Held(client, condition, effect)
        for pk, client in clients.items()
        for condition, effect in open_conditions(facts[pk], today, in_force)
        if condition.origin == "screening" and effect is not Effect.NOTE
    ]
    return sorted(
        found, key=lambda one: (one.effect != Effect.STOP, one.client.name, one.client.pk)
    )


def open_follow_ups(today: date) -> list[FollowUp]:
    """Warning signs whose follow-up is due by a day and not closed, the oldest first; one query.

    It is wanted on the day after the sign became known, and stays until somebody has said who
    advised what; of former clients too. A clearance does not close it.
    """
    rows = WarningSign.objects.filter(followed_up_on__isnull=True, withdrawn_on__isnull=True)
    found = (
        FollowUp(row, row.client, row.known_on + _DAY) for row in rows.select_related("client")
    )
    due = [one for one in found if one.by <= today]
    return sorted(due, key=lambda one: (one.by, one.client.name, one.sign.pk))


def place_of(client: Client) -> Place:
    """Where she trains and whom to ring there, as kept."""
    return Place(**{name: getattr(client, name) for name in _PLACE})
