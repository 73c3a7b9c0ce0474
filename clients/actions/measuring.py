"""Writes of assessments."""

from __future__ import annotations

from datetime import date

from django.db import transaction

from clients.actions.shared import days_of, lock, refuse_if
from clients.models import Assessment, Client
from clients.rules.assessment import Measures, problems
from coach.practice import audit
from coach.practice.audit import Actor


@transaction.atomic
def record_assessment(
    *,
    by: Actor,
    client: Client,
    day: date,
    measures: Measures,
    measured_by: str,
    how: str,
    origin: str = "",
) -> Assessment:
    """Keep an assessment; Refused when nothing was measured or it cannot be.

    `origin`: another coach, where the record comes from her.
    """
    lock(client)
    today = days_of(client).later
    refuse_if(problems(measures, day=day, measured_by=measured_by, how=how, today=today))
    row = Assessment.objects.create(
        client=client,
        day=day,
        measures=measures.known,
        by=measured_by.strip(),
        how=how,
        origin=origin.strip(),
    )
    fields = {
        "day",
        "by",
        "how",
        *({"origin"} if row.origin else ()),
        *(f"measures {name}" for name in measures.known),
    }
    audit.record(by=by, verb="recorded", subject=row, fields=fields)
    return row
