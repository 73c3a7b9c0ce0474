"""Writes of planning: wishes, days off, proposals made, changed, accepted or dropped."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date
from typing import Any

from django.db import transaction

from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.writing import change
from coach.scheduling.planner import Plan, PlannedSlot, Problem, make_plan
from content.actions.uploads import Refused, place
from content.models import DayOff, FitnessClass, Proposal, Upload, Wishes
from content.queries import planning
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
    return _keep(by=by, month=month, asked=asked, plan=make_plan(asked))


@transaction.atomic
def _keep(*, by: Actor, month: Month, asked: Problem, plan: Plan) -> Proposal:
    values = {
        "status": plan.status,
        "value": plan.value,
        "bound": plan.bound,
        "slots": [_as_row(slot) for slot in plan.slots],
        "unmet": list(plan.unmet),
        "fingerprint": planning.fingerprint(asked),
    }
    kept, made = Proposal.objects.get_or_create(month=month.first, defaults=values)
    changed = list(values) if made else change(kept, **values)
    audit.record(by=by, verb="proposed", subject=kept, fields=changed)
    return kept


def _as_row(slot: PlannedSlot) -> dict[str, Any]:
    return {"day": slot.day.isoformat(), "class": slot.class_id, "reasons": list(slot.reasons)}


@transaction.atomic
def accept(*, by: Actor, proposal: Proposal, days: Collection[date], today: date) -> list[Upload]:
    """Turn the proposal's classes on these days into uploads; all of them or none.

    Refused if one cannot be placed any more, with the sentence that says why.
    """
    chosen = {day.isoformat() for day in days}
    taken = [slot for slot in proposal.slots if slot["day"] in chosen]
    if not taken:
        raise Refused("There is nothing proposed on that day any more.")
    current = _is_current(proposal, today)
    items = FitnessClass.objects.in_bulk([slot["class"] for slot in taken])
    if len(items) < len(taken):
        raise Refused("A proposed class is no longer there: plan the month again.")
    made = [
        place(by=by, item=items[slot["class"]], day=date.fromisoformat(slot["day"]))
        for slot in taken
    ]
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
    current = day == to and _is_current(proposal, today)
    upload = place(by=by, item=item, day=to)
    _keep_rest(proposal, [slot for slot in proposal.slots if slot not in slots], current, today)
    audit.record(by=by, verb="accepted", subject=proposal, fields=("slots",))
    return upload


@transaction.atomic
def leave_out(*, by: Actor, proposal: Proposal, day: date) -> None:
    """Take one class out of a proposal; Refused if none is proposed on that day."""
    rest = [slot for slot in proposal.slots if slot["day"] != day.isoformat()]
    if len(rest) == len(proposal.slots):
        raise Refused("There is nothing proposed on that day any more.")
    change(proposal, slots=rest)
    audit.record(by=by, verb="left out", subject=proposal, fields=("slots",))


@transaction.atomic
def drop(*, by: Actor, proposal: Proposal) -> None:
    """Take a whole proposal away; nothing that stands changes."""
    audit.record(by=by, verb="dropped", subject=proposal)
    proposal.delete()


def _is_current(proposal: Proposal, today: date) -> bool:
    asked = planning.problem(Month.of(proposal.month), today=today)
    return planning.fingerprint(asked) == proposal.fingerprint


def _keep_rest(proposal: Proposal, rest: list[dict[str, Any]], current: bool, today: date) -> None:
    """What is left of a proposal answers the question that is left, if it answered the whole."""
    values: dict[str, Any] = {"slots": rest}
    if current:
        asked = planning.problem(Month.of(proposal.month), today=today)
        values["fingerprint"] = planning.fingerprint(asked)
    change(proposal, **values)
