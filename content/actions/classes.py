"""Writes of classes: add, change, one step on, withdraw, delete; one transaction, one entry."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from django.db import transaction

from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.writing import change
from content.actions.uploads import Refused, cancel, refuse_if, today_here
from content.models import ClassCorrection, FitnessClass, Series, State, Upload
from content.rules import classes as rules
from content.rules import uploads as upload_rules

__all__ = ["Refused", "add_class", "change_class", "correct", "delete_idea", "step_on", "withdraw"]


@transaction.atomic
def add_class(
    *, by: Actor, series_title: str = "", published_on: date | None = None, **values: Any
) -> FitnessClass:
    """Add a class, and its series when that is new; `published_on` puts it in the history."""
    refuse_if(_against_adding(values["title"], values["state"], published_on))
    kept = _as_kept(series_title, **values)
    item = FitnessClass.objects.create(**kept)
    if published_on:
        Upload.objects.create(item=item, day=published_on)
    audit.record(by=by, verb="added", subject=item, fields=kept)
    return item


@transaction.atomic
def change_class(
    *, by: Actor, item: FitnessClass, series_title: str = "", **values: Any
) -> FitnessClass:
    """Change a class; its state only to one that is free to choose."""
    _lock(item)
    _refuse_state(item, values.get("state", item.state))
    changed = change(item, **_as_kept(series_title, **values))
    if changed:
        audit.record(by=by, verb="changed", subject=item, fields=changed)
    return item


@transaction.atomic
def step_on(*, by: Actor, item: FitnessClass) -> FitnessClass:
    """Take a class in the making one state further."""
    _lock(item)
    state = rules.next_state(item.state, uploaded=_live(item) is not None)
    if not state:
        raise Refused(f"“{item.title}” is {item.state}: there is no next step.")
    minutes = rules.work_left(state, item.minutes_of_work)
    changed = change(item, state=state, minutes_of_work=minutes)
    audit.record(by=by, verb="changed", subject=item, fields=changed)
    return item


@transaction.atomic
def withdraw(*, by: Actor, item: FitnessClass, reason: str, note: str = "") -> FitnessClass:
    """Take a class out of use. A day still planned is cancelled; the published history stays.

    `note`: what those should know who have it, kept with one that was out.
    """
    _lock(item)
    if item.state == State.WITHDRAWN:
        raise Refused(f"“{item.title}” is already withdrawn.")
    upload, was_out = _live(item), item.state == State.PUBLISHED
    fields: Iterable[str] = ["state"]
    if upload and item.state != State.PUBLISHED:
        fields = [*fields, *cancel(upload)]
    change(item, state=State.WITHDRAWN)
    if was_out:
        ClassCorrection.objects.create(
            item=item, kind="withdrawn", reason=reason, note=note.strip(), by=by.user
        )
    audit.record(by=by, verb="withdrew", subject=item, fields=fields, reason=reason)
    return item


@transaction.atomic
def correct(*, by: Actor, item: FitnessClass, put_right: str, note: str = "") -> ClassCorrection:
    """Keep what was put right about a class that is out; Refused for any other."""
    _lock(item)
    if item.state != State.PUBLISHED:
        raise Refused(f"“{item.title}” is {item.state}: only what is out is put right.")
    row = ClassCorrection.objects.create(
        item=item, kind="corrected", reason=put_right, note=note.strip(), by=by.user
    )
    audit.record(by=by, verb="corrected", subject=item, fields=("corrections",), reason=put_right)
    return row


@transaction.atomic
def delete_idea(*, by: Actor, item: FitnessClass) -> None:
    """Delete an idea that never had a day; anything else is withdrawn instead."""
    _lock(item)
    if item.state != State.IDEA or item.uploads.exists():
        raise Refused(f"“{item.title}” is more than an idea: withdraw it instead.")
    audit.record(by=by, verb="deleted", subject=item)
    item.delete()


def _lock(item: FitnessClass) -> None:
    item.refresh_from_db(from_queryset=FitnessClass.objects.select_for_update())


def _live(item: FitnessClass) -> Upload | None:
    return item.uploads.filter(cancelled_at__isnull=True).first()


def _against_adding(title: str, state: str, published_on: date | None) -> str:
    """A new class is in the making, or out already with the day on which it came out."""
    if published_on and state == State.PUBLISHED:
        new = upload_rules.Standing(title, State.IDEA)
        return upload_rules.against_publishing_unplanned(new, day=published_on, today=today_here())
    if published_on or state not in rules.states_to_choose(State.IDEA, uploaded=False):
        return "A class is added as published with its day, or else as one in the making."
    return ""


def _refuse_state(item: FitnessClass, state: str) -> None:
    if state not in rules.states_to_choose(item.state, uploaded=_live(item) is not None):
        raise Refused(f"“{item.title}” is {item.state} and cannot become {state} by an edit.")


def _as_kept(series_title: str, **values: Any) -> dict[str, Any]:
    """The values as the model has them: the series found or made, stages in order, no work left
    on what is finished."""
    minutes = rules.work_left(values["state"], values.get("minutes_of_work", 0))
    return values | {
        "series": _series(series_title),
        "stages": rules.in_order(values.get("stages", ())),
        "minutes_of_work": minutes,
    }


def _series(title: str) -> Series | None:
    """The series of this title, whatever its capitals; made when there is none."""
    title = " ".join(title.split())
    found = Series.objects.filter(title__iexact=title).first() if title else None
    return found or (Series.objects.create(title=title) if title else None)
