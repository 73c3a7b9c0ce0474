"""Writes of the coach's own exercises: added, changed, put away and taken back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from django.db import transaction

from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.writing import change
from content.models import OwnExercise
from content.queries.library import library
from content.rules.exercises import Wrong, asks_more, kept_of, own_exercise, wrong_options


class Unfit(ValueError):
    """An exercise that cannot be kept; `wrong` says why, beside its fields."""

    def __init__(self, wrong: list[Wrong]) -> None:
        self.wrong = wrong
        super().__init__(" ".join(one.sentence for one in wrong))


@transaction.atomic
def keep_exercise(*, by: Actor, code: str, values: Mapping[str, Any]) -> OwnExercise:
    """Keep an exercise of the coach's own, or her version of one of the table; Unfit if it cannot
    be: by itself, by a name that another has, or by an option that asks more or leads back.

    The harder options of one of the table stay where they still ask no less.
    """
    known = library()
    old = known.get(code)
    whole = {**(kept_of(old, values) if old else {}), **values}
    one, wrong = own_exercise({**whole, "code": code})
    if one is None:
        raise Unfit(wrong)
    harder = [each for each in one.harder if each in known and not asks_more(one, known[each])]
    one, values = replace(one, harder=tuple(harder)), {**whole, "harder": harder}
    for words in one.spoken:
        other = known.named(words)
        if other and other.code != code:
            wrong.append(Wrong("name", f"“{words}” is {other.name} already."))
    wrong += wrong_options(one, known)
    if wrong:
        raise Unfit(wrong)
    row = OwnExercise.objects.select_for_update().filter(code=code).first()
    if row is None:
        row = OwnExercise.objects.create(code=code, values=dict(values))
        audit.record(by=by, verb="added", subject=row, fields=values)
    elif changed := change(row, values=dict(values)):
        audit.record(by=by, verb="changed", subject=row, fields=changed)
    return row


@transaction.atomic
def retire_exercise(*, by: Actor, code: str, retired: bool) -> OwnExercise:
    """Offer an exercise no longer, or again. One of the table gets a row that says so."""
    row = OwnExercise.objects.select_for_update().filter(code=code).first()
    if row is None:
        row = OwnExercise.objects.create(code=code, values=_as_it_is(code))
    if change(row, retired=retired):
        audit.record(by=by, verb="retired" if retired else "took back", subject=row)
    return row


def _as_it_is(code: str) -> dict[str, Any]:
    """The values of one of the table, so that her row is a whole one."""
    one = library()[code]
    lists = ("aliases", "kit", "cues", "easier", "harder")
    names = (name for name in one.__slots__ if name != "code")
    return {
        name: list(getattr(one, name)) if name in lists else getattr(one, name) for name in names
    }
