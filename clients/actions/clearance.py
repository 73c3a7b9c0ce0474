"""Writes of what clinicians said and of warning signs; each rewrites the client's spans."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

from django.db import transaction

from clients.actions.shared import Refused, days_of, lock, refuse_if
from clients.actions.spans import rewrite_spans
from clients.models import Clearance, Client, WarningSign
from clients.queries import facts_for, stored_clearance
from clients.rules.clearance import clearance_problems, sign_problems
from clients.rules.conditions import naming_problems
from clients.rules.documents import Document
from clients.rules.facts import ClearanceFact, SignFact
from clients.rules.pregnancies import Problem
from coach.practice import audit, files
from coach.practice.audit import Actor
from coach.practice.writing import change


@files.atomic()
def record_clearance(
    *,
    by: Actor,
    client: Client,
    facts: ClearanceFact,
    note: str = "",
    document: Document | None = None,
    origin: str = "",
) -> Clearance:
    """Keep what a clinician said, with the letter if there is one; Refused when it cannot be.

    `facts.known_on` None is today. `document` comes from documents.taken.taken. `origin`:
    who handed it over, where it was another coach's record.
    """
    lock(client)
    days = days_of(client)
    facts = replace(facts, known_on=min(facts.known_on or days.earlier, days.earlier))
    known = facts_for(client)
    found = clearance_problems(facts, known, today=days.later)
    refuse_if([*found, *naming_problems(facts, known)])
    row = Clearance(
        client=client, note=note.strip(), origin=origin.strip(), **stored_clearance(facts)
    )
    if document:
        row.document = files.store(
            name=document.name, content=document.content, content_type=document.content_type
        )
    row.save()
    rewrite_spans(client)
    audit.record(by=by, verb="recorded", subject=row, fields=_known(row))
    return row


@transaction.atomic
def withdraw_clearance(*, by: Actor, clearance: Clearance, reason: str) -> Clearance:
    """Say that a clearance was recorded by mistake: it stays in the history and counts no more.

    From today on, that is: what her go-ahead read before is what it read. Refused without a
    reason, or when it is withdrawn already.
    """
    lock(clearance.client)
    clearance.refresh_from_db()
    if clearance.withdrawn_on:
        raise Refused([Problem("reason", "It is withdrawn already.")])
    if not reason.strip():
        raise Refused([Problem("reason", "Say what was wrong with it: it stays in the history.")])
    changed = change(
        clearance,
        withdrawn_on=days_of(clearance.client).earlier,
        withdrawn_reason=reason.strip(),
    )
    rewrite_spans(clearance.client)
    audit.record(by=by, verb="withdrew", subject=clearance, fields=changed, reason=reason.strip())
    return clearance


@transaction.atomic
def record_warning_sign(
    *,
    by: Actor,
    client: Client,
    code: str,
    happened_on: date,
    known_on: date | None = None,
    text: str = "",
) -> WarningSign:
    """Keep a warning sign: from this moment she is on hold until a clinician answers it by name.

    `known_on` None is today. Refused when the code is none of the list's, or the day cannot be.
    """
    lock(client)
    days = days_of(client)
    known = min(known_on or days.earlier, days.earlier)
    sign = SignFact(0, code, happened_on, known, text.strip())
    refuse_if(sign_problems(sign, today=days.later))
    row = WarningSign.objects.create(
        client=client, code=code, text=sign.text, happened_on=happened_on, known_on=known
    )
    rewrite_spans(client)
    fields = {"code", "happened_on", "known_on"} | ({"text"} if sign.text else set())
    audit.record(by=by, verb="recorded", subject=row, fields=fields)
    return row


def _known(row: Clearance) -> set[str]:
    """The names of what is known of a clearance."""
    names = {field.name for field in Clearance._meta.concrete_fields}
    unknown: tuple[Any, ...] = (None, "", False, [], {})
    own = {"id", "client", "created_at", "changed_at"}
    return {name for name in names - own if getattr(row, name) not in unknown}
