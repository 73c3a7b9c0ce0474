"""A problem in, a plan out."""

from __future__ import annotations

from collections.abc import Callable

from coach.scheduling.planner.better import better
from coach.scheduling.planner.conflict import contradictions
from coach.scheduling.planner.greedy import greedy_choice
from coach.scheduling.planner.grid import Choice, Grid
from coach.scheduling.planner.measure import broken_rules, value_of
from coach.scheduling.planner.problem import Plan, PlannedSlot, Problem
from coach.scheduling.planner.reasons import Month, reasons
from coach.scheduling.planner.search import Found, feasible, least_choice, search
from coach.scheduling.planner.unmet import unmet

NODES = 5_000
SECONDS = 20.0

Progress = Callable[[str], None]


def make_plan(
    problem: Problem,
    *,
    nodes: int = NODES,
    seconds: float = SECONDS,
    progress: Progress | None = None,
) -> Plan:
    """The best plan for a month, with reasons; the same problem always gives the same plan.

    The search stops when the plan is proved, when it is so near to the bound that closing the gap
    is not worth the wait, or after so many nodes. `seconds` is only a brake: if it had to be used,
    `stopped_by_clock` says so. The plan is never worse than the greedy one.
    `progress` is told each step in a few plain words.
    """
    tell = progress or _quiet
    tell("a first plan")
    if not feasible(problem):
        return _no_plan(problem)
    grid = Grid(problem)
    sensible = greedy_choice(grid)
    start = least_choice(grid) if sensible is None else sensible
    least, most = value_of(problem, grid.placement(start)), grid.ceiling()
    found = Found(start, most, stopped_by_clock=False)
    if least < most:
        found = search(grid, start, nodes=nodes, seconds=seconds, tell=tell)
    return _plan(Month(grid, _kept(grid, start, found.choice)), sensible, found, most)


def _quiet(_: str) -> None:
    """For who does not want to be told."""


def _no_plan(problem: Problem) -> Plan:
    return Plan("infeasible", 0, 0, (), (), conflict=contradictions(problem))


def _plan(month: Month, sensible: Choice | None, found: Found, most: int) -> Plan:
    problem = month.problem
    value = value_of(problem, month.placement)
    bound = max(value, most if found.bound is None else min(found.bound, most))
    beside = None if sensible is None else month.grid.placement(sensible)
    return Plan(
        status="optimal" if bound == value else "feasible",
        value=value,
        bound=bound,
        slots=_slots(month),
        unmet=unmet(month),
        stopped_by_clock=found.stopped_by_clock,
        better=() if beside is None else better(problem, month.placement, beside),
        greedy_value=None if beside is None else value_of(problem, beside),
        nodes=found.nodes,
    )


def _kept(grid: Grid, start: Choice, found: Choice) -> Choice:
    """What was found, if it keeps the rules and is not worse than what it started from."""
    problem, new, old = grid.problem, grid.placement(found), grid.placement(start)
    better_one = value_of(problem, new) >= value_of(problem, old)
    return found if better_one and not broken_rules(problem, new) else start


def _slots(month: Month) -> tuple[PlannedSlot, ...]:
    pinned = {day for day, _ in month.problem.pins}
    return tuple(
        PlannedSlot(day, month.placement[day], reasons(month, i), day in pinned)
        for i, day in enumerate(month.grid.slots)
        if day in month.placement
    )
