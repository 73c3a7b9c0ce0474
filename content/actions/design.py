"""Writes of how a class is designed: each step is kept at once and can be taken back."""

from __future__ import annotations

from collections.abc import Callable

from django.db import transaction

from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.writing import change
from content.actions.uploads import Refused
from content.models import ClassDesign, DesignStep, FitnessClass, State
from content.rules.design import Design, design_from

MOST_STEPS = 60
CHANGED = "Somebody changed this class meanwhile: it is shown as it is now. Do it once more."


@transaction.atomic
def change_design(
    *,
    by: Actor,
    item: FitnessClass,
    step: Callable[[Design], Design],
    what: str,
    revision: int | None = None,
) -> ClassDesign:
    """Take one step on the plan of a class and keep what it was before.

    `revision`: what the page knew; Refused where the plan is another by now, and where the step
    cannot be taken.
    """
    row = _hold(item)
    if revision is not None and revision != row.revision:
        raise Refused(CHANGED)
    before = design_from(row.planned) if row.planned else Design(promised=item.minutes * 60)
    try:
        after = step(before)
    except ValueError as wrong:
        raise Refused(str(wrong)) from None
    if after == before:
        return row
    _remember(row, before, what)
    change(row, planned=after.stored, revision=row.revision + 1)
    audit.record(by=by, verb="changed", subject=item, fields={"design"})
    return row


@transaction.atomic
def undo_design(*, by: Actor, item: FitnessClass) -> str:
    """Take the last step back; Refused where there is none. Returns what it was."""
    row = _hold(item)
    last = row.steps.order_by("-number").first()
    if last is None:
        raise Refused("There is nothing to take back.")
    change(row, planned=last.planned, revision=row.revision + 1)
    what = last.what
    last.delete()
    audit.record(by=by, verb="changed", subject=item, fields={"design"})
    return what


@transaction.atomic
def set_filmed(*, by: Actor, item: FitnessClass, filmed: Design | None) -> ClassDesign:
    """Keep what was really filmed; None: as planned. From then on whom it suits goes by that."""
    row = _hold(item)
    if item.state in {State.IDEA, State.OUTLINED}:
        raise Refused(f"“{item.title}” is not filmed yet.")
    if change(row, filmed=filmed.stored if filmed else None):
        audit.record(by=by, verb="changed", subject=item, fields={"filmed"})
    return row


def _hold(item: FitnessClass) -> ClassDesign:
    FitnessClass.objects.select_for_update().get(pk=item.pk)
    row = ClassDesign.objects.select_for_update().filter(item=item).first()
    return row or ClassDesign.objects.create(item=item)


def _remember(row: ClassDesign, before: Design, what: str) -> None:
    """Keep what it was; of very many steps the oldest go."""
    last = row.steps.order_by("-number").first()
    number = (last.number if last else 0) + 1
    DesignStep.objects.create(design=row, number=number, planned=before.stored, what=what)
    row.steps.filter(number__lte=number - MOST_STEPS).delete()
