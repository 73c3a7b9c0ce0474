"""The best choice, found and proved by HiGHS.

First the model without whole numbers: its value is a bound, and its prices say of every kind at
every slot how good a month with it can be at most. Then whole numbers, but only for kinds that the
best months may have: what is found there is the best of all, if it is worth more than any month
with one of the others could be. Else once more, with all those that could still be in a better one.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from coach.scheduling.planner.grid import Choice, Grid
from coach.scheduling.planner.measure import value_of
from coach.scheduling.planner.mix import furthest, write_repeats
from coach.scheduling.planner.model import Sheet, write
from coach.scheduling.planner.pins import Pins
from coach.scheduling.planner.prices import SLACK, Prices
from coach.scheduling.planner.problem import Problem
from coach.scheduling.planner.solver import NO_END, Solving

PROMISING = 20  # kinds for each slot, on average, in the first step in whole numbers
NEAR, MANY = 0.002, 2_000  # so small a gap is not worth proving away among so many kinds
# In a month so large, slots times classes, so small a gap is not closed in any step either.
LARGE, CLOSE = 3_000, 0.0005
AHEAD = 6  # slots between neighbours whose repeats are in the model from the start


@dataclass(frozen=True, slots=True)
class Found:
    """What the search came back with; `bound` is None if none was proved in time."""

    choice: Choice
    bound: int | None
    stopped_by_clock: bool
    nodes: int = 0


def search(
    grid: Grid, start: Choice, *, nodes: int, seconds: float, tell: Callable[[str], None]
) -> Found:
    """The best choice found within so many nodes and seconds, and the bound proved."""
    import highspy  # noqa: PLC0415 -- slow to load, so only when a plan is made

    tell("looking for better ones")
    large = len(grid.slots) * len(grid.problem.classes) >= LARGE
    solving = Solving(highspy, nodes, seconds, CLOSE if large else 0.0)
    run = _Run(solving, grid, start)
    if run.bound is not None:
        run.whole(run.promising())
        if run.value < run.bound and run.worth_proving():
            tell("proving that none is better")
            run.whole(run.value + 1)
    return Found(run.best, run.bound, solving.stopped_by_clock, nodes - solving.nodes)


def feasible(problem: Problem, without: frozenset[str] = frozenset()) -> bool:
    """Whether any placement keeps the pins when the named groups of rules are left out."""
    pins = Pins(problem, without)
    return not pins.hopeless and (not pins.pins or _placed(pins) is not None)


def least_choice(grid: Grid) -> Choice:
    """A choice that keeps the pins, with no more than they ask for; there must be one."""
    return grid.choice(_placed(Pins(grid.problem)) or {})


def _placed(pins: Pins) -> dict[date, int] | None:
    """A placement that keeps the pins, if there is one."""
    import highspy  # noqa: PLC0415 -- slow to load, so only when a plan is made

    sheet = pins.write()
    if not pins.column:
        return None
    solving = Solving(highspy, NO_END, math.inf)
    solver = solving.solve(sheet, whole=True)
    if solving.hopeless(solver):
        return None
    values = solving.values(solver)
    if values is None:
        raise RuntimeError("The solver has no answer.")
    return {day: number for (day, number), x in pins.column.items() if round(values[x])}


class _Run:
    """The steps of one search: each begins where the last one ended."""

    def __init__(self, solving: Solving, grid: Grid, start: Choice) -> None:
        self.solving, self.grid = solving, grid
        self.best, self.value = start, self._worth(start)
        self.ahead = min(AHEAD, furthest(grid, start))
        self.prices = Prices(solving, grid, self._sheet(grid.everything, families=False))
        bound = self.prices.bound
        self.bound = None if bound is None else max(self.value, bound)

    def promising(self) -> float:
        """What a month must be worth to be looked at first."""
        worths = sorted((w for row in self.prices.best_with for w in row.values()), reverse=True)
        look = worths[: PROMISING * len(self.best)]
        return max(self.value + 1, look[-1] if look else -math.inf)

    def worth_proving(self) -> bool:
        """False where the gap is small already, and closing it would take long."""
        left = [k for row in self._among(self.value + 1) for k in row]
        return len(left) <= MANY or (self.bound or 0) - self.value > NEAR * self.value

    def _among(self, worth: float) -> list[list[int]]:
        """The kinds for each slot that a month worth so much may have."""
        return [
            [k for k, best in row.items() if best >= worth - SLACK or k == now]
            for row, now in zip(self.prices.best_with, self.best, strict=True)
        ]

    def whole(self, worth: float) -> None:
        """Solve in whole numbers, with the kinds that a month worth so much may have."""
        if self.solving.seconds <= 0 or self.bound is None:
            return
        solver, found = self._sought(self._among(worth), self.prices.days(worth))
        if found is not None and self._worth(found) > self.value:
            self.best, self.value = found, self._worth(found)
        with_others = math.ceil(worth - SLACK) - 1
        bound = solver.getInfo().mip_dual_bound
        if math.isfinite(bound):
            proved = max(math.floor(bound + SLACK), with_others, self.value)
            self.bound = min(self.bound, proved)

    def _sought(self, among: Sequence[Sequence[int]], days: range) -> tuple[Any, Choice | None]:
        """Solve, and again where what is handed back is not worth what is claimed of it."""
        sheet, begin = self._sheet(among, days=days), True
        while True:
            solver = self.solving.solve(sheet, whole=True, begin=begin)
            found = self._choice(sheet, solver)
            claimed = round(solver.getInfo().objective_function_value)
            if found is None or self._worth(found) >= claimed or self.solving.seconds <= 0:
                return solver, found
            if (apart := furthest(self.grid, found)) > self.ahead:
                self.ahead = apart
                sheet = self._sheet(among, days=days)
            elif begin:
                # Where presolve improves the start it was given and nothing is left to search,
                # HiGHS reports the improved value but hands back the start; not without a start.
                begin = False
            else:
                return solver, found

    def _sheet(
        self,
        among: Sequence[Sequence[int]],
        *,
        families: bool = True,
        days: range | None = None,
    ) -> Sheet:
        sheet = write(self.grid, self.best, among)
        for trait, _ in self.grid.trait_weights:
            if families or trait != "family":
                write_repeats(sheet, self.grid, trait, self.ahead)
        if days is not None:
            sheet.rows += map(sheet.cover, self.prices.covers)
            sheet.film_on(days)
        return sheet

    def _choice(self, sheet: Sheet, solver: Any) -> Choice | None:
        """The solution handed back, as a kind for each slot; None if there is none."""
        values = self.solving.values(solver)
        if values is None:
            return None
        return [next((k for k, x in row.items() if round(values[x])), None) for row in sheet.placed]

    def _worth(self, choice: Choice) -> int:
        """The value of a choice, added up anew."""
        return value_of(self.grid.problem, self.grid.placement(choice))
