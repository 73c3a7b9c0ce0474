"""Writes of conditions that a clinician named, and of their end."""

from __future__ import annotations

from datetime import date

from django.db import transaction

from clients.actions.shared import days_of, lock, refuse_if
from clients.actions.spans import rewrite_spans
from clients.models import Client, Condition, Pregnancy
from clients.rules.conditions import condition_problems, over_problems
from clients.rules.screening import CONDITION, questions
from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.writing import change


@transaction.atomic
def name_condition(
    *,
    by: Actor,
    client: Client,
    code: str,
    named_on: date,
    clinician: str,
    text: str = "",
    known_on: date | None = None,
) -> Condition:
    """Keep a condition that a clinician named; it acts by its rule from this moment.

    `code` is one of the conditions of rules.screening; `known_on` None is today. Refused when the
    code is unknown, the day cannot be, or nobody is named who said it.
    """
    lock(client)
    days = days_of(client)
    clinician, text = clinician.strip(), text.strip()
    refuse_if(
        condition_problems(
            code,
            known={one.code for one in questions().values() if one.kind == CONDITION},
            named_on=named_on,
            clinician=clinician,
            text=text,
            today=days.later,
        )
    )
    row = Condition.objects.create(
        client=client,
        pregnancy=running(client),
        code=code,
        text=text,
        origin="clinician",
        clinician=clinician,
        named_on=named_on,
        known_on=min(known_on or days.earlier, days.earlier),
    )
    rewrite_spans(client)
    fields = {"code", "clinician", "named_on", "known_on"} | ({"text"} if text else set())
    audit.record(by=by, verb="recorded", subject=row, fields=fields)
    return row


@transaction.atomic
def end_condition(*, by: Actor, condition: Condition, over_on: date, said_by: str) -> Condition:
    """Say that a condition is no more, as a clinician said; before `over_on` it counts as it did.

    Refused when it is over already, the day cannot be, or no clinician is named who said so.
    """
    lock(condition.client)
    condition.refresh_from_db()
    days, said_by = days_of(condition.client), said_by.strip()
    refuse_if(
        over_problems(
            named_on=condition.named_on,
            over_on=condition.over_on,
            new=over_on,
            said_by=said_by,
            today=days.later,
        )
    )
    changed = change(condition, over_on=over_on, over_known_on=days.earlier, over_said_by=said_by)
    rewrite_spans(condition.client)
    audit.record(by=by, verb="recorded the end of", subject=condition, fields=changed)
    return condition


def running(client: Client) -> Pregnancy | None:
    """Her pregnancy without an end, if there is one."""
    return next((row for row in client.pregnancies.order_by("-pk") if not row.ending), None)
