"""How a plan is found: the same every time, quietly, never worse than the greedy one."""

from __future__ import annotations

import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from coach.scheduling.planner import (
    FixedUpload,
    PlanClass,
    Problem,
    Weights,
    broken_rules,
    freeze_need,
    greedy,
    make_plan,
    value_of,
    words,
)
from coach.scheduling.values import Stage
from tests.scheduling.planner_checker import random_problem

ROOT = Path(__file__).parents[2]
TODAY, TUESDAY, FRIDAY = date(2026, 12, 20), date(2027, 1, 5), date(2027, 1, 8)
A_CLASS = PlanClass(1, "Hips", "hips", frozenset({Stage.TRIMESTER_2}), 60)
UPLOAD = FixedUpload(date(2026, 12, 1), replace(A_CLASS, id=9), published=True)
PROBLEM = Problem(TODAY, (TUESDAY,), (A_CLASS,), (UPLOAD,), (), minutes_a_week=60, lead_days=1)
OTHERS_FIRST = """
import highspy
other = highspy._Highs()
other.setOptionValue("output_flag", False)
other.setOptionValue("threads", 2)
other.addVar(0.0, 1.0)
other.changeColIntegrality(0, highspy.HighsVarType.kInteger)
other.run()
"""
MAKE = """
from coach.scheduling.planner import make_plan
from tests.scheduling.planner_checker import random_problem
plan = make_plan(random_problem(2011, 13, 60, 20))
"""


def elsewhere(code: str, hash_seed: int = 0) -> str:
    """What a fresh process prints."""
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        env={**os.environ, "PYTHONHASHSEED": str(hash_seed)},
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout + done.stderr


@pytest.fixture(scope="module")
def month() -> Problem:
    """Thirteen slots, sixty classes; its best plan is better than its greedy one."""
    return random_problem(2011, 13, 60, 20)


def test_the_plan_is_the_same_in_every_process_and_nothing_else_is_printed(month: Problem) -> None:
    here = f"{make_plan(month)!r}\n"
    assert [elsewhere(MAKE + "print(repr(plan))", hash_seed) for hash_seed in (1, 2)] == [
        here,
        here,
    ]


def test_plans_made_at_the_same_time_do_not_disturb_each_other(month: Problem) -> None:
    alone = make_plan(month)
    with ThreadPoolExecutor(4) as pool:
        assert list(pool.map(make_plan, [month] * 4)) == [alone] * 4


def test_the_solver_is_not_loaded_until_a_plan_is_made() -> None:
    code = "import sys, coach.scheduling.planner; print('highspy' in sys.modules)"
    assert elsewhere(code) == "False\n"


def test_the_best_plan_is_proved_and_better_than_the_greedy_one(month: Problem) -> None:
    plan = make_plan(month)
    assert (plan.status, plan.bound, plan.stopped_by_clock) == ("optimal", plan.value, False)
    assert plan.value > value_of(month, greedy(month))


def test_stopped_by_the_clock_it_says_so_and_gives_the_greedy_plan(month: Problem) -> None:
    best, plan = make_plan(month), make_plan(month, seconds=0)
    assert {slot.day: slot.class_id for slot in plan.slots} == greedy(month)
    assert (plan.status, plan.stopped_by_clock) == ("feasible", True)
    assert plan.value < best.value <= plan.bound


@pytest.mark.parametrize("nodes", [0, 1])
@pytest.mark.parametrize("seed", range(2000, 2006))
def test_stopped_by_nodes_it_is_never_worse_than_greedy(seed: int, nodes: int) -> None:
    problem = random_problem(seed, 13, 60, 20)
    plan, best = make_plan(problem, nodes=nodes), make_plan(problem)
    assert value_of(problem, greedy(problem)) <= plan.value <= best.value <= plan.bound
    assert plan.stopped_by_clock is False


def test_each_step_is_told_in_plain_words(month: Problem) -> None:
    told: list[str] = []
    make_plan(month, progress=told.append)
    assert told[:2] == ["a first plan", "looking for better ones"]
    assert told[2:] in ([], ["proving that none is better"])


def test_the_greedy_value_is_told_beside_the_plan(month: Problem) -> None:
    assert make_plan(month).greedy_value == value_of(month, greedy(month))


def test_beside_a_search_with_other_threads_it_claims_nothing(month: Problem) -> None:
    """HiGHS gives no answer then; the greedy plan stands, and is not called the best."""
    wanted = f"feasible {value_of(month, greedy(month))} True\n"
    shown = "print(plan.status, plan.value, plan.bound > plan.value)"
    assert elsewhere(OTHERS_FIRST + MAKE + shown) == wanted


@pytest.mark.parametrize("seed", range(40))
def test_the_greedy_plan_keeps_the_rules_and_is_never_worse_than_an_empty_month(seed: int) -> None:
    problem = random_problem(seed, 9, 14, 5)
    assert broken_rules(problem, greedy(problem)) == ()
    assert value_of(problem, greedy(problem)) >= 0


def test_classes_that_nothing_tells_apart_are_taken_in_order_of_id() -> None:
    days = tuple(date(2027, 1, day) for day in (5, 8, 12))
    classes = tuple(replace(A_CLASS, id=n, minutes_of_work=0) for n in (4, 2, 7, 5))
    plan = make_plan(replace(PROBLEM, slots=days, classes=classes, fixed=()))
    assert [slot.class_id for slot in plan.slots] == [2, 4, 5]


def test_the_same_problem_in_another_order_is_the_same_value() -> None:
    """The rows of need as well as the stages within a row."""
    one = freeze_need({TUESDAY: {Stage.TRIMESTER_2: 1, Stage.TRIMESTER_1: 2}, FRIDAY: {}})
    other = (
        (FRIDAY, ()),
        (TUESDAY, ((Stage.TRIMESTER_2, 1), (Stage.TRIMESTER_1, 2))),
    )
    b_class = replace(A_CLASS, id=2)
    assert replace(
        PROBLEM, need=one, slots=(TUESDAY, FRIDAY), classes=(A_CLASS, b_class)
    ) == replace(PROBLEM, need=other, slots=(FRIDAY, TUESDAY), classes=(b_class, A_CLASS))


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"slots": (TODAY,)}, "must lie after today"),
        ({"slots": (TUESDAY, TUESDAY)}, "only once"),
        ({"slots": (UPLOAD.day,), "today": date(2026, 11, 1)}, "already has that day"),
        ({"classes": (A_CLASS, A_CLASS)}, "offered only once"),
        ({"classes": (UPLOAD.item,)}, "can’t be planned again"),
        ({"minutes_a_week": -1}, "minutes a week"),
        ({"lead_days": -1}, "lead"),
        ({"serve_every_days": 0}, "more often than every day"),
    ],
)
def test_a_problem_that_makes_no_sense_is_refused(wrong: dict[str, object], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        replace(PROBLEM, **wrong)  # type: ignore[arg-type]  # the wrong values are the point


def test_wishes_and_work_are_never_negative() -> None:
    with pytest.raises(ValueError, match="less than nothing"):
        Weights(focus=-1)
    with pytest.raises(ValueError, match="less than no work"):
        replace(A_CLASS, minutes_of_work=-1)


@pytest.mark.parametrize(
    ("placement", "words_of_it"),
    [
        ({FRIDAY: 1}, "2027-01-08: no such slot, or no such class."),
        ({TUESDAY: 8}, "2027-01-05: no such slot, or no such class."),
    ],
)
def test_a_placement_outside_the_problem_is_named(
    placement: dict[date, int], words_of_it: str
) -> None:
    assert broken_rules(PROBLEM, placement) == (words_of_it,)


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (words.count(0, "client"), "no clients"),
        (words.count(1, "client"), "one client"),
        (words.count(12, "day"), "twelve days"),
        (words.count(13, "day"), "13 days"),
        (words.count(2, "class", "classes"), "two classes"),
        (words.hours(0), "no time"),
        (words.hours(45), "45 minutes"),
        (words.hours(60), "one hour"),
        (words.hours(150), "two hours 30 minutes"),
        (words.hours(60_001), "1,000 hours one minute"),
        (words.on(date(2027, 1, 5)), "Tuesday 5 January"),
        (words.past(date(2026, 11, 2), TODAY), "2 November"),
        (words.past(date(2025, 11, 2), TODAY), "2 November 2025"),
        (words.joined([]), ""),
        (words.joined(["a"]), "a"),
        (words.joined(["a", "b", "c"]), "a, b and c"),
        (words.at_stage(Stage.TRIMESTER_3), "in trimester 3"),
        (words.at_stage(Stage.WEEKS_52_ON), "over 52 weeks after pregnancy"),
    ],
)
def test_numbers_days_and_stages_read_as_english(said: str, expected: str) -> None:
    assert said == expected
