"""Pins: what keeps them possible, and what a plan makes of them.

Today is Friday 1 January 2027; slots are Tuesdays and Fridays of January.
"""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import date
from itertools import product

import pytest

from coach.scheduling.planner import (
    FixedUpload,
    PlanClass,
    Problem,
    broken_rules,
    greedy,
    make_plan,
    value_of,
)
from coach.scheduling.planner.search import feasible

TODAY = date(2027, 1, 1)


def on(day: int) -> date:
    return date(2027, 1, day)


DAYS = tuple(on(day) for day in (5, 8, 12, 15))
PLAIN = PlanClass(1, "Plain", "", frozenset(), 0)
PARTS = tuple(
    replace(PLAIN, id=10 + n, title=f"Part {n}", series=1, series_title="S", part=n)
    for n in (1, 2, 3)
)
MONTH = Problem(TODAY, DAYS, (PLAIN, replace(PLAIN, id=2), *PARTS), (), (), 600, 0)
STANDING = FixedUpload(on(14), replace(PLAIN, id=90), published=False)
WORK = replace(PLAIN, id=3, minutes_of_work=600, needs_filming=True)
# What keeps the pins from being kept, and the group of rules without which they can be.
CLASHES: list[tuple[str, Problem]] = [
    ("pin:2027-01-05", replace(MONTH, pins=((on(5), 99),))),
    ("closed:2027-01-06", replace(MONTH, pins=((on(6), 1),))),
    ("once", replace(MONTH, pins=((on(5), 1), (on(8), 1)))),
    ("once", replace(MONTH, pins=((on(5), 1), (on(5), 2)))),
    (
        "days:3",
        replace(MONTH, classes=(replace(PLAIN, id=3, not_before=on(7)),), pins=((on(5), 3),)),
    ),
    (
        "days:3",
        replace(MONTH, classes=(replace(PLAIN, id=3, not_after=on(7)),), pins=((on(8), 3),)),
    ),
    ("series:1", replace(MONTH, pins=((on(8), 13),))),
    ("series:1", replace(MONTH, pins=((on(5), 12), (on(8), 11)))),
    (
        "series:1",
        replace(
            MONTH,
            classes=(PLAIN, PARTS[1]),
            fixed=(replace(STANDING, item=replace(PARTS[0], id=91)),),
            pins=((on(5), 12),),
        ),
    ),
    ("hours", replace(MONTH, classes=(WORK,), pins=((on(5), 3),))),
    (
        "filming",
        replace(
            MONTH, classes=(WORK,), film_days=(on(9),), minutes_a_week=6000, pins=((on(8), 3),)
        ),
    ),
    ("a_week", replace(MONTH, a_week=1, pins=((on(5), 1), (on(8), 2)))),
    ("gap", replace(MONTH, gap_days=4, pins=((on(5), 1), (on(8), 2)))),
    ("gap", replace(MONTH, gap_days=2, pins=((on(15), 1),), fixed=(STANDING,))),
]


@pytest.mark.parametrize(("group", "month"), CLASHES, ids=[f"{n}" for n in range(len(CLASHES))])
def test_pins_clash_with_one_group_of_rules_and_with_no_other(group: str, month: Problem) -> None:
    others = {"once", "hours", "filming", "a_week", "gap", "days:3", "series:1"} - {group}
    assert feasible(month) is False
    assert feasible(month, frozenset(others)) is False
    assert feasible(month, frozenset({group})) is True


def test_a_plan_says_so_when_no_placement_keeps_the_pins() -> None:
    plan = make_plan(CLASHES[0][1])
    assert (plan.status, plan.slots, plan.value, plan.bound) == ("infeasible", (), 0, 0)
    assert plan.greedy_value is None
    assert plan.conflict != ()


def test_a_pinned_class_stands_on_its_day_and_the_rest_is_planned_around_it() -> None:
    plan = make_plan(replace(MONTH, pins=((on(12), 2),)))
    assert [slot.day for slot in plan.slots if slot.pinned] == [on(12)]
    assert {slot.day: slot.class_id for slot in plan.slots}[on(12)] == 2
    assert len(plan.slots) == len(DAYS)
    assert plan.greedy_value == plan.value == plan.bound


def test_a_pinned_part_draws_its_earlier_parts_in_where_the_greedy_plan_would_not() -> None:
    month = replace(MONTH, pins=((on(12), 13),))
    plan = make_plan(month)
    assert greedy(month) == {}
    assert plan.greedy_value is None
    assert [slot.class_id for slot in plan.slots][:3] == [11, 12, 13]
    assert make_plan(month, seconds=0).slots[:3] == plan.slots[:3]


@pytest.mark.parametrize("seed", range(60))
def test_pins_are_possible_when_some_placement_keeps_them(seed: int) -> None:
    """Beside trying every placement of the month."""
    rng = random.Random(seed)
    classes = tuple(
        replace(
            PLAIN,
            id=n,
            minutes_of_work=rng.choice([0, 0, 300, 700]),
            needs_filming=rng.random() < 0.5,
            series=rng.choice([None, 1, 2]),
            part=rng.randint(1, 3),
            not_before=on(rng.randint(2, 14)) if rng.random() < 0.2 else None,
            not_after=on(rng.randint(6, 20)) if rng.random() < 0.2 else None,
        )
        for n in range(1, 6)
    )
    fixed = (FixedUpload(on(6), replace(classes[0], id=90), published=False),)
    month = replace(
        MONTH,
        classes=classes,
        fixed=fixed if rng.random() < 0.4 else (),
        film_days=(on(3), on(9)) if rng.random() < 0.5 else None,
        films_a_day=1,
        a_week=rng.choice([None, 1, 2]),
        gap_days=rng.choice([1, 2, 4]),
        pins=tuple(zip(rng.sample(DAYS, 2), rng.sample(range(1, 6), 2), strict=True)),
    )
    rows = product(range(6), repeat=len(DAYS))
    every = ({day: n for day, n in zip(DAYS, row, strict=True) if n} for row in rows)
    kept = [one for one in every if not broken_rules(month, one)]
    assert feasible(month) is bool(kept)
    plan = make_plan(month)
    assert (plan.status == "infeasible") is not bool(kept)
    if kept:
        assert plan.value == max(value_of(month, one) for one in kept)
