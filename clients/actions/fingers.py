"""The write of how wide a finger is: without it, widths in fingers stay in fingers."""

from __future__ import annotations

from datetime import date

from django.db import transaction

from clients.actions.shared import days_of, refuse_if
from clients.models import Client, FingerWidth
from clients.queries.days import practice_today
from clients.rules.assessment import LEAST_FINGER_MM, MOST_FINGER_MM
from clients.rules.pregnancies import LONGEST_AGO_DAYS, Problem
from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.models import User
from coach.practice.writing import change


@transaction.atomic
def set_finger(
    *, by: Actor, mm: int, measured_on: date, user: User | None = None, client: Client | None = None
) -> FingerWidth:
    """Keep how wide one finger of a person of the practice or of a client is, in whole mm.

    It counts for assessments from now on: those that are kept hold the width of then. Refused
    for a width that no finger has, and for a day to come or over 40 years ago.
    """
    if (user is None) == (client is None):
        raise ValueError("the finger of one person")
    today = days_of(client).later if client else practice_today()
    found = []
    if not LEAST_FINGER_MM <= mm <= MOST_FINGER_MM:
        found.append(Problem("mm", f"From {LEAST_FINGER_MM} to {MOST_FINGER_MM} mm."))
    if not 0 <= (today - measured_on).days <= LONGEST_AGO_DAYS:
        found.append(Problem("measured_on", "A day that has been, up to 40 years ago."))
    refuse_if(found)
    row, is_new = FingerWidth.objects.select_for_update().get_or_create(
        user=user, client=client, defaults={"mm": mm, "measured_on": measured_on}
    )
    changed = ["measured_on", "mm"] if is_new else change(row, mm=mm, measured_on=measured_on)
    if changed:
        verb = "recorded" if is_new else "changed"
        audit.record(by=by, verb=verb, subject=row, fields=changed)
    return row
