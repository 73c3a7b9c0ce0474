"""Writes of a client and her pregnancies; each is one transaction with one audit entry."""

from __future__ import annotations

from dataclasses import asdict
from datetime import date
from typing import Any

from django.db import transaction

from clients.actions.rhythm import keep_pause
from clients.actions.shared import Refused, days_of, lock, refuse_if
from clients.actions.spans import rewrite_spans
from clients.models import Client, DueDateChange, Pregnancy, Standing
from clients.queries import facts_of, replaced_dates
from clients.rules.pregnancies import PregnancyFacts, Problem, problems
from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.writing import change
from coach.scheduling.dates import Ending


@transaction.atomic
def add_client(
    *,
    by: Actor,
    name: str,
    time_zone: str,
    pregnancy: PregnancyFacts | None = None,
    **values: Any,
) -> Client:
    """Add a client, if known with a pregnancy: Refused when that cannot be.

    `values`: any of email, phone, note, standing, quiet, birth_date, and those of set_place.
    """
    client = Client.objects.create(name=name, time_zone=time_zone, **values)
    fields = {"name", "time_zone", *values}
    if pregnancy:
        fields |= {f"pregnancy {field}" for field in _keep(client, pregnancy)}
        fields |= set(_quiet_after(client, pregnancy))
    rewrite_spans(client)
    audit.record(by=by, verb="added", subject=client, fields=fields)
    return client


@transaction.atomic
def change_client(*, by: Actor, client: Client, **values: Any) -> Client:
    """Change her name, how to reach her, her time zone or the note."""
    audit.record(by=by, verb="changed", subject=client, fields=change(client, **values))
    return client


@transaction.atomic
def set_standing(*, by: Actor, client: Client, standing: Standing) -> Client:
    """Say that she is coached, pauses, or no longer is; the days of a pause are kept."""
    before = client.standing
    changed = change(client, standing=standing)
    keep_pause(client, before)
    audit.record(by=by, verb="changed", subject=client, fields=changed)
    return client


@transaction.atomic
def set_quiet(*, by: Actor, client: Client, quiet: bool) -> Client:
    """Turn quiet on or off; a loss turns it on by itself."""
    audit.record(by=by, verb="changed", subject=client, fields=change(client, quiet=quiet))
    return client


@transaction.atomic
def add_pregnancy(*, by: Actor, client: Client, facts: PregnancyFacts) -> Pregnancy:
    """Add a pregnancy, running or over; Refused when it cannot be beside the others."""
    lock(client)
    pregnancy = Pregnancy(client=client)
    fields = _keep(client, facts, pregnancy)
    fields |= set(_quiet_after(client, facts))
    rewrite_spans(client)
    audit.record(by=by, verb="added", subject=pregnancy, fields=fields)
    return pregnancy


@transaction.atomic
def change_pregnancy(
    *, by: Actor, pregnancy: Pregnancy, facts: PregnancyFacts, reason: str = ""
) -> Pregnancy:
    """Change a pregnancy. Another due date needs a reason, and the earlier one is kept."""
    lock(pregnancy.client)
    pregnancy.refresh_from_db()
    _refuse(pregnancy.client, facts, but=pregnancy)
    _keep_earlier_due(by, pregnancy, facts, reason)
    changed = _change(pregnancy, facts)
    audit.record(by=by, verb="changed", subject=pregnancy, fields=changed, reason=reason)
    return pregnancy


@transaction.atomic
def record_end(
    *,
    by: Actor,
    pregnancy: Pregnancy,
    ending: Ending,
    ended: date,
    birth_mode: str = "",
    born: int | None = None,
    tear: str = "",
    wound: str = "",
    gestation: str = "",
    surgical: str = "",
) -> Pregnancy:
    """Say how and when a pregnancy ended. A loss makes the client quiet at the same moment.

    `birth_mode`, `born`, `tear` and `wound` are of a birth, `gestation` and `surgical` of a loss;
    Refused otherwise.
    """
    lock(pregnancy.client)
    pregnancy.refresh_from_db()
    if pregnancy.ending:
        raise Refused([Problem("ending", "How it ended is recorded already: change it there.")])
    facts = facts_of(pregnancy).ended_by(
        ending,
        ended,
        birth_mode=birth_mode,
        born=born,
        tear=tear,
        wound=wound.strip(),
        gestation=gestation.strip(),
        surgical=surgical,
    )
    _refuse(pregnancy.client, facts, but=pregnancy)
    changed = _change(pregnancy, facts)
    audit.record(by=by, verb="recorded the end of", subject=pregnancy, fields=changed)
    return pregnancy


def _keep(client: Client, facts: PregnancyFacts, pregnancy: Pregnancy | None = None) -> set[str]:
    """Store a new pregnancy; returns the names of what is known of it."""
    _refuse(client, facts)
    row = pregnancy or Pregnancy(client=client)
    row.known_on = days_of(client).earlier
    known = {name: value for name, value in asdict(facts).items() if value not in (None, "")}
    for name, value in known.items():
        setattr(row, name, value)
    row.save()
    return set(known)


def _change(pregnancy: Pregnancy, facts: PregnancyFacts) -> set[str]:
    """Store what differs, and from which day it is known so; returns the names of the fields."""
    client = pregnancy.client
    values = {**asdict(facts), **replaced_dates(pregnancy, facts, days_of(client).earlier)}
    changed = {*change(pregnancy, **values), *_quiet_after(client, facts)}
    rewrite_spans(client)
    return changed - {"known_on", "earlier"}


def _refuse(client: Client, facts: PregnancyFacts, but: Pregnancy | None = None) -> None:
    rows = client.pregnancies.exclude(pk=but.pk) if but else client.pregnancies.all()
    others = [facts_of(row).dates for row in rows]
    refuse_if(problems(facts, others=others, today=days_of(client).later))


def _keep_earlier_due(by: Actor, pregnancy: Pregnancy, facts: PregnancyFacts, reason: str) -> None:
    if pregnancy.due is None or pregnancy.due == facts.due:
        return
    if not reason.strip():
        raise Refused([Problem("reason", "Say why the date changes: the earlier one is kept.")])
    DueDateChange.objects.create(
        pregnancy=pregnancy,
        old=pregnancy.due,
        old_dated_by=pregnancy.dated_by,
        new=facts.due,
        reason=reason.strip(),
        by=by.user,
    )


def _quiet_after(client: Client, facts: PregnancyFacts) -> list[str]:
    """A loss makes her quiet; nothing but the coach makes her anything else again."""
    return change(client, quiet=True) if facts.ending == Ending.LOSS else []
