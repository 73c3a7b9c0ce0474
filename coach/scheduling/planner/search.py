"""The best choice, found and proved by HiGHS in up to three steps.

First the model without whole numbers: its value is a bound, usually the best plan's own value.
Then only the most promising kinds for each slot: if what they give meets the bound, that is the
best of all, whatever was left out. Else the whole model, from there.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from types import ModuleType
from typing import Any

from coach.scheduling.planner.grid import Choice, Grid
from coach.scheduling.planner.model import Sheet, write

PROMISING = 12  # kinds for each slot; more made the second step slower and no better
SLACK = 1e-4  # a bound is rounded down to a whole number, but not past the solver's own error


@dataclass(frozen=True, slots=True)
class Found:
    """What the search came back with; `bound` is None if none was proved in time."""

    choice: Choice
    bound: int | None
    stopped_by_clock: bool


def search(grid: Grid, start: Choice, *, nodes: int, seconds: float) -> Found:
    """The best choice found within so many nodes and seconds, and the bound proved."""
    import highspy  # noqa: PLC0415 -- slow to load, so only when a plan is made

    run = _Run(highspy, write(grid, start), nodes, seconds)
    rank = run.relaxed()
    if rank is not None:
        run.whole(_promising(run.sheet, rank), proves=False)
        if run.value != run.bound:
            run.whole(run.sheet.upper, proves=True)
    return Found(run.choice(), run.bound, run.stopped_by_clock)


def _promising(sheet: Sheet, rank: Sequence[tuple[float, float]]) -> list[int]:
    """The upper limits of all columns, 0 for kinds that are not among the best at their slot."""
    upper = list(sheet.upper)
    for row in sheet.placed:
        ranked = sorted(row.values(), key=lambda x: (rank[x], x))
        for x in ranked[PROMISING:]:
            upper[x] = sheet.start[x]
    return upper


class _Run:
    """The steps of one search. They share the seconds, and each begins where the last one ended."""

    def __init__(self, highspy: ModuleType, sheet: Sheet, nodes: int, seconds: float) -> None:
        self.highspy, self.sheet, self.nodes, self.seconds = highspy, sheet, nodes, seconds
        self.best = dict(sheet.start)
        self.value: int | None = None
        self.bound: int | None = None
        self.stopped_by_clock = False

    def relaxed(self) -> list[tuple[float, float]] | None:
        """Solve without whole numbers: the bound, and for each column how little it promises."""
        solver = self._solve(self.sheet.upper, whole=False)
        if solver.getModelStatus() != self.highspy.HighsModelStatus.kOptimal:
            return None
        self.bound = math.floor(solver.getInfo().objective_function_value + SLACK)
        solution = solver.getSolution()
        return [
            (-round(cost, 6), -round(value, 6))
            for cost, value in zip(solution.col_dual, solution.col_value, strict=True)
        ]

    def whole(self, upper: Sequence[int], *, proves: bool) -> None:
        """Solve in whole numbers; the bound counts only if no column was left out."""
        if self.seconds <= 0:
            return
        solver = self._solve(upper, whole=True)
        claimed = round(solver.getInfo().objective_function_value)
        worth = self._worth(solver)
        if worth is not None and worth < claimed and self.seconds > 0:
            # Where presolve improves the start it was given and nothing is left to search, HiGHS
            # reports the improved value but hands back the start. Without a start it does not.
            solver = self._solve(upper, whole=True, begin=False)
            worth = self._worth(solver)
        if worth is not None and (self.value is None or worth >= self.value):
            values = solver.getSolution().col_value
            self.best = {column: round(values[column]) for column in self.best}
            self.value = worth
        bound = solver.getInfo().mip_dual_bound
        if proves and self.bound is not None and math.isfinite(bound):
            self.bound = min(self.bound, math.floor(bound + SLACK))

    def _worth(self, solver: Any) -> int | None:
        """The value of the solution handed back, added up anew; None if there is none."""
        feasible = self.highspy.SolutionStatus.kSolutionStatusFeasible
        if solver.getInfo().primal_solution_status != feasible:
            return None
        values = solver.getSolution().col_value
        worth: int = round(sum(cost * x for cost, x in zip(self.sheet.cost, values, strict=True)))
        return worth

    def choice(self) -> Choice:
        """The best so far, as a kind for each slot."""
        return [
            next((k for k, x in row.items() if self.best[x]), None) for row in self.sheet.placed
        ]

    def _solve(self, upper: Sequence[int], *, whole: bool, begin: bool = True) -> Any:
        # The base class: the one above it writes a banner to standard output when it is made.
        solver = self.highspy._Highs()
        for option, value in _options(self.nodes, self.seconds).items():
            solver.setOptionValue(option, value)
        solver.passModel(_program(self.highspy, self.sheet, upper, whole=whole))
        if whole and begin:
            solver.setSolution(len(self.best), list(self.best), list(self.best.values()))
        solver.run()
        self.seconds -= solver.getRunTime()
        if solver.getModelStatus() == self.highspy.HighsModelStatus.kTimeLimit:
            self.stopped_by_clock, self.seconds = True, 0
        return solver


def _options(nodes: int, seconds: float) -> dict[str, bool | int | float]:
    """Another number of threads in the same process would leave HiGHS without an answer.

    The gap is absolute: every value is whole, so less than one point is no gap.
    """
    return {
        "output_flag": False,
        "threads": 1,
        "random_seed": 0,
        "mip_rel_gap": 0.0,
        "mip_abs_gap": 0.99,
        "mip_max_nodes": nodes,
        "time_limit": max(0.0, seconds),
    }


def _program(highspy: ModuleType, sheet: Sheet, upper: Sequence[int], *, whole: bool) -> Any:
    """The sheet as HiGHS takes it: row by row."""
    columns, rows = len(sheet.cost), len(sheet.rows)
    program = highspy.HighsLp()
    program.num_col_, program.num_row_ = columns, rows
    program.sense_ = highspy.ObjSense.kMaximize
    program.col_cost_ = sheet.cost
    program.col_lower_, program.col_upper_ = [0] * columns, upper
    if whole:
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        program.integrality_ = [kinds[column in sheet.start] for column in range(columns)]
    program.row_lower_ = [-highspy.kHighsInf] * rows
    program.row_upper_ = [limit for _, limit in sheet.rows]
    matrix = program.a_matrix_
    matrix.format_ = highspy.MatrixFormat.kRowwise
    matrix.start_ = [0, *accumulate(len(terms) for terms, _ in sheet.rows)]
    matrix.index_ = [column for terms, _ in sheet.rows for column, _ in terms]
    matrix.value_ = [value for terms, _ in sheet.rows for _, value in terms]
    return program
