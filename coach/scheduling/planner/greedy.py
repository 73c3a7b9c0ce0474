"""The sensible plan: slot by slot, what adds most now, around what is pinned."""

from __future__ import annotations

from datetime import date

from coach.scheduling.planner.grid import Choice, Grid
from coach.scheduling.planner.measure import broken_rules, value_of
from coach.scheduling.planner.problem import Problem


def greedy_choice(grid: Grid) -> Choice | None:
    """The kind for each slot, taken in order of day; None if it can't keep the pins like that.

    Without pins it is no worse than the empty month.
    """
    choice = pinned_choice(grid)
    for i, at in enumerate(choice):
        if at is None:
            choice[i] = _best(grid, choice, i)
    placement = grid.placement(choice)
    if broken_rules(grid.problem, placement):
        return None
    if value_of(grid.problem, placement) < 0 and not grid.problem.pins:
        return [None] * len(grid.slots)
    return choice


def greedy(problem: Problem) -> dict[date, int]:
    """The greedy plan of a problem as a placement; empty if it can't keep the pins."""
    grid = Grid(problem)
    choice = greedy_choice(grid)
    return grid.placement(choice) if choice is not None else {}


def pinned_choice(grid: Grid) -> Choice:
    """The pinned classes alone."""
    pinned = {kind.pinned: k for k, kind in enumerate(grid.kinds) if kind.pinned is not None}
    return [pinned.get(day) for day in grid.slots]


def fits(grid: Grid, choice: Choice, k: int, i: int) -> bool:
    """True if the hard rules let a kind stand at slot i, which is empty, beside what is placed.

    A part that is placed already without its earlier parts is not held against it.
    """
    if i not in grid.allowed[k] or choice.count(k) == len(grid.kinds[k].members):
        return False
    if any(before not in choice[:i] for before in grid.earlier[k]):
        return False
    if any(at is not None and k in grid.earlier[at] for at in choice[:i]):
        return False
    return i in open_slots(grid, choice) and _in_time(grid, choice, k, i)


def open_slots(grid: Grid, choice: Choice) -> set[int]:
    """The empty slots that pace and gap leave open."""
    filled = {i for i, at in enumerate(choice) if at is not None}
    full = [week for week, most in grid.weeks if len(filled.intersection(week)) >= most]
    near = [slots for slots in grid.near if filled.intersection(slots)]
    return set(range(len(choice))) - filled.union(*full, *near)


def _in_time(grid: Grid, choice: Choice, k: int, i: int) -> bool:
    """True if there is room for its work and its filming at every slot from its own on."""
    new, busy, filmed = grid.kinds[k], 0, 0
    for j, at in enumerate(choice):
        if at is not None:
            busy += grid.kinds[at].minutes
            filmed += grid.kinds[at].films
        if j >= i and new.minutes and busy + new.minutes > grid.room[j]:
            return False
        if j >= i and new.films and filmed + 1 > grid.film_room[j]:
            return False
    return True


def _best(grid: Grid, choice: Choice, i: int) -> int | None:
    unserved, around = grid.unserved(choice, i), grid.around(choice, i)
    options = [
        (grid.gain(k, i, unserved, around), -grid.kinds[k].sample.id, k)
        for k in range(len(grid.kinds))
        if fits(grid, choice, k, i)
    ]
    best = max(options, default=(-1, 0, 0))
    return best[2] if best[0] >= 0 else None
