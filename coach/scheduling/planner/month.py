"""A problem in, a plan out."""

from __future__ import annotations

from coach.scheduling.planner.greedy import greedy_choice
from coach.scheduling.planner.grid import Choice, Grid
from coach.scheduling.planner.measure import broken_rules, value_of
from coach.scheduling.planner.problem import Plan, PlannedSlot, Problem
from coach.scheduling.planner.reasons import Month, reasons
from coach.scheduling.planner.search import Found, search
from coach.scheduling.planner.unmet import unmet

NODES = 5_000
SECONDS = 20.0


def make_plan(problem: Problem, *, nodes: int = NODES, seconds: float = SECONDS) -> Plan:
    """The best plan for a month, with reasons; the same problem always gives the same plan.

    The search stops when the plan is proved or after so many nodes. `seconds` is only a brake: if
    it had to be used, `stopped_by_clock` says so. The plan is never worse than the greedy one.
    """
    grid = Grid(problem)
    start = greedy_choice(grid)
    least, most = value_of(problem, grid.placement(start)), grid.ceiling()
    found = Found(start, most, stopped_by_clock=False)
    if least < most:
        found = search(grid, start, nodes=nodes, seconds=seconds)
    month = Month(grid, _kept(grid, start, found.choice))
    value = value_of(problem, month.placement)
    bound = max(value, most if found.bound is None else min(found.bound, most))
    return Plan(
        status="optimal" if bound == value else "feasible",
        value=value,
        bound=bound,
        slots=_slots(month),
        unmet=unmet(month),
        stopped_by_clock=found.stopped_by_clock,
    )


def _kept(grid: Grid, start: Choice, found: Choice) -> Choice:
    """What was found, if it keeps the rules and is not worse than what it started from."""
    problem, new, old = grid.problem, grid.placement(found), grid.placement(start)
    better = value_of(problem, new) >= value_of(problem, old)
    return found if better and not broken_rules(problem, new) else start


def _slots(month: Month) -> tuple[PlannedSlot, ...]:
    return tuple(
        PlannedSlot(day, month.placement[day], reasons(month, i))
        for i, day in enumerate(month.grid.slots)
        if day in month.placement
    )
