"""A placement measured plainly: its value, and the hard rules it breaks, as problem.py states them.

Slow and simple on purpose. Searching uses grid.py; what is handed out was measured here.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from itertools import pairwise

from coach.scheduling.planner.problem import FixedUpload, Placement, PlanClass, Problem
from coach.scheduling.values import Stage

Placed = dict[date, PlanClass]


def placed_classes(problem: Problem, placement: Placement) -> Placed:
    """The classes of a placement by day, in order of day."""
    by_id = {item.id: item for item in problem.classes}
    return {day: by_id[placement[day]] for day in sorted(placement)}


def standing(problem: Problem) -> tuple[FixedUpload, ...]:
    """The fixed uploads that count: published ones and those still to come."""
    return tuple(upload for upload in problem.fixed if upload.stands(problem.today))


def needs(problem: Problem) -> Mapping[date, dict[Stage, int]]:
    """Clients by day and servable stage, for the slots only and without the zeros."""
    table: dict[date, dict[Stage, int]] = {day: {} for day in problem.slots}
    for day, row in problem.need:
        for stage, clients in row:
            if day in table and stage.servable and clients > 0:
                table[day][stage] = clients
    return table


def served(problem: Problem, days: list[tuple[date, PlanClass]], on: date, stage: Stage) -> bool:
    """True if one of these uploads suits the stage in the window that ends on that day."""
    opens = on - timedelta(days=problem.serve_every_days)
    return any(opens < day <= on and stage in item.stages for day, item in days)


def value_of(problem: Problem, placement: Placement) -> int:
    """The value of a placement in points."""
    placed = placed_classes(problem, placement)
    table = needs(problem)
    kept = [(upload.day, upload.item) for upload in standing(problem)]
    new = list(placed.items())
    reached = sum(
        clients
        for day, item in new
        for stage, clients in table[day].items()
        if stage in item.stages
    )
    newly = sum(
        clients
        for day, row in table.items()
        for stage, clients in row.items()
        if served(problem, new, day, stage) and not served(problem, kept, day, stage)
    )
    weights = problem.weights
    return (
        weights.fill * len(placed)
        + weights.serve * newly
        + weights.reach * reached
        - weights.focus * len(list(repeats(problem, placed)))
        - weights.work * sum(item.hours_of_work for item in placed.values())
    )


def repeats(problem: Problem, placed: Placed) -> Iterator[tuple[date, date, str]]:
    """Every repeat of a focus: the two days, and the focus."""
    uploads = [(upload.day, upload.item.id, upload.item.focus) for upload in standing(problem)]
    uploads += [(day, item.id, item.focus) for day, item in placed.items()]
    for (day, _, focus), (after, _, again) in pairwise(sorted(uploads)):
        if focus and focus == again and (day in placed or after in placed):
            yield day, after, focus


def capacity(problem: Problem, day: date) -> int:
    """The minutes she has for work from today until a class for that day must be ready."""
    days = (day - problem.today).days - problem.lead_days
    return problem.minutes_a_week * max(0, days) // 7


def promised(problem: Problem, day: date) -> int:
    """The minutes that fixed uploads up to that day still ask for."""
    return sum(upload.minutes_of_work for upload in problem.fixed if upload.day <= day)


def checkpoints(problem: Problem) -> list[date]:
    """The days by which work is added up: slots, and fixed uploads still unpublished."""
    return sorted({*problem.slots, *(up.day for up in problem.fixed if not up.published)})


def broken_rules(problem: Problem, placement: Placement) -> tuple[str, ...]:
    """The hard rules a placement breaks, one sentence each; none for a plan."""
    slots, ids = set(problem.slots), {item.id for item in problem.classes}
    strange = [day for day, chosen in placement.items() if day not in slots or chosen not in ids]
    if strange:
        return tuple(f"{day}: no such slot, or no such class." for day in sorted(strange))
    placed = placed_classes(problem, placement)
    return (
        *_placed_twice(placed),
        *_too_early(placed),
        *_out_of_order(problem, placed),
        *_not_ready(problem, placed),
    )


def _placed_twice(placed: Placed) -> Iterator[str]:
    seen: set[int] = set()
    for day, item in placed.items():
        if item.id in seen:
            yield f"{day}: “{item.title}” is placed already."
        seen.add(item.id)


def _too_early(placed: Placed) -> Iterator[str]:
    for day, item in placed.items():
        if item.not_before is not None and day < item.not_before:
            yield f"{day}: “{item.title}” is not to be published before {item.not_before}."


def _out_of_order(problem: Problem, placed: Placed) -> Iterator[str]:
    days = {item.id: day for day, item in placed.items()}
    fixed = [(upload.item, upload.day) for upload in problem.fixed]
    offered = [(other, days.get(other.id)) for other in problem.classes]
    ids = {item.id for item, _ in fixed}
    for day, item in placed.items():
        for other, other_day in fixed + offered:
            if _against(item, day, other, other_day, ids):
                yield f"{day}: “{item.title}” is out of order with “{other.title}”."


def _against(
    item: PlanClass, day: date, other: PlanClass, other_day: date | None, fixed: set[int]
) -> bool:
    if item.order is None or other.order is None or item.order[0] != other.order[0]:
        return False
    if other.order < item.order:
        return other_day is None or other_day >= day
    later = other.order > item.order and other.id in fixed
    return later and other_day is not None and other_day <= day


def _not_ready(problem: Problem, placed: Placed) -> Iterator[str]:
    for until in checkpoints(problem):
        planned = sum(item.minutes_of_work for day, item in placed.items() if day <= until)
        spare = max(0, capacity(problem, until) - promised(problem, until))
        if planned > spare:
            yield f"{until}: {planned} minutes of work are planned, there is time for {spare}."
