"""Writes of earlier plans: kept when another takes their place, put back, taken back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from django.db import transaction

from coach import clock
from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.writing import change
from coach.scheduling.planner import Problem, broken_rules, make_plan, value_of
from content.actions.uploads import Refused, take_off
from content.models import EarlierPlan, FitnessClass, Proposal, State, Upload
from content.queries import planning
from content.rules import plan_words as words
from content.rules.months import Month

Row = dict[str, Any]
Wanted = tuple[date, int]

_OVER = (State.PUBLISHED, State.WITHDRAWN)


def keep_plan(
    of: Proposal, what: str, *, by: Actor, slots: Sequence[Row], uploads: Sequence[Upload] = ()
) -> EarlierPlan:
    """Keep a plan as it is now, inside the transaction of what changes it.

    Its reasons are not kept: they speak of clients' stages, and those change.
    """
    last = EarlierPlan.objects.filter(month=of.month).order_by("-number").first()
    here = {slot["class"] for slot in slots}
    kept = ("day", "class", "pinned")
    return EarlierPlan.objects.create(
        month=of.month,
        number=last.number + 1 if last else 1,
        what=what,
        status=of.status,
        value=of.value,
        bound=of.bound,
        slots=[{name: slot[name] for name in kept if name in slot} for slot in slots],
        pins=[pin for pin in of.pins if pin["class"] in here],
        uploads=[upload.pk for upload in uploads],
        at=of.changed_at if what == "made" else clock.now(),
        by=by.user,
    )


@dataclass(frozen=True, slots=True)
class _Judged:
    """What of a plan can stand, judged as things are, and what of it can't."""

    asked: Problem
    slots: tuple[Row, ...]
    value: int
    bound: int
    said: tuple[str, ...]


def restore_plan(*, by: Actor, plan: EarlierPlan, today: date) -> Proposal:
    """Make an earlier plan the proposal again, with reasons as they are today.

    What can't be placed any more is left out and told. Refused if nothing can. The planning, which
    says how good it is now, runs outside the transaction.
    """
    asked = planning.problem(Month.of(plan.month), today=today)
    found = _judged(asked, _wanted(plan.slots), pins=_wanted(plan.pins))
    if not found.slots:
        raise Refused(" ".join(["Nothing of this plan can be proposed any more.", *found.said]))
    return _restore(by=by, plan=plan, found=found)


@transaction.atomic
def _restore(*, by: Actor, plan: EarlierPlan, found: _Judged) -> Proposal:
    kept = _propose(by=by, month=plan.month, found=found, said=found.said)
    audit.record(by=by, verb="restored", subject=plan, fields=("slots",))
    return kept


def take_back_plan(*, by: Actor, plan: EarlierPlan, today: date) -> Proposal:
    """Take off what an acceptance made and is not published, and propose it again beside the rest.

    Refused for what is no acceptance, was taken back, or has nothing left to take off.
    """
    if plan.what != "accepted" or plan.taken_back_at:
        raise Refused("Only what was accepted, and not taken back yet, can be taken back.")
    uploads = _still_to_come(plan)
    if not uploads:
        raise Refused("None of its uploads can be taken off any more.")
    found = _without(uploads, plan, today)
    return _take_back(by=by, plan=plan, uploads=uploads, found=found)


def _without(uploads: Sequence[Upload], plan: EarlierPlan, today: date) -> _Judged:
    """The proposal as it will be with these uploads taken off and proposed again."""
    at = planning.ground(Month.of(plan.month))
    gone = {upload.pk for upload in uploads}
    at = replace(
        at,
        uploads=[upload for upload in at.uploads if upload.pk not in gone],
        placeable=[*at.placeable, *(upload.item for upload in uploads)],
    )
    slots, pins = (at.proposal.slots, at.proposal.pins) if at.proposal else ([], [])
    wanted = [*((upload.day, upload.item_id) for upload in uploads), *_wanted(slots)]
    asked = planning.problem_on(at, today=today)
    return _judged(asked, wanted, pins=[*_wanted(plan.pins), *_wanted(pins)])


@transaction.atomic
def _take_back(
    *, by: Actor, plan: EarlierPlan, uploads: Sequence[Upload], found: _Judged
) -> Proposal:
    for upload in uploads:
        take_off(by=by, upload=upload)
    again = {slot["class"] for slot in found.slots}
    titles = [upload.item.title for upload in uploads if upload.item_id in again]
    said = [words.put_back(titles)] if titles else []
    kept = _propose(by=by, month=plan.month, found=found, said=[*said, *found.said])
    change(plan, taken_back_at=clock.now())
    audit.record(by=by, verb="took back", subject=plan, fields=("uploads",))
    return kept


def _still_to_come(plan: EarlierPlan) -> list[Upload]:
    found = Upload.objects.filter(pk__in=plan.uploads, cancelled_at__isnull=True)
    return list(found.exclude(item__state__in=_OVER).select_related("item__series"))


def _wanted(rows: Iterable[Row]) -> list[Wanted]:
    return [(date.fromisoformat(row["day"]), row["class"]) for row in rows]


def _judged(asked: Problem, wanted: Sequence[Wanted], *, pins: Sequence[Wanted]) -> _Judged:
    """What of it can stand, with reasons, its value and the bound of the best plan there is."""
    placed, said = _placed(asked, wanted)
    asked = replace(asked, pins=tuple((day, pk) for day, pk in pins if placed.get(day) == pk))
    best = make_plan(asked)
    reasons = _reasons(asked, placed)
    rows = (
        {"day": str(day), "class": pk, "reasons": reasons[day], "pinned": (day, pk) in asked.pins}
        for day, pk in sorted(placed.items())
    )
    value = value_of(asked, placed)
    return _Judged(asked, tuple(rows), value, max(best.bound, value), said)


def _reasons(asked: Problem, placed: Mapping[date, int]) -> dict[date, list[str]]:
    """Why each class stands where it is put. Where the planner would fill more days, it is asked
    about these classes alone: no reason may speak of one that is not proposed."""
    asked = replace(asked, pins=tuple(placed.items()))
    told = make_plan(asked)
    if len(told.slots) > len(placed):
        here = set(placed.values())
        alone = tuple(item for item in asked.classes if item.id in here)
        told = make_plan(replace(asked, classes=alone))
    said = {slot.day: list(slot.reasons) for slot in told.slots}
    return {day: said.get(day, []) for day in placed}


def _placed(asked: Problem, wanted: Sequence[Wanted]) -> tuple[dict[date, int], tuple[str, ...]]:
    """Those that break no rule when put on their days in order, and why the others would."""
    free, closed = replace(asked, pins=()), dict(asked.closed)
    there = {item.id for item in asked.classes}
    titles = dict(
        FitnessClass.objects.filter(pk__in=[pk for _, pk in wanted]).values_list("pk", "title")
    )
    placed: dict[date, int] = {}
    said = []
    for day, pk in sorted(wanted, key=lambda one: one[0]):
        if pk not in there:
            why = "it has a day already, or is no longer there"
        elif day not in asked.slots:
            why = closed.get(day, "the day is over")
        elif day in placed:
            why = "the day is taken"
        else:
            broken = broken_rules(free, {**placed, day: pk})
            why = "it would break a rule of yours now" if broken else ""
        if why:
            said.append(words.not_put_back(day, titles.get(pk, "A class that was deleted"), why))
        else:
            placed[day] = pk
    return placed, tuple(said)


def _propose(*, by: Actor, month: date, found: _Judged, said: Iterable[str]) -> Proposal:
    """Make it the month's proposal; the one before is kept."""
    kept, _ = Proposal.objects.select_for_update().get_or_create(
        month=month, defaults={"status": words.FEASIBLE, "value": 0, "bound": 0}
    )
    if kept.slots:
        keep_plan(kept, "made", by=by, slots=kept.slots)
    before = {slot["class"]: slot["day"] for slot in kept.slots}
    change(
        kept,
        status=words.OPTIMAL if found.value == found.bound else words.FEASIBLE,
        value=found.value,
        bound=found.bound,
        slots=[_beside(row, before) for row in found.slots],
        pins=[{"day": day.isoformat(), "class": pk} for day, pk in found.asked.pins],
        unmet=[],
        conflict=[],
        better=[],
        changed=list(said),
        fingerprint=planning.fingerprint(found.asked),
    )
    return kept


def _beside(row: Row, before: Mapping[int, str]) -> Row:
    """A slot with its day in the plan before, where that differs."""
    was = before.get(row["class"])
    return {**row, "was": was} if before and was != row["day"] else row
