"""Writes of when things really began: captions kept, times put right and taken back.

Aligning takes a moment: it is done before the transaction, which is refused where the row is
another by then.
"""

from __future__ import annotations

from typing import Any

from django.db import transaction

from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.writing import change
from content.actions.uploads import Refused
from content.models import FilmedTimes, FitnessClass
from content.queries.filmed import Shown, cues_of, filmed_row, shown
from content.rules.alignment import align
from content.rules.captions import Captions, Cue
from content.rules.film_times import stored

CHANGED = "Somebody changed these times meanwhile: they are shown as they are now. Do it once more."
NOTHING = "Design the class first: there is nothing that its captions could be compared with."
NO_CAPTIONS = "There are no captions yet."
GONE = "That exercise is not in the class any more."


def keep_captions(
    *,
    by: Actor,
    item: FitnessClass,
    captions: Captions,
    file_name: str = "",
    length_ms: int | None = None,
    keep_fixed: bool = True,
) -> FilmedTimes:
    """Keep the captions of a filmed class with what they tell; Refused without a design.

    `keep_fixed`: whether what was put right by hand stays, which is so for the same film.
    """
    row, there = filmed_row(item), shown(item)
    fixed = _of_same(row, there) if row and keep_fixed else {}
    values: dict[str, Any] = {
        "file_name": file_name[:200],
        "cues": [[one.start, one.end, one.text] for one in captions.cues],
        "length_ms": length_ms,
    }
    values |= _times(there, captions.cues, fixed, length_ms)
    return _keep(by, item, row, values)


def fix_time(*, by: Actor, item: FitnessClass, key: str, at_ms: int | None) -> FilmedTimes:
    """Put the start of an interval right, or take that back (None); the rest is aligned anew."""
    row, there = _held(item), shown(item)
    if at_ms is not None and key not in {one.key for one in there.targets}:
        raise Refused(GONE)
    fixed = {one: at for one, at in _of_same(row, there).items() if one != key}
    if at_ms is not None:
        fixed[key] = at_ms
    return _keep(by, item, row, _times(there, cues_of(row), fixed, row.length_ms))


def align_again(*, by: Actor, item: FitnessClass) -> FilmedTimes:
    """Compare the stored captions with the design as it is now."""
    row, there = _held(item), shown(item)
    fixed = _of_same(row, there)
    return _keep(by, item, row, _times(there, cues_of(row), fixed, row.length_ms))


def _held(item: FitnessClass) -> FilmedTimes:
    row = filmed_row(item)
    if row is None:
        raise Refused(NO_CAPTIONS)
    return row


def _of_same(row: FilmedTimes, there: Shown) -> dict[str, int]:
    """What was put right of intervals that are still of the same exercise."""
    then = {one["key"]: one["exercise"] for one in row.found}
    now = {one.key: one.exercise for one in there.targets}
    return {key: at for key, at in row.fixed.items() if key in now and then.get(key) == now[key]}


def _times(
    there: Shown, cues: tuple[Cue, ...], fixed: dict[str, int], length_ms: int | None
) -> dict[str, Any]:
    if not there.targets:
        raise Refused(NOTHING)
    aligned = align(there.line, there.library, cues, fixed=fixed, length_ms=length_ms)
    return {"found": stored(aligned), "fixed": fixed}


@transaction.atomic
def _keep(
    by: Actor, item: FitnessClass, before: FilmedTimes | None, values: dict[str, Any]
) -> FilmedTimes:
    FitnessClass.objects.select_for_update().get(pk=item.pk)
    row = FilmedTimes.objects.select_for_update().filter(item=item).first()
    if (row and row.changed_at) != (before and before.changed_at):
        raise Refused(CHANGED)
    if row is None:
        row = FilmedTimes.objects.create(item=item, **values)
        changed = list(values)
    else:
        changed = change(row, **values)
    if changed:
        audit.record(by=by, verb="changed", subject=item, fields={"filmed times"})
    return row
