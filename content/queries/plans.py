"""Reads of a month's earlier plans: the list, and one with what became of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from content.models import EarlierPlan, FitnessClass, State, Upload
from content.queries.month_days import details_of
from content.queries.planning import proposal_of
from content.rules import plan_words as words
from content.rules.months import Month


@dataclass(frozen=True, slots=True)
class PlanLine:
    """One plan in the list."""

    plan: EarlierPlan
    words: str
    quality: str


@dataclass(frozen=True, slots=True)
class PlannedLine:
    """A class of a plan on its day. `item` None: deleted since; `became` is what it is now."""

    day: date
    item: FitnessClass | None
    details: str
    pinned: bool
    became: str
    mark: str


@dataclass(frozen=True, slots=True)
class PlanPage:
    """One earlier plan."""

    month: Month
    line: PlanLine
    slots: tuple[PlannedLine, ...]
    can_take_back: bool

    @property
    def can_restore(self) -> bool:
        """Whether it holds a class that has no day now."""
        return any(line.mark in {"none", "proposed"} for line in self.slots)

    @property
    def plan(self) -> EarlierPlan:
        return self.line.plan


def earlier_plans(month: Month) -> list[PlanLine]:
    """The month's earlier plans, the latest first; one query."""
    rows = EarlierPlan.objects.filter(month=month.first).select_related("by")
    return [_line(plan) for plan in rows]


def earlier_plan(month: Month, number: int) -> EarlierPlan | None:
    """One of them, if it is there."""
    found = EarlierPlan.objects.filter(month=month.first, number=number)
    return found.select_related("by").first()


def plan_page(plan: EarlierPlan) -> PlanPage:
    """A plan with its classes as they are now; three queries whatever it holds."""
    ids = [slot["class"] for slot in plan.slots]
    items = FitnessClass.objects.in_bulk(ids)
    uploads = {
        upload.item_id: upload
        for upload in Upload.objects.filter(item__in=ids, cancelled_at__isnull=True)
    }
    there = [uploads[pk] for pk in items if pk in uploads]
    proposal = proposal_of(Month.of(plan.month))
    days = {slot["class"]: slot["day"] for slot in (proposal.slots if proposal else [])}
    return PlanPage(
        month=Month.of(plan.month),
        line=_line(plan),
        slots=tuple(_slot(slot, items, uploads, days) for slot in plan.slots),
        can_take_back=_can_take_back(plan, items, there),
    )


def _line(plan: EarlierPlan) -> PlanLine:
    return PlanLine(
        plan,
        words.plan_in_words(plan.what, len(plan.slots), back=plan.taken_back_at is not None),
        words.quality_in_words(plan.status, plan.value, plan.bound),
    )


def _can_take_back(
    plan: EarlierPlan, items: Mapping[int, FitnessClass], there: list[Upload]
) -> bool:
    """Whether an acceptance has uploads that are still to come."""
    if plan.what != "accepted" or plan.taken_back_at:
        return False
    over = {State.PUBLISHED, State.WITHDRAWN}
    return any(up.pk in plan.uploads and items[up.item_id].state not in over for up in there)


def _slot(
    slot: Mapping[str, object],
    items: Mapping[int, FitnessClass],
    uploads: Mapping[int, Upload],
    proposed: Mapping[int, str],
) -> PlannedLine:
    pk, day = slot["class"], date.fromisoformat(str(slot["day"]))
    assert isinstance(pk, int)  # JSON of our own
    item, upload = items.get(pk), uploads.get(pk)
    mark, became = words.became(
        item.state if item else "",
        upload.day if upload else None,
        day,
        proposed=date.fromisoformat(proposed[pk]) if pk in proposed else None,
    )
    return PlannedLine(
        day=day,
        item=item,
        details=details_of(item) if item else "",
        pinned=bool(slot.get("pinned")),
        became=became,
        mark=mark,
    )
