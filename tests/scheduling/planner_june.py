"""June 2025 as the planner's scenarios tell it. Today is Monday 2 June 2025."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta

from coach.scheduling.planner import FixedUpload, PlanClass, Problem, Weights
from coach.scheduling.values import Stage

TODAY = date(2025, 6, 2)
T1, T2, T3 = Stage.TRIMESTER_1, Stage.TRIMESTER_2, Stage.TRIMESTER_3
EARLY, LATER = Stage.WEEKS_6_12, Stage.WEEKS_12_26


def june(day: int) -> date:
    return date(2025, 6, day)


def a_class(
    number: int,
    title: str,
    *stages: Stage,
    focus: str = "",
    hours: float = 0,
    part: int | None = None,
    not_before: date | None = None,
) -> PlanClass:
    """One class; with a part it belongs to the series “Hips”."""
    return PlanClass(
        id=number,
        title=title,
        focus=focus,
        stages=frozenset(stages),
        minutes_of_work=round(hours * 60),
        series=None if part is None else 1,
        series_title="" if part is None else "Hips",
        part=part,
        not_before=not_before,
    )


def raw(number: int, title: str, *stages: Stage) -> PlanClass:
    """One that is still to be filmed."""
    return replace(a_class(number, title, *stages), needs_filming=True)


def month(
    slots: Iterable[int],
    classes: Iterable[PlanClass],
    clients: dict[Stage, int],
    *,
    fixed: Iterable[FixedUpload] = (),
    minutes_a_week: int = 600,
    lead_days: int = 0,
    weights: Weights | None = None,
) -> Problem:
    """June as asked for, with the same clients on every slot."""
    days = tuple(june(day) for day in slots)
    return Problem(
        today=TODAY,
        slots=days,
        classes=tuple(classes),
        fixed=tuple(fixed),
        need=tuple((day, tuple(clients.items())) for day in days),
        minutes_a_week=minutes_a_week,
        lead_days=lead_days,
        weights=weights or Weights(),
    )


def published(days_ago: int, item: PlanClass) -> FixedUpload:
    return FixedUpload(day=TODAY - timedelta(days=days_ago), item=item, published=True)


def promised(day: date, item: PlanClass) -> FixedUpload:
    return FixedUpload(day=day, item=item, published=False)
