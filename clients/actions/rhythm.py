"""Writes of when a client is seen again; each is one transaction with one audit entry.

A rhythm's `changed_at` is the moment at which its snooze was set or ended, so that what she said
since can be told from what was known then. Everything else here stamps the client instead.
"""

from __future__ import annotations

from collections.abc import Collection
from datetime import date, timedelta
from typing import Any

from django.db import transaction

from clients.actions.shared import days_of, lock, refuse_if
from clients.models import Client, Rhythm, Standing
from clients.queries.days import practice_today
from clients.queries.reassessing import reassessment_rules
from clients.rules.pregnancies import Problem
from coach import clock
from coach.practice import audit
from coach.practice.audit import Actor

LONGEST_SNOOZE_DAYS = 366
LONGEST_REASON = 300
MOST_WEEKS = 104


@transaction.atomic
def snooze(*, by: Actor, client: Client, until: date, reason: str) -> Rhythm:
    """Ask nothing of her before a day: Refused without a reason or a coming day within a year."""
    lock(client)
    today, reason, found = days_of(client).later, reason.strip(), []
    if not today < until <= today + timedelta(days=LONGEST_SNOOZE_DAYS):
        found.append(Problem("until", "Choose a coming day, at most a year ahead."))
    if not reason:
        found.append(Problem("reason", "Say why: it stands beside her name until that day."))
    if len(reason) > LONGEST_REASON:
        found.append(Problem("reason", f"Write at most {LONGEST_REASON} letters."))
    refuse_if(found)
    return _set_snooze(by, client, "snoozed", until, reason)


@transaction.atomic
def end_snooze(*, by: Actor, client: Client) -> Rhythm:
    """Ask for her again at once."""
    lock(client)
    return _set_snooze(by, client, "ended the snooze of", None, "")


def _set_snooze(by: Actor, client: Client, verb: str, until: date | None, reason: str) -> Rhythm:
    row = _rhythm(client)
    row.snoozed_until, row.snooze_reason, row.changed_at = until, reason, clock.now()
    row.save(update_fields=["snoozed_until", "snooze_reason", "changed_at"])
    audit.record(by=by, verb=verb, subject=row, fields={"snoozed_until", "snooze_reason"})
    return row


@transaction.atomic
def set_interval(*, by: Actor, client: Client, every_weeks: int | None) -> Rhythm:
    """See her every so many weeks instead of what her stage asks; None: as the practice does.

    Refused for less than the practice lets lie between two, and for more than two years.
    """
    lock(client)
    least = reassessment_rules(practice_today()).number("least_weeks")
    if every_weeks is not None and not least <= every_weeks <= MOST_WEEKS:
        problem = (
            f"From {least} to {MOST_WEEKS} weeks: symptoms and signs ask sooner by themselves."
        )
        refuse_if([Problem("every_weeks", problem)])
    row, changed = _change(client, every_weeks=every_weeks)
    audit.record(by=by, verb="changed", subject=row, fields=changed)
    return row


@transaction.atomic
def resume(*, by: Actor, client: Client) -> Rhythm:
    """Ask for her again, after a loss had paused it."""
    lock(client)
    row, changed = _change(client, resumed_on=days_of(client).later)
    audit.record(by=by, verb="resumed", subject=row, fields=changed)
    return row


def keep_pause(client: Client, before: str) -> None:
    """Keep the days of a pause, once her standing is another than before; inside a transaction."""
    today = days_of(client).later
    if client.standing == before:
        return
    if client.standing == Standing.ACTIVE:
        _change(client, back_on=today)
    elif before == Standing.ACTIVE:
        _change(client, away_from=today, back_on=None)


def _rhythm(client: Client) -> Rhythm:
    return Rhythm.objects.get_or_create(client=client)[0]


def _change(client: Client, **values: Any) -> tuple[Rhythm, Collection[str]]:
    """Set what differs, leave the moment of the snooze, and stamp the client."""
    row = _rhythm(client)
    changed = [name for name, value in values.items() if getattr(row, name) != value]
    if changed:
        for name in changed:
            setattr(row, name, values[name])
        row.save(update_fields=changed)
        client.changed_at = clock.now()
        client.save(update_fields=["changed_at"])
    return row, changed
