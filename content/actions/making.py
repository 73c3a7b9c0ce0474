"""Writes of making: ticks, and the practice's own checklist; each one audit entry."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.db import transaction

from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.writing import change
from content.actions.uploads import Refused
from content.models import CheckItem, ClassCheck, FitnessClass, State
from content.queries.making import TICKED, UNTICKED, checklist
from content.rules import making as rules
from content.rules.making import Item

GONE = "That item is not on the checklist any more."
OUT = "“{}” is {}: its checklist is closed."
TWICE = "That is on the checklist already, under “{}”."


@transaction.atomic
def tick(*, by: Actor, item: FitnessClass, code: str, done: bool, today: date) -> None:
    """Tick an item of the checklist for a class, or take that back; twice is once."""
    item.refresh_from_db(from_queryset=FitnessClass.objects.select_for_update())
    if item.state in {State.PUBLISHED, State.WITHDRAWN}:
        raise Refused(OUT.format(item.title, item.state))
    if code not in {one.code for one in checklist() if not one.retired}:
        raise Refused(GONE)
    row = ClassCheck.objects.filter(item=item, code=code).first()
    if done == (row is not None):
        return
    if row is not None:
        row.delete()
    else:
        ClassCheck.objects.create(item=item, code=code, done_on=today, by=by.user)
    audit.record(by=by, verb=TICKED if done else UNTICKED, subject=item, fields={code})


@transaction.atomic
def keep_check_item(*, by: Actor, code: str, words: str, step: str) -> CheckItem:
    """Add an item (no code), or change one of hers or of the table; Refused if it is there twice.

    A new one, and one that goes to another step, comes last in it.
    """
    items = checklist()
    before = _named(items, code) if code else None
    _refuse_twice(items, code, words, step)
    place = before.place if before and before.step == step else _after_last(items, step)
    code = code or rules.code_for(words, {one.code for one in items})
    retired = before.retired if before else False
    return _keep(by, Item(code, step, words, place, retired=retired), before)


@transaction.atomic
def move_check_item(*, by: Actor, code: str, earlier: bool) -> None:
    """Let an item change places with its neighbour; at the end of its step nothing changes."""
    items = checklist()
    _named(items, code)
    for other, place in rules.swapped(items, code, earlier=earlier).items():
        one = _named(items, other)
        _keep(by, Item(other, one.step, one.words, place), one)


@transaction.atomic
def retire_check_item(*, by: Actor, code: str, retired: bool) -> CheckItem:
    """Ask for an item no more, or take that back; ticks of it stay where they are."""
    items = checklist()
    one = _named(items, code)
    if not retired:
        _refuse_twice(items, code, one.words, one.step)
    return _keep(by, Item(code, one.step, one.words, one.place, retired=retired), one)


def _named(items: tuple[Item, ...], code: str) -> Item:
    for one in items:
        if one.code == code:
            return one
    raise Refused(GONE)


def _refuse_twice(items: tuple[Item, ...], code: str, words: str, step: str) -> None:
    for one in items:
        same = (one.step, one.words.casefold()) == (step, words.casefold())
        if same and one.code != code and not one.retired:
            raise Refused(TWICE.format(rules.TITLES[step]))


def _after_last(items: tuple[Item, ...], step: str) -> int:
    places = (one.place for one in items if one.step == step)
    return max(places, default=0) + rules.PLACES_APART


def _keep(by: Actor, one: Item, before: Item | None) -> CheckItem:
    """Her row of an item; one of the table gets a row once it differs from the table."""
    values: dict[str, Any] = {
        "words": one.words,
        "step": one.step,
        "place": one.place,
        "retired": one.retired,
    }
    row = CheckItem.objects.select_for_update().filter(code=one.code).first()
    if row is None:
        row = CheckItem.objects.create(code=one.code, **values)
        verb, changed = ("changed" if before else "added"), list(values)
    else:
        verb, changed = "changed", change(row, **values)
    if changed:
        audit.record(by=by, verb=verb, subject=row, fields=changed)
    return row
