"""The month without whole numbers: a bound, and the best month that any kind at a slot can be in.

Half a filming day costs half as much as a whole one, which no month can have. So where the answer
takes part of a day, the months are told apart by their filming days, and each case solved anew.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from coach.scheduling.planner.covers import Cover, broken_covers
from coach.scheduling.planner.grid import Grid
from coach.scheduling.planner.model import Sheet
from coach.scheduling.planner.solver import Solving

COVERS = 400  # no more rounds of covers once there are more than this
SLACK = 1e-4  # a value is rounded to a whole number, but not past the solver's own error


@dataclass(frozen=True, slots=True)
class Case:
    """The months with so many filming days more: none is worth more than `top`.

    `price`: by how much less a month is worth that has a kind at a slot.
    """

    days: range
    top: float
    price: Sequence[Mapping[int, float]]
    filming: float


class Prices:
    """What is known of a month before it is solved in whole numbers."""

    def __init__(self, solving: Solving, grid: Grid, sheet: Sheet) -> None:
        self.solving, self.grid, self.sheet = solving, grid, sheet
        self.covers: list[Cover] = []
        self.cases = self._cases()
        self.best_with = [
            {k: max(case.top - case.price[i][k] for case in self.cases) for k in row}
            for i, row in enumerate(sheet.placed if self.cases else [])
        ]

    @property
    def bound(self) -> int | None:
        """No month is worth more; None if that could not be found out in time."""
        tops = [math.floor(case.top + SLACK) for case in self.cases]
        return max(tops, default=None)

    def days(self, worth: float) -> range:
        """The filming days of the months that may be worth so much."""
        alive = [case.days for case in self.cases if case.top >= worth - SLACK]
        alive = alive or [case.days for case in self.cases]
        first, last = min(days[0] for days in alive), max(days[-1] for days in alive)
        return range(first, last + 1)

    def _cases(self) -> list[Case]:
        film = self.sheet.film
        days = range(self.sheet.upper[film] + 1) if film is not None else range(1)
        solver = self.solving.solve(self.sheet, whole=False)
        case = self._case(solver, days)
        if case is None:
            return []
        if film is None or abs(case.filming - round(case.filming)) < SLACK:
            return [case]
        cut, apart = math.ceil(case.filming), []
        for some in (range(cut), range(cut, days.stop)):
            solver.changeColBounds(film, some[0], some[-1])
            self.solving.run(solver)
            found = self._case(solver, some)
            if found is None and not self.solving.hopeless(solver):
                return [case]
            apart += [found] if found is not None else []
        return apart

    def _case(self, solver: Any, days: range) -> Case | None:
        """Solve with the covers that the answer breaks until it breaks none."""
        case = None
        while self.solving.solved(solver):
            case = self._read(solver, days)
            values = solver.getSolution().col_value
            broken = list(broken_covers(self.grid, self.sheet.placed, values))
            if not broken or len(self.covers) > COVERS:
                break
            self.covers += broken
            for terms, limit in map(self.sheet.cover, broken):
                columns, times = zip(*terms, strict=True)
                solver.addRow(-math.inf, limit, len(terms), columns, times)
            self.solving.run(solver)
        return case

    def _read(self, solver: Any, days: range) -> Case:
        solution, film = solver.getSolution(), self.sheet.film
        duals = solution.col_dual
        return Case(
            days,
            solver.getInfo().objective_function_value,
            [{k: -duals[x] for k, x in row.items()} for row in self.sheet.placed],
            solution.col_value[film] if film is not None else 0.0,
        )
