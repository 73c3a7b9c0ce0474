"""The exercises of this practice: those of the table and the coach's own, in one query."""

from __future__ import annotations

from collections.abc import Iterable

from content.models import OwnExercise
from content.rules.exercises import Exercise, Library, exercises, own_exercise


def library() -> Library:
    """Everything by code, retired ones too: classes that hold them keep them.

    A row of hers that is not sound is not known, and never the table's in its place: hers may have
    asked more.
    """
    rows = OwnExercise.objects.all()
    own = dict(_own(rows))
    broken = {row.code for row in rows} - set(own)
    table = {code: one for code, one in exercises().items() if code not in broken}
    return Library(table, own)


def offered() -> Library:
    """What can be put into a class: without those that the coach has retired."""
    retired = set(OwnExercise.objects.filter(retired=True).values_list("code", flat=True))
    whole = library()
    return Library({code: one for code, one in whole.items() if code not in retired})


def _own(rows: Iterable[OwnExercise]) -> list[tuple[str, Exercise]]:
    found = []
    for row in rows:
        one, _ = own_exercise({**row.values, "code": row.code})
        if one:
            found.append((row.code, one))
    return found
