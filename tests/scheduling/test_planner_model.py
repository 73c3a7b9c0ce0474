"""What the search leaves out or rules out costs no month that could be the best.

Each claim is held against every placement of small months.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import partial
from itertools import combinations

import highspy
import pytest

from coach.scheduling.planner import PlanClass, Problem, broken_rules, value_of
from coach.scheduling.planner.covers import broken_covers, usable
from coach.scheduling.planner.grid import Choice, Grid
from coach.scheduling.planner.mix import furthest
from coach.scheduling.planner.search import _Run
from coach.scheduling.planner.solver import Solving
from tests.scheduling.planner_random import random_problem

TODAY = date(2027, 1, 1)
small = partial(random_problem, slots=3, classes=5, fixed=3)


def choices(grid: Grid) -> Iterator[Choice]:
    """Every choice of a small month that keeps the rules."""

    def fill(choice: Choice) -> Iterator[Choice]:
        if len(choice) == len(grid.slots):
            yield choice
            return
        for k in [None, *grid.everything[len(choice)]]:
            if k is None or choice.count(k) < len(grid.kinds[k].members):
                yield from fill([*choice, k])

    every = fill([])
    return (one for one in every if not broken_rules(grid.problem, grid.placement(one)))


def a_run(grid: Grid) -> _Run:
    return _Run(Solving(highspy, 1_000, 20.0), grid, [None] * len(grid.slots))


@pytest.mark.parametrize("seed", range(40))
def test_no_month_is_worth_more_than_the_prices_of_its_classes_allow(seed: int) -> None:
    grid = Grid(small(seed))
    prices = a_run(grid).prices
    for choice in choices(grid):
        worth = value_of(grid.problem, grid.placement(choice))
        limits = [prices.best_with[i][k] for i, k in enumerate(choice) if k is not None]
        assert worth <= min([*limits, prices.bound or 0]) + 1e-6


@pytest.mark.parametrize("seed", range(40))
def test_kinds_leave_no_month_out(seed: int) -> None:
    """A choice stands for all placements of the same worth, and says what each slot adds."""
    grid = Grid(small(seed))
    for choice in choices(grid):
        whole = value_of(grid.problem, grid.placement(choice))
        for i, k in enumerate(choice):
            if k is not None:
                less = [*choice[:i], None, *choice[i + 1 :]]
                gain = grid.gain(k, i, grid.unserved(choice, i), grid.around(choice, i))
                assert gain == whole - value_of(grid.problem, grid.placement(less))


def work(number: int, minutes: int) -> PlanClass:
    return PlanClass(number, f"C{number}", "", frozenset(), minutes)


@pytest.mark.parametrize("seed", range(20))
def test_usable_minutes_are_the_largest_sum_of_whole_classes(seed: int) -> None:
    rng = random.Random(seed)
    sizes = [rng.choice([35, 60, 90, 210, 300]) for _ in range(6)]
    classes = tuple(work(n, size) for n, size in enumerate(sizes, 1))
    days = tuple(date(2027, 1, day) for day in (4, 9, 14))
    grid = Grid(Problem(TODAY, days, classes, (), (), rng.randint(100, 600), 0))
    for i, room in enumerate(grid.room):
        sums = [sum(some) for n in range(i + 2) for some in combinations(sizes, n)]
        assert usable(grid)[i] == max(total for total in sums if total <= room)


def test_half_a_class_that_fits_is_ruled_out_where_the_whole_one_does_not() -> None:
    """420 minutes by the 8th: 3 × 90 and half of 210 fit, 3 × 90 and 210 do not."""
    days = tuple(date(2027, 1, day) for day in (5, 6, 7, 8))
    sizes = (90, 90, 90, 210)
    classes = tuple(replace(work(n, size), focus=str(n)) for n, size in enumerate(sizes, 1))
    grid = Grid(Problem(TODAY, days, classes, (), (), 420, 0))
    placed = [{0: 0}, {1: 1}, {2: 2}, {3: 3}]
    assert grid.room == [240, 300, 360, 420]
    (cover,) = broken_covers(grid, placed, [1.0, 1.0, 1.0, 0.5])
    assert (sorted(cover.kinds), cover.until, cover.most) == ([0, 1, 2, 3], 3, 3)
    assert list(broken_covers(grid, placed, [1.0, 1.0, 1.0, 0.0])) == []


@pytest.mark.parametrize(
    ("choice", "apart"),
    [([None, None, None], 1), ([0, 1, 0], 1), ([0, None, 1], 2), ([None, None, 0], 3)],
)
def test_neighbours_are_as_many_slots_apart_as_stand_empty_between_them(
    choice: Choice, apart: int
) -> None:
    days = tuple(date(2027, 1, day) for day in (4, 5, 6))
    classes = (work(1, 0), replace(work(2, 0), focus="hips"))
    assert furthest(Grid(Problem(TODAY, days, classes, (), (), 0, 0)), choice) == apart
