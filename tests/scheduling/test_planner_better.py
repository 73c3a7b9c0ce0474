"""What a plan has over the one made slot by slot, and what it gives up: each number counted anew.

Today is Sunday 20 December 2026; January is planned.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta

import pytest

from coach.scheduling.planner import PlanClass, Problem, Weights, freeze_need, greedy, make_plan
from coach.scheduling.planner.better import better
from coach.scheduling.values import Stage
from tests.scheduling.planner_checker import need_on
from tests.scheduling.planner_claims import STAGE, STAGES, D, N, Scene, number, read_day
from tests.scheduling.planner_conflicts import TODAY, a_class, january, published
from tests.scheduling.planner_random import large_problem

T2, T3 = Stage.TRIMESTER_2, Stage.TRIMESTER_3
WEIGHTS = Weights(fill=200, serve=20, focus=60, reach=0, work=1, effort=5, family=30, mix=10,
                  soon=4, film=50)  # fmt: skip


def a_month(classes: list[PlanClass], clients: dict[Stage, int], **wishes: object) -> Problem:
    """Publish days on the 5th, 12th and 19th."""
    days = tuple(january(day) for day in (5, 12, 19))
    need = freeze_need({day: clients for day in days})
    given = {"fixed": (), "weights": WEIGHTS} | wishes
    return Problem(
        TODAY, days, tuple(classes), need=need, minutes_a_week=6000, lead_days=0, **given
    )  # type: ignore[arg-type]  # wishes are passed on by name


def placed(days: Mapping[int, int]) -> dict[date, int]:
    return {january(day): class_id for day, class_id in days.items()}


OLD = published(date(2026, 12, 27), a_class(90, "Old", stages=frozenset({T3})))
A = a_class(1, "A", stages=frozenset({T3}))
B = a_class(2, "B", stages=frozenset({T2}))
HIPS = [a_class(n, f"Hips {n}", focus="hips", effort=8, family=1) for n in (1, 2, 3)]
CORE = a_class(4, "Core", focus="core", effort=5)
ROWS: dict[str, tuple[Problem, dict[int, int], dict[int, int], tuple[str, ...]]] = {
    "nothing differs": (a_month([A, B], {T3: 4}), {5: 1, 12: 2}, {5: 1, 12: 2}, ()),
    "somebody would wait": (
        # A on the 12th serves trimester 3 there and on the 19th; the old one serves the 5th
        a_month([A, B], {T3: 4}, fixed=(OLD,)),
        {5: 2, 12: 1},
        {5: 2},
        (
            "Two of three publish days have a class; slot by slot one more would stay empty.",
            "Slot by slot four clients in trimester 3 would have had nothing for 23 days on "
            "Tuesday 19 January; here a class for them goes out on Tuesday 12 January.",
        ),
    ),
    "all days are filled": (
        a_month([A, B, CORE], {}),
        {5: 1, 12: 2, 19: 4},
        {5: 1},
        ("All three publish days have a class; slot by slot two more would stay empty.",),
    ),
    "two wait less, and one waits more for it": (
        # trimester 3: on the 5th and 12th instead of the 19th; trimester 2 the other way round
        a_month([A, B], {T3: 2, T2: 1}),
        {5: 1, 19: 2},
        {5: 2, 19: 1},
        (
            "Slot by slot two clients in trimester 3 would still have had nothing on Tuesday 5 "
            "January; here a class for them goes out on Tuesday 5 January.",
            "For that it leaves one client in trimester 2 with nothing yet on Tuesday 5 January.",
        ),
    ),
    "fewer repeats, for an hour more": (
        a_month([*HIPS, replace(CORE, minutes_of_work=50)], {}),
        {5: 1, 12: 4, 19: 2},
        {5: 1, 12: 2, 19: 3},
        (
            "No focus comes twice running; slot by slot that would happen twice.",
            "No class has much the same exercises as the one before it; slot by slot that would "
            "happen twice.",
            "No two hard or two easy classes follow each other; slot by slot that would happen "
            "twice.",
            "For that it needs one hour more of work.",
        ),
    ),
    "wanted soon": (
        a_month([A, replace(B, wanted_soon=True)], {}),
        {5: 2, 12: 1},
        {5: 1, 12: 2},
        (
            "“B”, which you want soon, goes out on Tuesday 5 January; slot by slot it would be "
            "Tuesday 12 January.",
        ),
    ),
    "fewer filming days and hours": (
        a_month(
            [replace(A, needs_filming=True, minutes_of_work=90), B],
            {},
            film_days=(january(2), january(3)),
            films_a_day=1,
        ),
        {5: 2},
        {5: 1},
        (
            "It takes no filming days beside what stands; slot by slot it would take one.",
            "It needs no hours of work; slot by slot it would need two.",
        ),
    ),
    "within the share": (
        a_month([*HIPS, CORE], {}, mix=(("hips", 1),), weights=replace(WEIGHTS, focus=0, family=0,
                                                                       effort=0)),
        {5: 1, 12: 4},
        {5: 1, 12: 2},
        ("No class goes beyond the share of its focus; slot by slot one would.",),
    ),
}  # fmt: skip


@pytest.mark.parametrize("story", ROWS)
def test_what_the_plan_has_over_the_one_made_slot_by_slot(story: str) -> None:
    given, here, there, then = ROWS[story]
    assert better(given, placed(here), placed(there)) == then


def test_what_weighs_nothing_is_not_told() -> None:
    given, here, there, _ = ROWS["fewer repeats, for an hour more"]
    idle = replace(given, weights=Weights(0, 0, 0, 0, 0))
    assert better(idle, placed(here), placed(there)) == ()


WAITED = (
    rf"Slot by slot (?P<n>{N}) clients? (?:in )?(?P<stage>{STAGE}) would (?:still )?have had "
    rf"nothing(?: for (?P<w>{N}) days?)? on (?P<on>{D}); here a class for them goes out on "
    rf"(?P<here>{D})\."
)


@pytest.mark.parametrize("seed", range(40))
def test_whoever_is_said_to_have_waited_would_have(seed: int) -> None:
    given = large_problem(seed)
    plan = make_plan(given)
    here = Scene(given, {slot.day: slot.class_id for slot in plan.slots})
    there = Scene(given, greedy(given))
    assert len(plan.better) <= 4
    for said in plan.better:
        if found := re.fullmatch(WAITED, said):
            day, on = (read_day(found[name], given.today) for name in ("on", "here"))
            stage = STAGES[found["stage"]]
            assert number(found["n"]) == need_on(given, day, stage)
            last = replace(there, day=day + timedelta(days=1)).last_for(stage)
            days = None if last is None else (day - last).days
            assert days == (number(found["w"]) if found["w"] else None)
            assert days is None or days >= given.serve_every_days
            assert on <= day < on + timedelta(days=given.serve_every_days)
            assert on in [up.day for up in here.uploads if stage in up.item.stages]


@pytest.mark.parametrize("seed", range(40))
def test_a_plan_that_is_better_says_in_what(seed: int) -> None:
    given = large_problem(seed)
    plan = make_plan(given)
    if plan.greedy_value is None:
        assert plan.better == ()
    elif plan.value == plan.greedy_value:
        assert plan.better == () or plan.better[-1].startswith("For that it ")
    else:
        assert plan.better != ()
        assert not plan.better[0].startswith("For that it ")
