"""Kinds: classes that no rule and no wish can tell apart, so one column stands for all."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from coach.scheduling.planner.measure import standing
from coach.scheduling.planner.problem import PlanClass, Problem
from coach.scheduling.values import Stage


@dataclass(frozen=True, slots=True)
class Kind:
    """Classes that are interchangeable; `sample` is the one with the lowest id.

    `pinned` is the day of a class that is pinned, which is a kind of its own.
    """

    sample: PlanClass
    members: tuple[int, ...]
    stages: frozenset[Stage]
    films: bool
    pinned: date | None = None

    @property
    def minutes(self) -> int:
        return self.sample.minutes_of_work


def in_time(item: PlanClass, day: date) -> bool:
    """True if a day is one of the days of a class."""
    return (item.not_before is None or item.not_before <= day) and (
        item.not_after is None or day <= item.not_after
    )


def in_order(problem: Problem, item: PlanClass, day: date, *, after_lower: bool) -> bool:
    """True if a day is after the fixed lower parts of its series, or before the higher ones."""
    if item.order is None:
        return True
    parts = [
        (upload.item.order, upload.day)
        for upload in problem.fixed
        if upload.item.order is not None and upload.item.order[0] == item.order[0]
    ]
    if after_lower:
        return all(on < day for order, on in parts if order < item.order)
    return all(on > day for order, on in parts if order > item.order)


def kinds(problem: Problem, needed: set[Stage]) -> list[Kind]:
    """The classes of a problem as kinds; only stages that are needed tell classes apart."""
    groups: dict[object, list[PlanClass]] = defaultdict(list)
    items = [*problem.classes, *(upload.item for upload in standing(problem))]
    families = Counter(item.family for item in items)
    series = Counter(item.order[0] for item in _everything(problem) if item.order is not None)
    pinned = {number: day for day, number in problem.pins}
    for item in problem.classes:
        order = item.order is not None and series[item.order[0]] > 1
        family = item.family if families[item.family] > 1 else None
        alone = item.id if order or item.id in pinned else None
        open_days = sum(in_time(item, day) << i for i, day in enumerate(problem.slots))
        wishes = (item.focus, item.band, family, item.wanted_soon, item.stages & needed)
        work = (item.minutes_of_work, item.needs_filming and problem.film_days is not None)
        groups[wishes, work, open_days, alone].append(item)
    return [
        Kind(
            items[0],
            tuple(item.id for item in items),
            items[0].stages & needed,
            films=items[0].needs_filming and problem.film_days is not None,
            pinned=pinned.get(items[0].id),
        )
        for items in groups.values()
    ]


def _everything(problem: Problem) -> Iterable[PlanClass]:
    """The classes, and those of all fixed uploads, overdue ones too."""
    return (*problem.classes, *(upload.item for upload in problem.fixed))
