"""Reads for planning a month: the planner's problem, from wishes, classes, uploads and clients."""

from __future__ import annotations

import dataclasses
import hashlib
import json
from datetime import date

from clients.queries import needs
from coach.scheduling.planner import FixedUpload, PlanClass, Problem, freeze_need
from coach.scheduling.values import Stage
from content.models import DayOff, FitnessClass, Proposal, State, Upload, Wishes
from content.rules.months import Month, open_days
from content.rules.preferences import weights

_PLANNABLE = (State.IDEA, State.OUTLINED, State.FILMED, State.EDITED)


def wishes() -> Wishes:
    """Her wishes; before she has said any, a row not yet kept that has no publish days."""
    return Wishes.objects.first() or Wishes(pk=1)


def proposal_of(month: Month) -> Proposal | None:
    """The plan last made for a month, if there is one."""
    return Proposal.objects.filter(month=month.first).first()


def days_off(month: Month) -> list[DayOff]:
    """The days off that the month's weeks show, in order."""
    weeks = month.weeks()
    return list(DayOff.objects.filter(day__range=(weeks[0][0], weeks[-1][-1])))


def standing_uploads() -> list[Upload]:
    """Every upload that counts, with its class: not taken off, its class not withdrawn."""
    return list(
        Upload.objects.filter(cancelled_at__isnull=True)
        .exclude(item__state=State.WITHDRAWN)
        .select_related("item__series")
        .order_by("day", "pk")
    )


def placeable() -> list[FitnessClass]:
    """Unpublished classes without a publish day, those furthest along first."""
    found = (
        FitnessClass.objects.filter(state__in=_PLANNABLE)
        .exclude(uploads__cancelled_at__isnull=True, uploads__isnull=False)
        .select_related("series")
    )
    order = {state: place for place, state in enumerate(reversed(_PLANNABLE))}
    return sorted(found, key=lambda item: (order[State(item.state)], item.title, item.pk))


def hours_known(item: FitnessClass) -> bool:
    """Whether it is known what a class still needs: unfinished with no hours is not known."""
    return item.state == State.EDITED or item.minutes_of_work > 0


def problem(month: Month, *, today: date) -> Problem:
    """What the planner is asked for a month. The number of queries is fixed."""
    wanted, uploads = wishes(), standing_uploads()
    slots = open_days(
        month,
        today=today,
        weekdays=wanted.weekdays,
        days_off=all_days_off(),
        taken={upload.day for upload in uploads},
    )
    return Problem(
        today=today,
        slots=slots,
        classes=tuple(_plan_class(item) for item in placeable() if hours_known(item)),
        fixed=tuple(
            FixedUpload(up.day, _plan_class(up.item), up.item.state == State.PUBLISHED)
            for up in uploads
        ),
        need=freeze_need(needs(today=today, days=slots).by_day),
        minutes_a_week=wanted.minutes_a_week,
        lead_days=wanted.lead_days,
        weights=weights()[wanted.preference],
    )


def fingerprint(of: Problem) -> str:
    """The same for the same problem: tells whether a proposal still answers what is asked."""
    return hashlib.sha256(as_text(of).encode()).hexdigest()


def as_text(of: Problem) -> str:
    """A problem as JSON, the same in every process."""
    return json.dumps(dataclasses.asdict(of), default=_plain, sort_keys=True)


def _plain(value: object) -> object:
    """Sets in a fixed order: theirs differs from one process to the next."""
    return sorted(value) if isinstance(value, frozenset) else str(value)


def _plan_class(item: FitnessClass) -> PlanClass:
    return PlanClass(
        id=item.pk,
        title=item.title,
        focus=item.focus,
        stages=frozenset(Stage(code) for code in item.stages),
        minutes_of_work=item.minutes_of_work,
        series=item.series_id,
        series_title=item.series.title if item.series else "",
        part=item.part,
        effort=item.effort,
    )


def publish_days(month: Month) -> list[date]:
    """The days of a month that are publish days of hers and not days off."""
    wanted = wishes().weekdays
    closed = all_days_off()
    return [day for day in month.days() if day.weekday() in wanted and day not in closed]


def all_days_off() -> set[date]:
    """Every day off there is."""
    return set(DayOff.objects.values_list("day", flat=True))
