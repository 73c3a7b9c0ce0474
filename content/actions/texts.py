"""Writes of what is published about classes."""

from __future__ import annotations

from django.db import transaction

from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.writing import change
from content.actions.uploads import Refused
from content.models import ClassText, DescriptionTemplate, FitnessClass
from content.queries.texts import words_of
from content.rules.description import LONGEST, unknown_fields

MOST_TEMPLATE = 4 * LONGEST


@transaction.atomic
def keep_description(*, by: Actor, item: FitnessClass, description: str) -> ClassText:
    """Keep her own words for a class; none: those of the template. Refused beyond twice what hosts
    take.
    """
    if len(description) > 2 * LONGEST:
        raise Refused(f"At most {2 * LONGEST} letters.")
    row = _hold(item)
    if changed := change(row, description=description.strip()):
        audit.record(by=by, verb="changed", subject=item, fields=changed)
    return row


@transaction.atomic
def keep_promise(*, by: Actor, item: FitnessClass, key: str) -> ClassText:
    """Keep the words of a promise knowingly; Refused where there is no such promise."""
    if key not in {one.key for one in words_of(item).promises}:
        raise Refused("These words are not in it any more.")
    row = _hold(item)
    changed = change(row, kept_claims=sorted({*row.kept_claims, key}))
    audit.record(by=by, verb="kept a promise in", subject=item, fields=changed)
    return row


@transaction.atomic
def keep_template(*, by: Actor, text: str) -> DescriptionTemplate:
    """Keep the template of descriptions; Refused for a field that there is not."""
    if unknown := unknown_fields(text):
        raise Refused(f"There is no field {{{unknown[0]}}}.")
    if len(text) > MOST_TEMPLATE:
        raise Refused(f"At most {MOST_TEMPLATE} letters.")
    row, _ = DescriptionTemplate.objects.select_for_update().get_or_create(pk=1)
    if changed := change(row, text=text):
        audit.record(by=by, verb="changed", subject=row, fields=changed)
    return row


def _hold(item: FitnessClass) -> ClassText:
    FitnessClass.objects.select_for_update().get(pk=item.pk)
    row = ClassText.objects.select_for_update().filter(item=item).first()
    return row or ClassText.objects.create(item=item)
