"""Judges a month's plan from outside: the hard rules, the value, exhaustive search.

Written from the words of the rules alone, as plainly as they are put there and
slower than it could be, so that it shares no thought with the planner it judges.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from coach.scheduling.planner import FixedUpload, PlanClass, Problem, Weights
from coach.scheduling.values import Stage

Chosen = dict[date, int]
MONDAY = date(2025, 6, 2)
"""Today, in every problem made here."""

SERVABLE = [stage for stage in Stage if stage not in (Stage.UNKNOWN, Stage.PAST_DUE)]
FOCUSES = ["", "core", "hips", "back", "breath"]


@dataclass(frozen=True)
class Upload:
    """A fixed upload that stands, or a placed class, on its day."""

    day: date
    item: PlanClass
    placed: bool


def broken_rules(problem: Problem, chosen: Chosen) -> list[str]:
    """Each broken hard rule in words; none for a plan that may be kept."""
    offered = {item.id: item for item in problem.classes}
    if foreign := [day for day in chosen if day not in problem.slots]:
        return [f"not a slot: {foreign}"]
    if unknown := [number for number in chosen.values() if number not in offered]:
        return [f"not offered: {unknown}"]
    return [
        *_placed_twice(chosen),
        *_too_early(offered, chosen),
        *_series_broken(problem, offered, chosen),
        *_not_ready(problem, offered, chosen),
    ]


def _placed_twice(chosen: Chosen) -> Iterator[str]:
    ids = list(chosen.values())
    yield from (f"twice: {number}" for number in sorted(set(ids)) if ids.count(number) > 1)


def _too_early(offered: dict[int, PlanClass], chosen: Chosen) -> Iterator[str]:
    for day, number in chosen.items():
        earliest = offered[number].not_before
        if earliest is not None and day < earliest:
            yield f"too early: {number} on {day}"


def _series_broken(
    problem: Problem, offered: dict[int, PlanClass], chosen: Chosen
) -> Iterator[str]:
    day_of = {number: day for day, number in chosen.items()}
    for day, number in chosen.items():
        this = offered[number]
        if this.series is None or this.part is None:
            continue
        for other in problem.classes:
            lower = _same_series(this, other) and (other.part or 0) < this.part
            if lower and not day_of.get(other.id, date.max) < day:
                yield f"order: {number} on {day} without {other.id} before it"
        for upload in problem.fixed:
            if not _same_series(this, upload.item) or upload.item.part is None:
                continue
            if upload.item.part < this.part and not upload.day < day:
                yield f"order: {number} on {day}, fixed lower part on {upload.day}"
            if upload.item.part > this.part and not upload.day > day:
                yield f"order: {number} on {day}, fixed higher part on {upload.day}"


def _same_series(one: PlanClass, other: PlanClass) -> bool:
    return one.id != other.id and one.series == other.series and other.part is not None


def _not_ready(problem: Problem, offered: dict[int, PlanClass], chosen: Chosen) -> Iterator[str]:
    unpublished = [upload for upload in problem.fixed if not upload.published]
    for limit in sorted({*problem.slots, *(upload.day for upload in unpublished)}):
        days = (limit - problem.today).days - problem.lead_days
        capacity = problem.minutes_a_week * max(0, days) // 7
        promised = sum(up.item.minutes_of_work for up in unpublished if up.day <= limit)
        planned = sum(
            offered[number].minutes_of_work for day, number in chosen.items() if day <= limit
        )
        if planned > max(0, capacity - promised):
            yield f"not ready: {planned} min by {limit}, {capacity} less {promised} there"


def value_of(problem: Problem, chosen: Chosen) -> int:
    """The value of a placement, counted anew from the words of the rules."""
    offered = {item.id: item for item in problem.classes}
    placed = [Upload(day, offered[number], True) for day, number in sorted(chosen.items())]
    standing = [
        Upload(upload.day, upload.item, False)
        for upload in problem.fixed
        if upload.published or upload.day >= problem.today
    ]
    weights = problem.weights
    hours = sum((upload.item.minutes_of_work + 59) // 60 for upload in placed)
    return (
        weights.fill * len(placed)
        + weights.serve * sum(clients for *_, clients in newly_served(problem, placed, standing))
        + weights.reach * sum(reached(problem, upload.day, upload.item) for upload in placed)
        - weights.focus * len(repeats([*placed, *standing]))
        - weights.work * hours
    )


def need_on(problem: Problem, day: date, stage: Stage) -> int:
    """The clients at a servable stage on a day; none where nothing is said."""
    if stage not in SERVABLE:
        return 0
    return dict(dict(problem.need).get(day, ())).get(stage, 0)


def reached(problem: Problem, day: date, item: PlanClass) -> int:
    """The clients whom a class on a day suits."""
    return sum(need_on(problem, day, stage) for stage in item.stages)


def newly_served(
    problem: Problem, placed: list[Upload], standing: list[Upload]
) -> Iterator[tuple[date, Stage, int]]:
    """Day, stage and clients where placed classes alone serve within the window."""
    for day in problem.slots:
        after = day - timedelta(days=problem.serve_every_days)
        for stage in SERVABLE:
            by_placed, by_standing = (
                any(after < up.day <= day and stage in up.item.stages for up in uploads)
                for uploads in (placed, standing)
            )
            if by_placed and not by_standing:
                yield day, stage, need_on(problem, day, stage)


def repeats(uploads: list[Upload]) -> list[tuple[Upload, Upload]]:
    """Neighbours of one focus of which a placed class is one."""
    in_order = sorted(uploads, key=lambda upload: (upload.day, upload.item.id))
    return [
        (one, other)
        for one, other in pairwise(in_order)
        if one.item.focus and one.item.focus == other.item.focus and (one.placed or other.placed)
    ]


def best_value(problem: Problem) -> int:
    """The highest value of all placements that keep the rules, by trying every one."""
    return max(
        value_of(problem, chosen)
        for chosen in every_placement(problem)
        if not broken_rules(problem, chosen)
    )


def every_placement(problem: Problem) -> Iterator[Chosen]:
    """Every way to put classes, each at most once, into slots, the empty month included."""

    def fill(slots: tuple[date, ...], left: frozenset[int]) -> Iterator[Chosen]:
        if not slots:
            yield {}
            return
        for number in [None, *sorted(left)]:
            rest = left if number is None else left - {number}
            for chosen in fill(slots[1:], rest):
                yield chosen if number is None else {slots[0]: number, **chosen}

    yield from fill(problem.slots, frozenset(item.id for item in problem.classes))


def simple_plan(problem: Problem) -> Chosen:
    """What a hurried person would do: day by day the allowed class with the most clients.

    She turns to another focus than the day before where that serves as many.
    """
    chosen: Chosen = {}
    left, last = list(problem.classes), ""
    for day in problem.slots:
        left.sort(key=lambda c: (-reached(problem, day, c), bool(last) and c.focus == last, c.id))
        allowed = (c for c in left if not broken_rules(problem, {**chosen, day: c.id}))
        if best := next(allowed, None):
            chosen[day], last = best.id, best.focus
            left.remove(best)
    return chosen


def random_problem(seed: int, slots: int, classes: int, fixed: int) -> Problem:
    """A problem with everything that may come up in one, at most as large as asked."""
    rng = random.Random(seed)
    days = [MONDAY + timedelta(days=n) for n in range(1, 46)]
    chosen = rng.sample(days, rng.randint(min(1, slots), slots))
    free = [MONDAY + timedelta(days=n) for n in range(-20, 46)]
    free = [day for day in free if day not in chosen]
    return Problem(
        today=MONDAY,
        slots=tuple(chosen),
        classes=tuple(_a_class(rng, number) for number in _ids(rng, 1, classes)),
        fixed=tuple(_a_fixed_upload(rng, n, free) for n in _ids(rng, 1001, fixed)),
        need=tuple((day, _clients(rng)) for day in chosen if rng.random() < 0.9),
        minutes_a_week=rng.choice([0, 90, 240, 481, 900, 3000]),
        lead_days=rng.choice([0, 1, 3, 7, 10]),
        weights=_weights(rng),
        serve_every_days=rng.choice([1, 5, 14, 30]),
    )


def _ids(rng: random.Random, first: int, most: int) -> list[int]:
    return rng.sample(range(first, first + 900), rng.randint(most // 2, most))


def _a_class(rng: random.Random, number: int) -> PlanClass:
    in_series = rng.random() < 0.4
    return PlanClass(
        id=number,
        title=f"Class {number}",
        focus=rng.choice(FOCUSES),
        stages=frozenset(rng.sample(list(Stage), rng.randint(0, 5))),
        minutes_of_work=rng.choice([0, 0, 0, 25, 60, 61, 150, 240, 420]),
        series=rng.randint(1, 3) if in_series else None,
        series_title="A series" if in_series else "",
        part=rng.choice([None, 0, 1, 2, 3, 4]) if in_series else None,
        effort=rng.choice([None, 3, 6]),
        not_before=MONDAY + timedelta(days=rng.randint(-5, 40)) if rng.random() < 0.3 else None,
    )


def _a_fixed_upload(rng: random.Random, number: int, free: list[date]) -> FixedUpload:
    day = rng.choice(free)
    published = rng.random() < (0.8 if day <= MONDAY else 0.1)
    return FixedUpload(day=day, item=_a_class(rng, number), published=published)


def _clients(rng: random.Random) -> tuple[tuple[Stage, int], ...]:
    return tuple((stage, rng.randint(0, 9)) for stage in Stage if rng.random() < 0.7)


def _weights(rng: random.Random) -> Weights:
    if rng.random() < 0.4:
        return Weights()
    return Weights(
        fill=rng.choice([0, 10, 100]),
        serve=rng.choice([0, 1, 20]),
        focus=rng.choice([0, 7, 60]),
        reach=rng.choice([0, 1, 5]),
        work=rng.choice([0, 1, 13]),
    )
