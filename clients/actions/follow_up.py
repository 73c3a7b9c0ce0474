"""Writes that follow a warning sign: who advised what the next day, and one tapped by mistake."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from django.db import transaction

from clients.actions.shared import Refused, days_of, lock, refuse_if
from clients.actions.spans import rewrite_spans
from clients.models import WarningSign
from clients.rules.pregnancies import Problem
from coach import clock
from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.permissions import Role
from coach.practice.queries import the_practice
from coach.practice.writing import change

_WANTED = {
    "advised_by": "Say who advised her.",
    "advice": "Say what she was advised.",
    "graded_return": "Say how she goes back to training, or that she does not yet.",
}


@transaction.atomic
def close_follow_up(
    *, by: Actor, sign: WarningSign, advised_by: str, advice: str, graded_return: str
) -> WarningSign:
    """Keep who advised what and how she goes back. It lifts nothing: only a clearance does.

    Refused when one of the three is missing, or when it is closed already.
    """
    lock(sign.client)
    sign.refresh_from_db()
    told = {"advised_by": advised_by, "advice": advice, "graded_return": graded_return}
    told = {name: text.strip() for name, text in told.items()}
    if sign.withdrawn_on or sign.followed_up_on:
        raise Refused([Problem("advised_by", "There is nothing to follow up any more.")])
    refuse_if([Problem(name, _WANTED[name]) for name, text in told.items() if not text])
    changed = change(sign, followed_up_on=days_of(sign.client).earlier, **told)
    audit.record(by=by, verb="followed up", subject=sign, fields=changed)
    return sign


@transaction.atomic
def withdraw_warning_sign(*, by: Actor, sign: WarningSign, reason: str) -> WarningSign:
    """Say that a warning sign was tapped by mistake: it stays in the history and counts no more.

    Only the owner, only one that she or a helper recorded (not one that the client wrote in a
    form), only on the day it was recorded, and with a reason; Refused otherwise.
    """
    lock(sign.client)
    sign.refresh_from_db()
    refuse_if(_against_withdrawing(by, sign, reason.strip()))
    day = days_of(sign.client).earlier
    changed = change(sign, withdrawn_on=day, withdrawn_reason=reason.strip())
    rewrite_spans(sign.client)
    audit.record(by=by, verb="withdrew", subject=sign, fields=changed, reason=reason.strip())
    return sign


def _against_withdrawing(by: Actor, sign: WarningSign, reason: str) -> list[Problem]:
    zone = ZoneInfo(the_practice().time_zone)
    against = {
        "Only the owner takes a warning sign back.": not by.user or by.user.role != Role.OWNER,
        "She wrote it herself in a form: only a clinician answers it.": bool(sign.intake_id),
        "It is withdrawn already.": bool(sign.withdrawn_on),
        "It was recorded on an earlier day: only a clinician answers it now.": (
            sign.created_at.astimezone(zone).date() != clock.today(zone)
        ),
        "Say what was wrong with it: it stays in the history.": not reason,
    }
    return [Problem("reason", words) for words, is_so in against.items() if is_so][:1]
