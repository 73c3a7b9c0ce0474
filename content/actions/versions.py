"""Write of a version: a class of its own, made of another with the changes that were accepted."""

from __future__ import annotations

from collections.abc import Collection

from django.db import transaction

from coach.practice import audit
from coach.practice.audit import Actor
from content.actions.uploads import Refused
from content.models import ClassDesign, FitnessClass, State
from content.queries.design import design_of
from content.rules.versions import Change, with_changes

LONGEST_TITLE = 160


@transaction.atomic
def make_version(
    *, by: Actor, item: FitnessClass, title: str, accepted: Collection[Change],
) -> FitnessClass:  # fmt: skip
    """Make a new class, outlined, with the accepted changes; the class itself stays as it is.

    Refused without a title of its own, without a change, and where the class was designed anew
    meanwhile.
    """
    title = " ".join(title.split())
    FitnessClass.objects.select_for_update().get(pk=item.pk)
    design = design_of(item)
    if not title or len(title) > LONGEST_TITLE:
        raise Refused(f"Give it a title of at most {LONGEST_TITLE} letters.")
    if title.casefold() == item.title.casefold():
        raise Refused("Give it another title than the class has that it comes from.")
    if not any(one.new for one in accepted):
        raise Refused("Tick at least one change: without one it is the same class.")
    after = with_changes(design, accepted)
    made = FitnessClass.objects.create(
        title=title, state=State.OUTLINED, focus=item.focus, minutes=item.minutes,
        effort=item.effort, note=f"A version of “{item.title}”.",
    )  # fmt: skip
    ClassDesign.objects.create(item=made, planned=after.stored)
    audit.record(by=by, verb="added", subject=made, fields=("title", "design"))
    return made
