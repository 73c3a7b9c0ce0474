"""The planner judged by an independent checker and by exhaustive search."""

from __future__ import annotations

import os
import random
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from itertools import combinations
from pathlib import Path
from typing import TypeVar

import pytest

from coach.scheduling.planner import FixedUpload, Plan, PlanClass, Problem, make_plan
from coach.scheduling.values import Stage
from tests.scheduling.planner_checker import (
    MONDAY,
    Chosen,
    best_value,
    broken_rules,
    random_problem,
    simple_plan,
    value_of,
)

Thing = TypeVar("Thing")
DAY_7, DAY_14 = MONDAY + timedelta(days=7), MONDAY + timedelta(days=14)

TWO_HUNDRED = [(seed, 9, 14, 5) for seed in range(160)] + [
    (seed, 13, 30, 8) for seed in range(160, 200)
]
TINY = [(seed, 4, 6, 3) for seed in range(1000, 1040)] + [
    (seed, 5, 7, 4) for seed in range(1040, 1060)
]
LARGE = [(seed, 13, 60, 20) for seed in range(2000, 2030)]


def placement(plan: Plan) -> Chosen:
    return {slot.day: slot.class_id for slot in plan.slots}


def faults(problem: Problem, plan: Plan) -> list[str]:
    """Everything that is wrong with a plan, in words."""
    chosen = placement(plan)
    simple = value_of(problem, simple_plan(problem))
    claims = {
        "a day twice or out of order": [slot.day for slot in plan.slots] != sorted(chosen),
        f"claims {plan.value}, worth {value_of(problem, chosen)}": plan.value
        != value_of(problem, chosen),
        f"bound {plan.bound} under its value {plan.value}": plan.bound < plan.value,
        f"worth {plan.value}, a simple plan {simple}": plan.value < simple,
        "worse than the empty month": plan.value < 0,
        f"{plan.status} at {plan.value} of {plan.bound}": plan.status
        != ("optimal" if plan.value == plan.bound else "feasible"),
        "a slot without a reason": any(not slot.reasons for slot in plan.slots),
        "an empty sentence": any(not sentence.strip() for sentence in sentences(plan)),
        "a sentence twice": any(
            len(set(group)) < len(group) for group in [plan.unmet, *(s.reasons for s in plan.slots)]
        ),
    }
    return [*broken_rules(problem, chosen), *(words for words, wrong in claims.items() if wrong)]


def one_change_away(problem: Problem, chosen: Chosen) -> Iterator[Chosen]:
    """Every month with one slot filled otherwise or emptied, or two slots exchanged."""
    for day in problem.slots:
        rest = {slot: number for slot, number in chosen.items() if slot != day}
        yield rest
        for item in problem.classes:
            yield {day: item.id, **{slot: n for slot, n in rest.items() if n != item.id}}
    for one, two in combinations(chosen, 2):
        yield {**chosen, one: chosen[two], two: chosen[one]}


def sentences(plan: Plan) -> list[str]:
    return [*plan.unmet, *(reason for slot in plan.slots for reason in slot.reasons)]


@pytest.mark.parametrize("size", TWO_HUNDRED, ids=str)
def test_a_random_month_keeps_every_rule_and_is_worth_what_it_says(
    size: tuple[int, int, int, int],
) -> None:
    problem = random_problem(*size)
    plan = make_plan(problem)
    assert faults(problem, plan) == []
    assert (plan.status, plan.stopped_by_clock) == ("optimal", False)


@pytest.mark.parametrize("size", TWO_HUNDRED, ids=str)
def test_no_single_change_makes_a_proved_month_better(size: tuple[int, int, int, int]) -> None:
    problem = random_problem(*size)
    plan = make_plan(problem)
    better = [
        chosen
        for chosen in one_change_away(problem, placement(plan))
        if value_of(problem, chosen) > plan.value and not broken_rules(problem, chosen)
    ]
    assert better == []


@pytest.mark.endurance
@pytest.mark.parametrize("size", LARGE, ids=str)
def test_a_large_random_month_keeps_every_rule(size: tuple[int, int, int, int]) -> None:
    problem = random_problem(*size)
    assert faults(problem, make_plan(problem)) == []


@pytest.mark.parametrize("size", TINY, ids=str)
def test_no_plan_is_better_by_exhaustive_search(size: tuple[int, int, int, int]) -> None:
    problem = random_problem(*size)
    best, plan = best_value(problem), make_plan(problem)
    assert (plan.value, plan.bound, plan.status) == (best, best, "optimal")


def shuffled(rng: random.Random, things: tuple[Thing, ...]) -> tuple[Thing, ...]:
    return tuple(rng.sample(things, len(things)))


@pytest.mark.parametrize("seed", range(3000, 3012))
def test_the_order_of_the_input_does_not_matter(seed: int) -> None:
    problem, rng = random_problem(seed, 8, 14, 5), random.Random(seed)
    again = replace(
        problem,
        slots=shuffled(rng, problem.slots),
        classes=shuffled(rng, problem.classes),
        fixed=shuffled(rng, problem.fixed),
        need=shuffled(rng, tuple((day, shuffled(rng, row)) for day, row in problem.need)),
    )
    assert make_plan(again) == make_plan(problem)


@pytest.mark.parametrize("seed", range(3100, 3106))
def test_another_problem_in_between_changes_nothing(seed: int) -> None:
    problem = random_problem(seed, 9, 16, 5)
    first, straight_away = make_plan(problem), make_plan(problem)
    make_plan(random_problem(seed + 5000, 7, 12, 3))
    assert (straight_away, make_plan(problem)) == (first, first)


def one_class_ready(minutes_of_work: int, minutes_a_week: int, days: int, lead: int) -> bool:
    """Whether the only class is placed on the only slot, so many days from today."""
    problem = Problem(
        today=MONDAY,
        slots=(MONDAY + timedelta(days=days),),
        classes=(plain_class(1, minutes_of_work),),
        fixed=(),
        need=(),
        minutes_a_week=minutes_a_week,
        lead_days=lead,
    )
    return bool(make_plan(problem).slots)


def plain_class(number: int, minutes_of_work: int = 0, part: int | None = None) -> PlanClass:
    return PlanClass(
        id=number,
        title=f"Class {number}",
        focus="",
        stages=frozenset({Stage.TRIMESTER_1}),
        minutes_of_work=minutes_of_work,
        series=None if part is None else 1,
        part=part,
    )


@pytest.mark.parametrize(
    ("minutes_a_week", "days", "lead", "most"),
    [
        (240, 7, 0, 240),
        (240, 9, 2, 240),
        (240, 14, 7, 240),
        (100, 8, 0, 114),  # 114.28…: minutes are counted down
        (1, 6, 0, 0),
        (600, 3, 3, 0),
        (600, 3, 10, 0),
        (0, 30, 0, 0),
    ],
)
def test_exactly_enough_minutes_pass_and_one_less_does_not(
    minutes_a_week: int, days: int, lead: int, most: int
) -> None:
    assert one_class_ready(most, minutes_a_week, days, lead) is True
    assert one_class_ready(most + 1, minutes_a_week, days, lead) is False


@pytest.mark.parametrize(("promised", "placed"), [(140, [1]), (141, [])])
def test_what_is_promised_by_then_is_taken_off_to_the_minute(
    promised: int, placed: list[int]
) -> None:
    """A fortnight at 120 minutes: 240, less the promised, for a class of 100."""
    problem = Problem(
        today=MONDAY,
        slots=(MONDAY + timedelta(days=14),),
        classes=(plain_class(1, 100),),
        fixed=(FixedUpload(MONDAY + timedelta(days=10), plain_class(9, promised), False),),
        need=(),
        minutes_a_week=120,
        lead_days=0,
    )
    assert [slot.class_id for slot in make_plan(problem).slots] == placed


def by_hand(**changes: object) -> Problem:
    """Slots on days 7 and 14; parts 1 and 2 of a series, a plain class, one with much work."""
    problem = Problem(
        today=MONDAY,
        slots=(DAY_7, DAY_14),
        classes=(
            plain_class(1, part=1),
            plain_class(2, part=2),
            replace(plain_class(3), not_before=DAY_14),
            plain_class(4, 121),
        ),
        fixed=(),
        need=(),
        minutes_a_week=120,
        lead_days=0,
    )
    return replace(problem, **changes)  # type: ignore[arg-type]  # names checked by replace


def standing(day: date, part: int) -> tuple[FixedUpload, ...]:
    return (FixedUpload(day, plain_class(9, part=part), published=False),)


@pytest.mark.parametrize(
    ("problem", "chosen", "faults_found"),
    [
        (by_hand(), {}, 0),
        (by_hand(), {DAY_7: 1, DAY_14: 2}, 0),
        (by_hand(), {DAY_7: 1, DAY_14: 3}, 0),
        (by_hand(), {DAY_14: 4}, 0),
        (by_hand(), {DAY_7: 1, DAY_14: 1}, 1),
        (by_hand(), {DAY_7: 7}, 1),
        (by_hand(), {DAY_7 + timedelta(days=1): 1}, 1),
        (by_hand(), {DAY_7: 2, DAY_14: 1}, 1),
        (by_hand(), {DAY_14: 2}, 1),
        (by_hand(), {DAY_7: 3}, 1),
        (by_hand(), {DAY_7: 4}, 1),
        (by_hand(lead_days=7), {DAY_14: 4}, 1),
        (by_hand(fixed=standing(DAY_7 + timedelta(days=1), part=3)), {DAY_7: 1, DAY_14: 2}, 1),
        (by_hand(fixed=standing(DAY_7 + timedelta(days=1), part=0)), {DAY_7: 1, DAY_14: 2}, 1),
        (by_hand(fixed=standing(DAY_14 + timedelta(days=1), part=3)), {DAY_7: 1, DAY_14: 2}, 0),
    ],
)
def test_the_checker_itself_finds_each_planted_fault(
    problem: Problem, chosen: Chosen, faults_found: int
) -> None:
    assert len(broken_rules(problem, chosen)) == faults_found


PRINTS_PLANS = """
from coach.scheduling.planner import make_plan
from tests.scheduling.planner_checker import random_problem
for seed in range(3200, 3208):
    print(make_plan(random_problem(seed, 9, 16, 5)))
"""


def test_another_process_with_other_hashes_plans_the_same() -> None:
    """Stages lie in sets, whose order differs between processes unless it is fixed."""
    root = Path(__file__).parents[2]
    printed = [
        subprocess.run(
            [sys.executable, "-c", PRINTS_PLANS],
            cwd=root,
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(root)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    ]
    assert printed[0] == printed[1] != ""
