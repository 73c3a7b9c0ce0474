"""Writes of the practice's own measures: added, changed, asked no more or asked again."""

from __future__ import annotations

from django.db import transaction

from clients.actions.shared import refuse_if
from clients.models import Assessment, OwnMeasure
from clients.rules.assessment import Own
from clients.rules.own_measures import OwnFacts, problems
from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.writing import change


@transaction.atomic
def add_own_measure(*, by: Actor, facts: OwnFacts) -> OwnMeasure:
    """Add a measure; Refused for what cannot be, and for a name that there is already."""
    refuse_if(problems(facts, _names()))
    row = OwnMeasure.objects.create(**facts.columns)
    fields = [name for name, value in facts.columns.items() if value]
    audit.record(by=by, verb="added", subject=row, fields=fields)
    return row


@transaction.atomic
def change_own_measure(*, by: Actor, measure: OwnMeasure, facts: OwnFacts) -> OwnMeasure:
    """Put a measure in other words; Refused for another unit once something was measured in it."""
    row = _hold(measure)
    measured_in = row.unit if _is_measured(row) else None
    refuse_if(problems(facts, _names(but=row), measured_in=measured_in))
    if changed := change(row, **facts.columns):
        audit.record(by=by, verb="changed", subject=row, fields=changed)
    return row


@transaction.atomic
def retire_own_measure(*, by: Actor, measure: OwnMeasure, retired: bool = True) -> OwnMeasure:
    """Ask a measure no more, or again; what was measured stays."""
    row = _hold(measure)
    if change(row, retired=retired):
        verb = "retired" if retired else "took back"
        audit.record(by=by, verb=verb, subject=row, fields={"retired"})
    return row


def _hold(measure: OwnMeasure) -> OwnMeasure:
    return OwnMeasure.objects.select_for_update().get(pk=measure.pk)


def _names(but: OwnMeasure | None = None) -> list[str]:
    rows = OwnMeasure.objects.exclude(pk=but.pk) if but else OwnMeasure.objects.all()
    return list(rows.values_list("name", flat=True))


def _is_measured(row: OwnMeasure) -> bool:
    """Whether any assessment holds a value of it; they are encrypted, so all are read."""
    field = Own(row.pk, row.name).field
    kept = Assessment.objects.values_list("measures", flat=True).iterator()
    return any(field in measures for measures in kept)
