"""Writes of planning: wishes, days off, proposals made, changed, accepted or dropped."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from datetime import date
from typing import Any

from django.db import transaction

from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.writing import change
from coach.scheduling.planner import Plan, PlannedSlot, Problem, make_plan
from content.actions.earlier import keep_plan
from content.actions.uploads import Refused, place
from content.models import DayOff, FitnessClass, Proposal, Upload, Wishes
from content.queries import planning
from content.rules import plan_words as words
from content.rules.months import Month
from content.rules.uploads import day_in_words


@transaction.atomic
def change_wishes(*, by: Actor, **values: Any) -> Wishes:
    """Keep her wishes; the first time makes the row."""
    wanted, made = Wishes.objects.get_or_create(pk=1, defaults=values)
    changed = list(values) if made else change(wanted, **values)
    audit.record(by=by, verb="changed", subject=wanted, fields=changed)
    return wanted


@transaction.atomic
def add_day_off(*, by: Actor, day: date, why: str = "") -> DayOff:
    """Mark a day off; Refused where an upload stands, or where it is one already."""
    if DayOff.objects.filter(day=day).exists():
        raise Refused(f"{day_in_words(day)} is a day off already.")
    if Upload.objects.filter(day=day, cancelled_at__isnull=True).exists():
        raise Refused(f"An upload stands on {day_in_words(day)}: move it first.")
    off = DayOff.objects.create(day=day, why=why)
    audit.record(by=by, verb="added", subject=off, fields=("day", "why"))
    return off


@transaction.atomic
def remove_day_off(*, by: Actor, off: DayOff) -> None:
    """Make it an ordinary day again."""
    audit.record(by=by, verb="removed", subject=off, fields=("day",))
    off.delete()


def propose(*, by: Actor, month: Month, today: date) -> Proposal:
    """Plan a month and keep the result beside what is there; accepted is nothing yet.

    The planning runs outside the transaction: it may take seconds, and a writer must not wait.
    """
    asked = planning.problem(month, today=today)
    return _keep(by=by, month=month, asked=asked, plan=make_plan(asked), verb="proposed")


def pin(*, by: Actor, month: Month, item: FitnessClass, day: date, today: date) -> Proposal:
    """Keep a class on a day in the proposal and plan the rest anew.

    Refused, with the wishes that contradict each other, where no plan can keep it there: then the
    proposal stays as it was.
    """
    if sentence := _against_pinning(item, day, month, today):
        raise Refused(sentence)
    asked = planning.problem(month, today=today)
    others = (one for one in asked.pins if one[0] != day and one[1] != item.pk)
    asked = replace(asked, pins=(*others, (day, item.pk)))
    plan = make_plan(asked)
    if plan.conflict:
        raise Refused(" ".join(plan.conflict))
    return _keep(by=by, month=month, asked=asked, plan=plan, verb="pinned")


def _against_pinning(item: FitnessClass, day: date, month: Month, today: date) -> str:
    if Upload.objects.filter(item=item, cancelled_at__isnull=True).exists():
        return f"“{item.title}” has its day already: move it instead."
    if not planning.hours_known(item):
        return f"Say how many hours “{item.title}” still needs, then it can be planned."
    if day <= today:
        return f"{day_in_words(day)} is over for planning: choose a later day."
    if Month.of(day) != month:
        return f"{day_in_words(day)} lies in another month than this plan."
    return ""


def unpin(*, by: Actor, month: Month, day: date, today: date) -> Proposal:
    """Let the class pinned on a day go, and plan the rest anew; Refused if none is pinned."""
    proposal = planning.proposal_of(month)
    pinned = {one["day"] for one in proposal.pins} if proposal else set()
    if day.isoformat() not in pinned:
        raise Refused(f"Nothing is pinned on {day_in_words(day)}.")
    asked = planning.problem(month, today=today)
    asked = replace(asked, pins=tuple(one for one in asked.pins if one[0] != day))
    return _keep(by=by, month=month, asked=asked, plan=make_plan(asked), verb="unpinned")


@transaction.atomic
def _keep(*, by: Actor, month: Month, asked: Problem, plan: Plan, verb: str) -> Proposal:
    kept, made = Proposal.objects.select_for_update().get_or_create(
        month=month.first, defaults={"status": plan.status, "value": 0, "bound": 0}
    )
    before = {slot["class"]: slot["day"] for slot in kept.slots}
    after = {slot.class_id: slot.day.isoformat() for slot in plan.slots}
    if before and before != after:
        keep_plan(kept, "made", by=by, slots=kept.slots)
    values = {
        **_as_values(asked, plan),
        "slots": [_as_row(slot, before) for slot in plan.slots],
        "changed": _changed(before, after, asked),
    }
    changed = change(kept, **values)
    audit.record(by=by, verb=verb, subject=kept, fields=values if made else changed)
    return kept


def _as_values(asked: Problem, plan: Plan) -> dict[str, Any]:
    return {
        "status": plan.status,
        "value": plan.value,
        "bound": plan.bound,
        "unmet": list(plan.unmet),
        "conflict": list(plan.conflict),
        "better": list(plan.better),
        "pins": [{"day": day.isoformat(), "class": pk} for day, pk in asked.pins],
        "fingerprint": planning.fingerprint(asked),
    }


def _as_row(slot: PlannedSlot, before: dict[int, str]) -> dict[str, Any]:
    """A slot as it is kept. `was`, where there was a plan before and it had the class on another
    day: that day, or None where it had it on none."""
    day, was = slot.day.isoformat(), before.get(slot.class_id)
    row = {
        "day": day,
        "class": slot.class_id,
        "reasons": list(slot.reasons),
        "pinned": slot.pinned,
    }
    return {**row, "was": was} if before and was != day else row


def _changed(before: dict[int, str], after: dict[int, str], asked: Problem) -> list[str]:
    """What is other than before, in sentences; none for the first plan."""
    if not before:
        return []
    titles = {item.id: item.title for item in asked.classes}
    titles |= {upload.item.id: upload.item.title for upload in asked.fixed}
    old, new = (
        {pk: date.fromisoformat(day) for pk, day in plan.items()} for plan in (before, after)
    )
    return list(words.changed(old, new, titles)) or [words.SAME]


@transaction.atomic
def accept(*, by: Actor, proposal: Proposal, days: Collection[date], today: date) -> list[Upload]:
    """Turn the proposal's classes on these days into uploads; all of them or none.

    Refused if one cannot be placed any more, with the sentence that says why.
    """
    chosen = {day.isoformat() for day in days}
    taken = [slot for slot in proposal.slots if slot["day"] in chosen]
    if not taken:
        raise Refused("There is nothing proposed on that day any more.")
    current = planning.is_current(proposal, today)
    items = FitnessClass.objects.in_bulk([slot["class"] for slot in taken])
    if len(items) < len(taken):
        raise Refused("A proposed class is no longer there: plan the month again.")
    made = [
        place(by=by, item=items[slot["class"]], day=date.fromisoformat(slot["day"]))
        for slot in taken
    ]
    keep_plan(proposal, "accepted", by=by, slots=taken, uploads=made)
    _keep_rest(proposal, [slot for slot in proposal.slots if slot not in taken], current, today)
    audit.record(by=by, verb="accepted", subject=proposal, fields=("slots",))
    return made


@transaction.atomic
def put_on(*, by: Actor, proposal: Proposal, day: date, to: date, today: date) -> Upload:
    """Place a proposed class on a day of her own choice; the rest stays proposed.

    Refused if nothing is proposed on `day`, or the class cannot go to `to`.
    """
    slots = [slot for slot in proposal.slots if slot["day"] == day.isoformat()]
    item = FitnessClass.objects.filter(pk__in=[slot["class"] for slot in slots]).first()
    if item is None:
        raise Refused("There is nothing proposed on that day any more.")
    current = day == to and planning.is_current(proposal, today)
    upload = place(by=by, item=item, day=to)
    there = [{**slot, "day": to.isoformat()} for slot in slots]
    keep_plan(proposal, "accepted", by=by, slots=there, uploads=[upload])
    _keep_rest(proposal, [slot for slot in proposal.slots if slot not in slots], current, today)
    audit.record(by=by, verb="accepted", subject=proposal, fields=("slots",))
    return upload


@transaction.atomic
def leave_out(*, by: Actor, proposal: Proposal, day: date, today: date) -> None:
    """Take one class, and its pin, out of a proposal; Refused if none is proposed on that day."""
    rest = [slot for slot in proposal.slots if slot["day"] != day.isoformat()]
    if len(rest) == len(proposal.slots):
        raise Refused("There is nothing proposed on that day any more.")
    current = planning.is_current(proposal, today)
    keep_plan(proposal, "made", by=by, slots=proposal.slots)
    change(proposal, status=words.BY_HAND)
    _keep_rest(proposal, rest, current, today)
    audit.record(by=by, verb="left out", subject=proposal, fields=("slots",))


@transaction.atomic
def drop(*, by: Actor, proposal: Proposal) -> None:
    """Take a whole proposal away; nothing that stands changes."""
    if proposal.slots:
        keep_plan(proposal, "made", by=by, slots=proposal.slots)
    audit.record(by=by, verb="dropped", subject=proposal)
    proposal.delete()


def _keep_rest(proposal: Proposal, rest: list[dict[str, Any]], current: bool, today: date) -> None:
    """What is left of a proposal answers the question that is left, if it answered the whole."""
    here = {slot["class"] for slot in rest}
    pins = [pin for pin in proposal.pins if pin["class"] in here]
    change(proposal, slots=rest, pins=pins, changed=[])
    if current:
        asked = planning.problem(Month.of(proposal.month), today=today)
        change(proposal, fingerprint=planning.fingerprint(asked))
