"""No sentence names more clients than there are, or more with a go-ahead than have one.

The numbers that plans are weighed by count enquiries too, and clients who may not train: a
reason that repeated them would promise her more than the class can do.
"""

from __future__ import annotations

import random
import re
from collections import Counter
from dataclasses import replace
from datetime import date
from functools import cache

import pytest

from coach.scheduling.planner import Plan, PlanClass, Problem, Weights, freeze_need, make_plan
from coach.scheduling.values import Stage
from tests.scheduling.planner_claims import PROMISES, overstated
from tests.scheduling.planner_random import random_problem

T2, T3, WEEKS = Stage.TRIMESTER_2, Stage.TRIMESTER_3, Stage.WEEKS_6_12
MONTHS, BATCH = 120, 20


@cache
def a_month(seed: int) -> tuple[Problem, Plan]:
    """A random month; need counts one to five enquiries more than there are clients."""
    rng = random.Random(seed)
    told = random_problem(seed, 9, 14, 5, pins=True)
    need = {day: {g: n + rng.randint(1, 5) for g, n in row} for day, row in told.need}
    ready = {day: {g: rng.randint(0, n) for g, n in row} for day, row in told.need}
    asked = rng.random() < 0.8
    problem = replace(told, need=freeze_need(need), clients=told.need,
                      ready=freeze_need(ready) if asked else None)  # fmt: skip
    return problem, make_plan(problem)


@pytest.mark.parametrize("first", range(0, MONTHS, BATCH))
def test_no_sentence_names_more_clients_or_go_aheads_than_there_are(first: int) -> None:
    wrong = {
        seed: found
        for seed in range(first, first + BATCH)
        for problem, plan in [a_month(seed)]
        if (found := list(overstated(plan, problem)))
    }
    assert wrong == {}


def sentences(plan: Plan) -> list[str]:
    return [*plan.unmet, *plan.better, *(why for slot in plan.slots for why in slot.reasons)]


def test_every_kind_of_promise_is_made_in_these_months() -> None:
    made = Counter(
        kind
        for seed in range(MONTHS)
        for said in sentences(a_month(seed)[1])
        for kind in PROMISES
        if re.fullmatch(kind, said)
    )
    assert {kind: made[kind] for kind in PROMISES if made[kind] < 5} == {}


FOUR = [T3, T2, Stage.TRIMESTER_1, WEEKS]


def june(day: int) -> date:
    return date(2025, 6, day)


def one_class(**told: object) -> Problem:
    """One class for four stages, on Thursday 12 June; seven clients and three enquiries in each."""
    problem = Problem(
        today=june(2),
        slots=(june(12),),
        classes=(PlanClass(1, "Slow hips", "hips", frozenset(FOUR), 0),),
        fixed=(),
        need=freeze_need({june(12): dict.fromkeys(FOUR, 10)}),
        clients=freeze_need({june(12): dict.fromkeys(FOUR, 7)}),
        minutes_a_week=0,
        lead_days=0,
        weights=Weights(),
    )
    return replace(problem, **told)  # type: ignore[arg-type]  # names checked by replace


def people_said(problem: Problem) -> list[str]:
    (slot,) = make_plan(problem).slots
    return [why for why in slot.reasons if "client" in why or "enquired" in why]


def test_four_clients_without_a_go_ahead_are_not_served() -> None:
    """All that is known of them is the stage: she sees that the class is for nobody yet."""
    four = freeze_need({june(12): {T3: 4}})
    problem = one_class(need=four, clients=four, ready=())
    assert people_said(problem) == [
        "Four clients will be in trimester 3, and none of them has a go-ahead that lasts "
        "until then; nothing for them yet."
    ]


def test_enquiries_are_not_clients() -> None:
    assert people_said(one_class(clients=())) == [
        "Some who enquired will be in trimester 1; nothing for them yet.",
        "Some who enquired will be in trimester 2; nothing for them yet.",
    ]


@pytest.mark.parametrize(
    ("said", "problem", "more"),
    [
        ("Seven clients will be in trimester 2; nothing for them yet.", one_class(), False),
        ("Eight clients will be in trimester 2; nothing for them yet.", one_class(), True),
        ("It also suits 28 clients at other stages.", one_class(), False),
        ("It also suits 29 clients at other stages.", one_class(), True),
        ("Next best: Arms, which suits 29 clients fewer: one point less.", one_class(), True),
        ("Ten clients will love it.", one_class(), True),
        (
            "Seven clients will be in trimester 2, two of them with a go-ahead that lasts until "
            "then; nothing for them yet.",
            one_class(ready=freeze_need({june(12): {T2: 2}})),
            False,
        ),
        (
            "Seven clients will be in trimester 2, three of them with a go-ahead that lasts until "
            "then; nothing for them yet.",
            one_class(ready=freeze_need({june(12): {T2: 2}})),
            True,
        ),
        (
            "Seven clients will be in trimester 2, all of them with a go-ahead that lasts until "
            "then; nothing for them yet.",
            one_class(ready=freeze_need({june(12): {T2: 6}})),
            True,
        ),
        (
            "Seven clients will be in trimester 2, two of them with a go-ahead that lasts until "
            "then; nothing for them yet.",
            one_class(),
            True,
        ),
    ],
)
def test_a_planted_overstatement_is_found(said: str, problem: Problem, more: bool) -> None:
    plan = make_plan(problem)
    lie = replace(plan, slots=(replace(plan.slots[0], reasons=(said,)),), unmet=(), better=())
    assert bool(list(overstated(lie, problem))) is more
