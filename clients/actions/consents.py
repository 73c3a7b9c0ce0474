"""Writes of what a client agreed to, told on a call, and what she took back."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from clients.actions.shared import Refused, lock
from clients.models import Client, Consent, Intake
from clients.rules.consents import purposes
from clients.rules.pregnancies import Problem
from coach import clock
from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.writing import change

CALL, FORM = "call", "form"


@transaction.atomic
def give_consent(*, by: Actor, client: Client, purpose: str) -> Consent:
    """Keep that she agreed to a purpose on a call, in the words that are asked now.

    What she has agreed to in these words already stays as it is. Refused for another purpose.
    """
    found = purposes().get(purpose)
    if found is None:
        raise Refused([Problem("purpose", "That is none of the purposes.")])
    return keep_consent(
        by=by, client=client, purpose=purpose, version=found.version, given_at=clock.now(), how=CALL
    )


@transaction.atomic
def keep_consent(
    *,
    by: Actor,
    client: Client,
    purpose: str,
    version: str,
    given_at: datetime,
    how: str,
    intake: Intake | None = None,
) -> Consent:
    """Keep a consent in one version of its words, unless she holds to that one already."""
    lock(client)
    there = client.consents.filter(purpose=purpose, version=version, withdrawn_at=None).first()
    if there:
        return there
    row = Consent.objects.create(
        client=client, purpose=purpose, version=version, given_at=given_at, how=how, intake=intake
    )
    audit.record(by=by, verb="recorded", subject=row, fields={"purpose", "version", "given_at"})
    return row


@transaction.atomic
def withdraw_consent(*, by: Actor, client: Client, purpose: str) -> int:
    """Keep that she took it back, in whatever words she gave it; returns how many ended.

    From this moment on, for what comes after: what was done while it held stays.
    """
    lock(client)
    rows = list(client.consents.filter(purpose=purpose, withdrawn_at=None))
    for row in rows:
        changed = change(row, withdrawn_at=clock.now())
        audit.record(by=by, verb="withdrew", subject=row, fields=changed)
    return len(rows)
