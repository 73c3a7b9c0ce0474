"""The sensible plan: slot by slot, what adds most now. The search starts from it."""

from __future__ import annotations

from datetime import date

from coach.scheduling.planner.grid import Choice, Grid
from coach.scheduling.planner.measure import value_of
from coach.scheduling.planner.problem import Problem


def greedy_choice(grid: Grid) -> Choice:
    """The kind for each slot, taken in order of day; no better than the empty month at worst."""
    choice: Choice = [None] * len(grid.slots)
    for i in range(len(grid.slots)):
        choice[i] = _best(grid, choice, i)
    if value_of(grid.problem, grid.placement(choice)) < 0:
        return [None] * len(grid.slots)
    return choice


def greedy(problem: Problem) -> dict[date, int]:
    """The greedy plan of a problem as a placement: the class for each slot that gets one."""
    grid = Grid(problem)
    return grid.placement(greedy_choice(grid))


def fits(grid: Grid, choice: Choice, k: int, i: int) -> bool:
    """True if the hard rules let a kind stand at slot i, with nothing placed after it yet."""
    if i not in grid.allowed[k] or choice.count(k) == len(grid.kinds[k].members):
        return False
    if any(before not in choice[:i] for before in grid.earlier[k]):
        return False
    busy = sum(grid.kinds[at].minutes for at in choice[:i] if at is not None)
    return busy + grid.kinds[k].minutes <= grid.room[i]


def _best(grid: Grid, choice: Choice, i: int) -> int | None:
    unserved = grid.unserved(choice, i)
    kept = grid.between[i + 1]
    around = (grid.focus_before(choice, i), kept.first if kept is not None else "")
    options = [
        (grid.gain(k, i, unserved, around), -grid.kinds[k].sample.id, k)
        for k in range(len(grid.kinds))
        if fits(grid, choice, k, i)
    ]
    best = max(options, default=(-1, 0, 0))
    return best[2] if best[0] >= 0 else None
