"""Random months to plan, with everything that may come up in one."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import date, timedelta
from typing import TypeVar

from coach.scheduling.planner import FixedUpload, PlanClass, Problem, Weights
from coach.scheduling.values import Stage

Chosen = dict[date, int]
Thing = TypeVar("Thing")
MONDAY = date(2025, 6, 2)
"""Today, in every problem made here."""

SERVABLE = [stage for stage in Stage if stage not in (Stage.UNKNOWN, Stage.PAST_DUE)]
FOCUSES = ["", "core", "hips", "back", "breath"]


def random_problem(
    seed: int, slots: int, classes: int, fixed: int, *, pins: bool = False
) -> Problem:
    """A problem with everything that may come up in one, at most as large as asked.

    With pins it may be one that no placement keeps.
    """
    rng = random.Random(seed)
    days = [MONDAY + timedelta(days=n) for n in range(1, 46)]
    chosen = rng.sample(days, rng.randint(min(1, slots), slots))
    free = [MONDAY + timedelta(days=n) for n in range(-20, 46)]
    free = [day for day in free if day not in chosen]
    problem = Problem(
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
    return with_pins(rng, with_rules(rng, problem)) if pins else with_rules(rng, problem)


def large_problem(seed: int) -> Problem:
    """A month with 8 to 13 slots and 20 to 40 classes, most of them placeable."""
    rng = random.Random(seed)
    days = rng.sample(range(1, 40), rng.choice(SLOTS))
    slots = [MONDAY + timedelta(days=n) for n in days]
    free = [MONDAY + timedelta(days=n) for n in range(-20, 40) if n not in days]
    problem = Problem(
        today=MONDAY,
        slots=tuple(slots),
        classes=tuple(_a_class(rng, n) for n in rng.sample(range(1, 99), rng.choice(CLASSES))),
        fixed=tuple(_a_fixed_upload(rng, n, free) for n in _ids(rng, 1001, 6)),
        need=tuple((day, _clients(rng)) for day in slots),
        minutes_a_week=rng.choice([240, 481, 900, 3000]),
        lead_days=rng.choice([0, 1, 3, 7]),
        weights=_weights(rng),
        serve_every_days=rng.choice([5, 7, 14, 30]),
    )
    a_week, gap = rng.choice([None, 1, 2, 3, 4]), rng.choice([1, 1, 1, 2, 4])
    looser = replace(with_rules(rng, problem), a_week=a_week, gap_days=gap)
    return with_pins(rng, looser)


SLOTS = [8, 8, 8, 8, 8, 8, 8, 9, 9, 9, 9, 9, 10, 10, 10, 11, 11, 12, 13]
CLASSES = [20, 20, 20, 22, 24, 26, 30, 35, 40]


def with_rules(rng: random.Random, problem: Problem) -> Problem:
    """The problem with days off, filming days, a pace, a gap and shares, each or none."""
    days = [MONDAY + timedelta(days=n) for n in range(1, 46)]
    filming = rng.choice([None, 0, 1, 2, 4, 8])
    return replace(
        problem,
        days_off=tuple(rng.sample(days, rng.choice([0, 0, 3, 10]))),
        film_days=None if filming is None else tuple(rng.sample(days, filming)),
        films_a_day=rng.randint(1, 3),
        film_lead_days=rng.choice([0, 2, 5]),
        a_week=rng.choice([None, None, 0, 1, 2, 3]),
        gap_days=rng.choice([1, 1, 2, 3, 5]),
        mix=tuple((focus, rng.randint(0, 3)) for focus in rng.sample(FOCUSES, rng.randint(0, 3))),
    )


def with_pins(rng: random.Random, problem: Problem) -> Problem:
    """The problem with up to three pins or none; most can be kept, some can't."""
    many = rng.choice([0, 0, 0, 1, 1, 2, 3])
    pairs = [(day, item) for day in problem.slots for item in problem.classes]
    easy = [
        (day, item)
        for day, item in pairs
        if item.part is None and not item.minutes_of_work and not item.needs_filming
        if (item.not_before or day) <= day <= (item.not_after or day)
    ]
    pool = easy if easy and rng.random() < 0.8 else pairs
    drawn = [(day, item.id) for day, item in rng.sample(pool, min(len(pool), 40))]
    days, ids = dict(reversed(drawn)), {number: day for day, number in reversed(drawn)}
    pins = [(day, n) for day, n in drawn if days[day] == n and ids[n] == day][:many]
    if pins and rng.random() < 0.1:
        pins.append(rng.choice(drawn))
    if pins and rng.random() < 0.05:
        pins[0] = rng.choice([(MONDAY + timedelta(days=60), pins[0][1]), (pins[0][0], 5000)])
    return replace(problem, pins=tuple(pins))


def shuffled(rng: random.Random, things: tuple[Thing, ...]) -> tuple[Thing, ...]:
    """The things in another order."""
    return tuple(rng.sample(things, len(things)))


def in_another_order(rng: random.Random, problem: Problem) -> Problem:
    """The same problem, told in another order."""
    return replace(
        problem,
        slots=shuffled(rng, problem.slots),
        classes=shuffled(rng, problem.classes),
        fixed=shuffled(rng, problem.fixed),
        need=shuffled(rng, tuple((day, shuffled(rng, row)) for day, row in problem.need)),
        days_off=shuffled(rng, problem.days_off),
        film_days=None if problem.film_days is None else shuffled(rng, problem.film_days),
        pins=shuffled(rng, problem.pins),
        mix=shuffled(rng, problem.mix),
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
        effort=rng.choice([None, 2, 3, 4, 6, 7, 8]),
        not_before=MONDAY + timedelta(days=rng.randint(-5, 40)) if rng.random() < 0.3 else None,
        not_after=MONDAY + timedelta(days=rng.randint(5, 50)) if rng.random() < 0.3 else None,
        wanted_soon=rng.random() < 0.2,
        needs_filming=rng.random() < 0.5,
        family=rng.choice([None, None, 1, 2, 3]),
    )


def _a_fixed_upload(rng: random.Random, number: int, free: list[date]) -> FixedUpload:
    day = rng.choice(free)
    published = rng.random() < (0.8 if day <= MONDAY else 0.1)
    return FixedUpload(day=day, item=_a_class(rng, number), published=published)


def _clients(rng: random.Random) -> tuple[tuple[Stage, int], ...]:
    return tuple((stage, rng.randint(0, 9)) for stage in Stage if rng.random() < 0.7)


def _weights(rng: random.Random) -> Weights:
    if rng.random() < 0.3:
        return Weights()
    return Weights(
        fill=rng.choice([0, 10, 100]),
        serve=rng.choice([0, 1, 20]),
        focus=rng.choice([0, 7, 60]),
        reach=rng.choice([0, 1, 5]),
        work=rng.choice([0, 1, 13]),
        effort=rng.choice([0, 6, 40]),
        family=rng.choice([0, 8, 50]),
        mix=rng.choice([0, 9, 80]),
        soon=rng.choice([0, 3, 25]),
        film=rng.choice([0, 5, 70]),
    )
