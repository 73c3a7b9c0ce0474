"""Writes of the feeds: an address made, renewed, withdrawn, and a reading noted."""

from __future__ import annotations

import secrets
from datetime import datetime

from django.db import transaction

from coach import clock
from coach.feeds import rules
from coach.feeds.models import FeedAddress, Kind
from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.models import User

TOKEN_BYTES = 32  # 256 random bits, 43 characters


@transaction.atomic
def give_address(*, by: Actor, person: User, kind: Kind = Kind.UPLOADS) -> str:
    """A fresh address; one that was live dies at once. Returns its secret part, kept nowhere."""
    # Two presses at once wait for each other on her row.
    User.objects.select_for_update().get(pk=person.pk)
    renewed = _withdraw(person, kind) is not None
    token = secrets.token_urlsafe(TOKEN_BYTES)
    made = FeedAddress.objects.create(kind=kind, person=person, token_hash=rules.token_hash(token))
    verb = "renewed a feed address" if renewed else "made a feed address"
    audit.record(by=by, verb=verb, subject=made, fields=("kind", "person"))
    return token


@transaction.atomic
def withdraw_address(*, by: Actor, person: User, kind: Kind = Kind.UPLOADS) -> bool:
    """Switch the live address off; False, and nothing recorded, if there is none."""
    withdrawn = _withdraw(person, kind)
    if withdrawn is not None:
        audit.record(
            by=by, verb="withdrew a feed address", subject=withdrawn, fields=("withdrawn_at",)
        )
    return withdrawn is not None


def note_reading(*, address: FeedAddress, now: datetime) -> None:
    """Keep when a feed was last read, at most once an hour; what a program polls is not audited."""
    if rules.is_worth_noting(address.last_read_at, now=now):
        FeedAddress.objects.filter(pk=address.pk).update(last_read_at=now)


def _withdraw(person: User, kind: Kind) -> FeedAddress | None:
    live = FeedAddress.objects.filter(person=person, kind=kind, withdrawn_at=None).first()
    if live is not None:
        live.withdrawn_at = clock.now()
        live.save(update_fields=["withdrawn_at"])
    return live
