"""Random months small enough to try every placement, and tight enough that each rule bites."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import date, timedelta
from functools import cache

from coach.scheduling.planner import FixedUpload, PlanClass, Problem, Weights
from coach.scheduling.values import Stage
from tests.scheduling.planner_truth import Truth, truth

MONDAY = date(2025, 6, 2)
STAGES = [Stage.TRIMESTER_1, Stage.TRIMESTER_2, Stage.WEEKS_0_6, Stage.PAST_DUE, Stage.UNKNOWN]
TIGHT = {
    "not before": "windows",
    "not after": "windows",
    "series": "series",
    "fixed parts": "series",
    "hours": "hours",
    "days off": "hours",
    "filming": "filming",
    "filming lead": "filming",
    "a week": "a week",
    "gap": "gap",
    "gap to fixed": "gap",
    "pins": "pins",
}
POINTS = {
    "focus": (15, 50, 90),
    "reach": (1, 4, 9),
    "work": (5, 30),
    "effort": (17, 52, 90),
    "family": (16, 51, 90),
    "mix": (18, 53, 90),
    "soon": (6, 25),
    "film": (19, 54, 90),
}
TURNS = [
    *TIGHT,
    *POINTS,
    "filming",
    "filming lead",
    "a week",
    "film",
    "pins",
    "effort",
    "reach",
    "family",
]
DRAWS = 8


@cache
def biting_problem(n: int) -> tuple[Problem, Truth]:
    """A small problem, and what is best in it; the rule or wish whose turn it is bites.

    Of eight drawn the first in which it does, or the last.
    """
    turn = TURNS[n % len(TURNS)]
    for draw in range(DRAWS):
        problem = small_problem(DRAWS * n + draw, turn)
        found = truth(problem)
        if turn in found.rules_that_matter() | found.wishes_that_matter():
            break
    return problem, found


def small_problem(seed: int, turn: str) -> Problem:
    """A month of 2 to 5 slots in three weeks, up to four fixed uploads around them.

    The rule or wish whose turn it is is tight, or weighs much, and a few others are; were all
    of them, they would hide each other.
    """
    rng = random.Random(seed)
    tight = {group for group in (*TIGHT.values(), "pins") if rng.random() < 0.15}
    tight.add(TIGHT.get(turn, turn))
    slots = rng.choice([2, 3, 4, 4, 4, 5])
    days = [MONDAY + timedelta(days=n) for n in rng.sample(range(2, 22), slots)]
    free = [MONDAY + timedelta(days=n) for n in range(-6, 26) if MONDAY + timedelta(n) not in days]
    classes = range(1, 1 + rng.choice([3, 4, 5, 5, 6] if slots < 5 else [3, 4]))
    uploads = range(101, 101 + rng.choice([0, 1, 2, 3, 4]))
    problem = Problem(
        today=MONDAY,
        slots=tuple(days),
        classes=tuple(_a_class(rng, number, tight) for number in classes),
        fixed=tuple(_a_fixed_upload(rng, number, tight, free) for number in uploads),
        need=tuple((day, _clients(rng)) for day in days if rng.random() < 0.95),
        minutes_a_week=10_000,
        lead_days=rng.choice([0, 0, 1, 2]),
        weights=_weights(rng, turn),
        serve_every_days=rng.choice([1, 3, 5, 7, 10, 14]),
    )
    return _tighten(rng, problem, tight)


def _a_class(rng: random.Random, number: int, tight: set[str]) -> PlanClass:
    in_series = "series" in tight and rng.random() < 0.6
    windows = "windows" in tight
    return PlanClass(
        id=number,
        title=f"Class {number}",
        focus=rng.choice(["", "core", "core", "core", "hips"]),
        stages=frozenset(rng.sample(STAGES, rng.choice([0, 1, 1, 2, 2, 3]))),
        minutes_of_work=rng.choice([0, 0, 25, 60, 61, 119, 180]),
        series=1 if in_series else rng.choice([None, None, 2]),
        part=rng.randint(1, 4) if in_series else rng.choice([None, None, None, 2]),
        effort=rng.choice([None, 2, 3, 3, 4, 6, 7, 8]),
        not_before=_some_day(rng) if windows and rng.random() < 0.6 else None,
        not_after=_some_day(rng) if windows and rng.random() < 0.6 else None,
        wanted_soon=rng.random() < 0.3,
        needs_filming=rng.random() < 0.6,
        family=rng.choice([None, 1, 1, 2]),
    )


def _some_day(rng: random.Random) -> date:
    return MONDAY + timedelta(days=rng.randint(3, 20))


def _a_fixed_upload(
    rng: random.Random, number: int, tight: set[str], free: list[date]
) -> FixedUpload:
    day, item = rng.choice(free), _a_class(rng, number, tight)
    if rng.random() < 0.25:
        day = MONDAY - timedelta(days=rng.randint(1, 6))
    if "series" in tight and rng.random() < 0.5:
        item = replace(item, series=1, part=rng.randint(1, 4))
    published = rng.random() < (0.5 if day < MONDAY else 0.2)
    return FixedUpload(day=day, item=item, published=published)


def _clients(rng: random.Random) -> tuple[tuple[Stage, int], ...]:
    return tuple((stage, rng.choice([0, 1, 2, 4, 9])) for stage in STAGES if rng.random() < 0.8)


def _weights(rng: random.Random, turn: str) -> Weights:
    """The wishes of one month in ten are the usual ones, else some of them count."""
    if turn not in POINTS and rng.random() < 0.2:
        return Weights()
    pick = rng.choice
    some = {name: pick(points) for name, points in POINTS.items() if rng.random() < 0.35}
    if turn in POINTS:
        some[turn] = POINTS[turn][-1]
    return replace(NOTHING, fill=pick([20, 40, 60, 80]), serve=pick([0, 1, 3, 10]), **some)


NOTHING = Weights(fill=0, serve=0, focus=0, reach=0, work=0)


def _tighten(rng: random.Random, problem: Problem, tight: set[str]) -> Problem:
    """The problem with its tight rules, and with shares and filming days in any case."""
    days = [MONDAY + timedelta(days=n) for n in range(22)]
    shares = rng.sample(["", "core", "core", "hips"], 1) + ["back"] * rng.randint(0, 1)
    filming = rng.choice([0, 1, 2, 3, 4]) if "filming" in tight else rng.choice([None, 12])
    looser = replace(
        problem,
        mix=tuple((focus, rng.randint(0, 1)) for focus in shares),
        film_days=None if filming is None else tuple(rng.sample(days[1:16], filming)),
        films_a_day=rng.choice([1, 1, 2, 3]),
        film_lead_days=rng.choice([0, 3, 5, 7]) if "filming" in tight else 0,
        a_week=rng.choice([0, 1, 1, 1, 2, 2]) if "a week" in tight else None,
        gap_days=rng.choice([3, 4, 5]) if "gap" in tight else 1,
    )
    if "hours" in tight:
        looser = replace(
            looser,
            minutes_a_week=rng.choice([0, 60, 90, 150, 200, 300, 600]),
            days_off=tuple(rng.sample(days, rng.choice([0, 10, 14, 17]))),
        )
    return _pinned(rng, looser) if "pins" in tight else looser


def _pinned(rng: random.Random, problem: Problem) -> Problem:
    """With one or two pins, of which most could stand where they are if they were alone."""
    pairs = [(day, item) for day in problem.slots for item in problem.classes]
    likely = [
        (day, item)
        for day, item in pairs
        if item.part is None and (item.not_before or day) <= day <= (item.not_after or day)
    ]
    pool = likely if likely and rng.random() < 0.8 else pairs
    pins = [(day, item.id) for day, item in rng.choices(pool, k=rng.choice([1, 1, 2]))]
    if rng.random() < 0.08:
        pins[0] = rng.choice([(MONDAY + timedelta(days=60), 1), (problem.slots[0], 5000)])
    return replace(problem, pins=tuple(pins))
