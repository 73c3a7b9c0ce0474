"""A placement measured plainly: its value, and the hard rules it breaks, as problem.py states them.

Slow and simple on purpose. Searching uses grid.py; what is handed out was measured here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import date, timedelta
from itertools import combinations, pairwise
from typing import Literal

from coach.scheduling.planner.problem import FixedUpload, Placement, PlanClass, Problem
from coach.scheduling.values import Stage

Placed = dict[date, PlanClass]
Trait = Literal["focus", "effort", "family"]
TRAITS: Mapping[Trait, Callable[[PlanClass], str | int | None]] = {
    "focus": lambda item: item.focus or None,
    "effort": lambda item: item.band or None,
    "family": lambda item: item.family,
}  # what may repeat from one upload to the next, by the name of its weight; None never does


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
    weights = problem.weights
    repeated = {trait: len(list(repeats(problem, placed, trait))) for trait in TRAITS}
    worth: dict[str, int] = {trait: getattr(weights, trait) for trait in TRAITS}
    return (
        weights.fill * len(placed)
        + weights.serve * newly_served(problem, placed)
        + weights.reach * reached(problem, placed)
        + weights.soon * soonness(problem, placed)
        - sum(worth[trait] * times for trait, times in repeated.items())
        - weights.mix * beyond_share(problem, placed)
        - weights.film * more_film_days(problem, placed)
        - weights.work * sum(item.hours_of_work for item in placed.values())
    )


def newly_served(problem: Problem, placed: Placed) -> int:
    """Clients in windows that a placed class serves and no standing upload does."""
    kept = [(upload.day, upload.item) for upload in standing(problem)]
    new = list(placed.items())
    return sum(
        clients
        for day, row in needs(problem).items()
        for stage, clients in row.items()
        if served(problem, new, day, stage) and not served(problem, kept, day, stage)
    )


def reached(problem: Problem, placed: Placed) -> int:
    """Clients whom the placed classes suit on their own days."""
    table = needs(problem)
    return sum(
        clients
        for day, item in placed.items()
        for stage, clients in table[day].items()
        if stage in item.stages
    )


def soonness(problem: Problem, placed: Placed) -> int:
    """For each class wanted soon the slots that are not before its own."""
    soon = [day for day, item in placed.items() if item.wanted_soon]
    return sum(slot >= day for day in soon for slot in problem.slots)


def repeats(
    problem: Problem, placed: Placed, trait: Trait = "focus"
) -> Iterator[tuple[date, date, str | int]]:
    """Every repeat of a focus, an effort band or a family: the two days, and what repeats."""
    uploads = [(upload.day, upload.item.id, upload.item) for upload in standing(problem)]
    uploads += [(day, item.id, item) for day, item in placed.items()]
    uploads.sort(key=lambda upload: upload[:2])
    for (day, _, item), (after, _, other) in pairwise(uploads):
        has, again = TRAITS[trait](item), TRAITS[trait](other)
        if has is not None and has == again and (day in placed or after in placed):
            yield day, after, has


def beyond_share(problem: Problem, placed: Placed) -> int:
    """The placed classes that go beyond the share of their focus."""
    foci = [item.focus for item in placed.values()]
    return sum(max(0, foci.count(focus) - most) for focus, most in problem.mix)


def more_film_days(problem: Problem, placed: Placed) -> int:
    """The filming days that the placed classes take beyond those that fixed uploads need."""
    if problem.film_days is None:
        return 0
    awaited = sum(upload.needs_filming for upload in problem.fixed)
    filmed = sum(item.needs_filming for item in placed.values())
    return days_to_film(problem, filmed + awaited) - days_to_film(problem, awaited)


def days_to_film(problem: Problem, classes: int) -> int:
    """The filming days that so many classes take."""
    return -(-classes // problem.films_a_day)


def working(problem: Problem, day: date) -> int:
    """The days she has from tomorrow until a class for that day must be ready, days off apart."""
    ready = day - timedelta(days=problem.lead_days)
    off = sum(problem.today < free <= ready for free in problem.days_off)
    return max(0, (ready - problem.today).days - off)


def capacity(problem: Problem, day: date) -> int:
    """The minutes she has for work from today until a class for that day must be ready."""
    return problem.minutes_a_week * working(problem, day) // 7


def promised(problem: Problem, day: date) -> int:
    """The minutes that fixed uploads up to that day still ask for."""
    return sum(upload.minutes_of_work for upload in problem.fixed if upload.day <= day)


def takes(problem: Problem, day: date) -> int:
    """The classes that can be filmed in time for that day; only where filming days are known."""
    filmed_by = day - timedelta(days=problem.film_lead_days)
    return problem.films_a_day * sum(on <= filmed_by for on in problem.film_days or ())


def awaited(problem: Problem, day: date) -> int:
    """The fixed uploads up to that day that are still to be filmed."""
    return sum(upload.needs_filming for upload in problem.fixed if upload.day <= day)


def checkpoints(problem: Problem) -> list[date]:
    """The days by which work and filming are added up: slots, and unpublished fixed uploads."""
    return sorted({*problem.slots, *(up.day for up in problem.fixed if not up.published)})


def week_of(day: date) -> tuple[int, int]:
    """The ISO 8601 year and week of a day."""
    return day.isocalendar()[:2]


def left_in_week(problem: Problem, week: tuple[int, int]) -> int:
    """The classes that may be placed in an ISO week; only where there is a pace."""
    taken = sum(week_of(upload.day) == week for upload in standing(problem))
    return max(0, (problem.a_week or 0) - taken)


def broken_rules(problem: Problem, placement: Placement) -> tuple[str, ...]:
    """The hard rules a placement breaks, one sentence each; none for a plan."""
    slots, ids = set(problem.slots), {item.id for item in problem.classes}
    strange = [day for day, chosen in placement.items() if day not in slots or chosen not in ids]
    if strange:
        return tuple(f"{day}: no such slot, or no such class." for day in sorted(strange))
    placed = placed_classes(problem, placement)
    return (
        *_placed_twice(placed),
        *_wrong_day(placed),
        *_out_of_order(problem, placed),
        *_not_ready(problem, placed),
        *_not_filmed(problem, placed),
        *_too_many(problem, placed),
        *_too_near(problem, placed),
        *_unpinned(problem, placement),
    )


def _placed_twice(placed: Placed) -> Iterator[str]:
    seen: set[int] = set()
    for day, item in placed.items():
        if item.id in seen:
            yield f"{day}: “{item.title}” is placed already."
        seen.add(item.id)


def _wrong_day(placed: Placed) -> Iterator[str]:
    for day, item in placed.items():
        if item.not_before is not None and day < item.not_before:
            yield f"{day}: “{item.title}” is not to be published before {item.not_before}."
        if item.not_after is not None and day > item.not_after:
            yield f"{day}: “{item.title}” is not to be published after {item.not_after}."


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


def _not_filmed(problem: Problem, placed: Placed) -> Iterator[str]:
    if problem.film_days is None:
        return
    for until in checkpoints(problem):
        filmed = sum(item.needs_filming for day, item in placed.items() if day <= until)
        spare = max(0, takes(problem, until) - awaited(problem, until))
        if filmed > spare:
            yield f"{until}: {filmed} classes are to be filmed, there is time for {spare}."


def _too_many(problem: Problem, placed: Placed) -> Iterator[str]:
    if problem.a_week is None:
        return
    weeks = [week_of(day) for day in placed]
    for week in sorted(set(weeks)):
        if weeks.count(week) > left_in_week(problem, week):
            yield f"Week {week[1]} of {week[0]}: {weeks.count(week)} classes are too many."


def _too_near(problem: Problem, placed: Placed) -> Iterator[str]:
    pairs = [*combinations(placed, 2)]
    pairs += [(day, upload.day) for day in placed for upload in standing(problem)]
    for day, other in pairs:
        if abs((day - other).days) < problem.gap_days:
            yield f"{day}: nearer than {problem.gap_days} days to {other}."


def _unpinned(problem: Problem, placement: Placement) -> Iterator[str]:
    for day, pinned in problem.pins:
        if placement.get(day) != pinned:
            yield f"{day}: class {pinned} is pinned there."
