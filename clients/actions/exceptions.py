"""The write of a session trained by exception, over stale paperwork and nothing else."""

from __future__ import annotations

from django.db import transaction

from clients.actions.shared import lock, refuse_if
from clients.models import Client, SessionException
from clients.queries import exception_on, go_aheads_now
from clients.queries.days import practice_today
from clients.rules.go_ahead import in_the_way, may_except
from clients.rules.pregnancies import Problem
from coach.practice import audit
from coach.practice.audit import Actor
from coach.scheduling.values import GoAhead

_NOT_OVER = (
    "An exception is made only where a letter or the screening has run out: never over a warning "
    "sign, an answer that stops, what is missing, or a clinician’s no."
)


@transaction.atomic
def train_by_exception(*, by: Actor, client: Client, reason: str) -> SessionException:
    """Keep that she was trained today although paperwork is stale; her word stays what it is.

    Refused without a reason, a second time on one day, and over anything but what has run out.
    """
    lock(client)
    found, day = go_aheads_now(client), practice_today()
    refuse_if(_problems(found, reason.strip(), again=exception_on(client, day) is not None))
    over = sorted({reason.kind for one in found for reason in in_the_way(one)})
    row = SessionException.objects.create(
        client=client, day=day, reason=reason.strip(), over=over, by=by.user
    )
    audit.record(by=by, verb="trained by exception", subject=row, fields={"day", "reason", "over"})
    return row


def _problems(found: tuple[GoAhead, ...], reason: str, *, again: bool) -> list[Problem]:
    """`found`: the go-ahead of today, of both dates where the coach's and hers differ."""
    if again:
        return [Problem("reason", "For today there is one already.")]
    stale = [may_except(one) for one in found if in_the_way(one)]
    if not stale or not all(stale):
        return [Problem("reason", _NOT_OVER)]
    return [] if reason else [Problem("reason", "Say why: it stays in her history.")]
