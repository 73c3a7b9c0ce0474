"""Pins that can't all be kept are explained by the smallest set of wishes that clash."""

from __future__ import annotations

import random
from collections.abc import Iterable
from dataclasses import replace
from itertools import combinations

import pytest

from coach.scheduling.planner import PlanClass, Problem, make_plan
from coach.scheduling.planner.conflict import Trials, contradictions, smallest
from coach.scheduling.planner.search import feasible
from tests.scheduling.planner_conflicts import (
    BACK,
    CONFLICTS,
    RIBS,
    a_class,
    a_month,
    january,
    promised,
)
from tests.scheduling.planner_possible import possible


@pytest.mark.parametrize("story", CONFLICTS)
def test_each_contradiction_is_explained(story: str) -> None:
    given, then = CONFLICTS[story]
    assert contradictions(given) == then


@pytest.mark.parametrize("story", CONFLICTS)
def test_the_plan_says_so_and_places_nothing(story: str) -> None:
    given, then = CONFLICTS[story]
    plan = make_plan(given)
    assert (plan.status, plan.slots, plan.conflict) == ("infeasible", (), then)


@pytest.mark.parametrize("story", CONFLICTS)
def test_the_wishes_named_clash_and_without_any_one_of_them_they_do_not(story: str) -> None:
    given, _ = CONFLICTS[story]
    trials = Trials(given, feasible)
    named = frozenset(smallest(trials))
    assert not possible(given, named)
    assert [wish for wish in sorted(named) if not possible(given, named - {wish})] == []


def smaller(wishes: Iterable[str], size: int) -> Iterable[frozenset[str]]:
    return (frozenset(row) for many in range(1, size) for row in combinations(wishes, many))


@pytest.mark.parametrize("seed", range(60))
def test_the_smallest_set_is_named_whatever_is_pinned(seed: int) -> None:
    """Against every placement of a tiny month: the same word, and no set of fewer wishes."""
    given = tiny(seed)
    trials = Trials(given, feasible)
    said = contradictions(given)
    assert (said == ()) == possible(given, frozenset(trials.groups))
    if said:
        named = frozenset(smallest(trials))
        assert not possible(given, named)
        fewer = smaller(trials.groups, len(named))
        assert [wishes for wishes in fewer if not possible(given, wishes)] == []


def tiny(seed: int) -> Problem:
    """Three publish days, three classes and a few pins, with any rule that may stand against."""
    rng = random.Random(seed)
    slots = sorted(rng.sample(range(4, 12), 3))
    days = [*slots, *rng.sample(range(4, 12), 1)]
    pins = [(rng.choice(days), rng.randint(1, 3)) for _ in range(rng.randint(1, 3))]
    free = [day for day in range(2, 14) if day not in slots]
    raw = a_class(9, "Stands", series=1, part=rng.choice([None, 1, 3]), needs_filming=True)
    stands = [promised(january(rng.choice(free)), replace(raw, minutes_of_work=300))]
    return a_month(
        pins,
        [_a_tiny_class(rng, number) for number in (1, 2, 3)],
        slots,
        stands * rng.randint(0, 1),
        minutes_a_week=rng.choice([200, 700]),
        film_days=rng.choice([None, (january(3),), (january(3), january(6))]),
        films_a_day=1,
        a_week=rng.choice([None, 1, 2]),
        gap_days=rng.choice([1, 1, 3]),
    )


def _a_tiny_class(rng: random.Random, number: int) -> PlanClass:
    return a_class(
        number,
        f"Class {number}",
        minutes_of_work=rng.choice([0, 0, 350, 700]),
        series=1,
        part=rng.choice([None, None, 1, 2, 3]),
        not_before=january(rng.randint(4, 9)) if rng.random() < 0.2 else None,
        not_after=january(rng.randint(6, 11)) if rng.random() < 0.2 else None,
        needs_filming=rng.random() < 0.4,
    )


def test_pins_that_can_be_kept_contradict_nothing() -> None:
    given = a_month([(5, 1), (12, 2)], [RIBS, BACK])
    assert contradictions(given) == ()
    assert make_plan(given).status == "optimal"


def test_the_same_settings_in_another_order_are_explained_alike() -> None:
    given, then = CONFLICTS["hours of two pins together"]
    turned = replace(given, classes=given.classes[::-1], pins=given.pins[::-1])
    assert contradictions(turned) == then


def test_a_long_month_full_of_pins_is_explained_within_a_bound_of_trials() -> None:
    """31 days, 120 classes, ten pins: two of the first three need more hours than there are."""
    asked: list[frozenset[str]] = []

    def counted(problem: Problem, without: frozenset[str]) -> bool:
        asked.append(without)
        return feasible(problem, without)

    classes = [a_class(n, f"Class {n}", minutes_of_work=900 * (n < 4)) for n in range(1, 121)]
    pins = [(3 * n, n) for n in range(1, 11)]
    given = a_month(pins, classes, range(1, 32), film_days=(), a_week=7, minutes_a_week=600)
    assert contradictions(given, counted) == (
        "You put “Class 1” on Sunday 3 January.",
        "You put “Class 2” on Wednesday 6 January.",
        "By Monday 4 January there is time for 21 hours 25 minutes of work; “Class 1” and "
        "“Class 2” need 30 hours together.",
        "To mend it, find more hours by Monday 4 January.",
    )
    assert len(asked) < 450


def test_a_series_that_starts_elsewhere_is_no_contradiction() -> None:
    """Parts without a pin find their own days before the pinned one."""
    parts = [a_class(n, f"Hips {n}", part=n) for n in (1, 2, 3)]
    given = a_month([(12, 3)], parts)
    assert contradictions(given) == ()
    placed = {slot.day: slot.class_id for slot in make_plan(given).slots}
    assert placed == {january(5): 1, january(7): 2, january(12): 3}
