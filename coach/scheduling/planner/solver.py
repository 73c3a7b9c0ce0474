"""HiGHS, as the planner uses it: one thread, a fixed seed, nodes and seconds that are shared."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate
from types import ModuleType
from typing import Any

from coach.scheduling.planner.model import Sheet

NO_END = 2**31 - 1


@dataclass
class Solving:
    """What is left of the nodes and seconds, and whether the clock has ended the search.

    `near`: the gap, as a share of the value, that need not be closed.
    """

    highspy: ModuleType
    nodes: int
    seconds: float
    near: float = 0.0
    stopped_by_clock: bool = False

    def solve(self, sheet: Sheet, *, whole: bool, begin: bool = False) -> Any:
        """Solve a sheet, in whole numbers or without; the solver, with its answer."""
        # The base class: the one above it writes a banner to standard output when it is made.
        solver = self.highspy._Highs()
        for option, value in _options(self.nodes, self.seconds, self.near).items():
            solver.setOptionValue(option, value)
        solver.passModel(_program(self.highspy, sheet, whole=whole))
        if begin:
            solver.setSolution(len(sheet.start), list(sheet.start), list(sheet.start.values()))
        self.run(solver)
        return solver

    def run(self, solver: Any) -> None:
        """Run a solver, once more if it ran before: its clock goes on from one run to the next."""
        before = solver.getRunTime()
        solver.run()
        self.seconds -= solver.getRunTime() - before
        self.nodes -= max(0, solver.getInfo().mip_node_count)
        if solver.getModelStatus() == self.highspy.HighsModelStatus.kTimeLimit:
            self.stopped_by_clock, self.seconds = True, 0

    def solved(self, solver: Any) -> bool:
        """True for an answer that is proved."""
        optimal: bool = solver.getModelStatus() == self.highspy.HighsModelStatus.kOptimal
        return optimal

    def hopeless(self, solver: Any) -> bool:
        """True where it is proved that there is no answer."""
        infeasible: bool = solver.getModelStatus() == self.highspy.HighsModelStatus.kInfeasible
        return infeasible

    def values(self, solver: Any) -> list[float] | None:
        """The columns of the answer; None if there is none."""
        feasible = self.highspy.SolutionStatus.kSolutionStatusFeasible
        if solver.getInfo().primal_solution_status != feasible:
            return None
        return list(solver.getSolution().col_value)


def _options(nodes: int, seconds: float, near: float) -> dict[str, bool | int | float]:
    """Another number of threads in the same process would leave HiGHS without an answer.

    The gap is absolute: every value is whole, so less than one point is no gap.
    """
    return {
        "output_flag": False,
        "threads": 1,
        "random_seed": 0,
        "mip_rel_gap": near,
        "mip_abs_gap": 0.99,
        "mip_max_nodes": max(0, nodes),
        "time_limit": max(0.0, seconds),
    }


def _program(highspy: ModuleType, sheet: Sheet, *, whole: bool) -> Any:
    """The sheet as HiGHS takes it: row by row."""
    columns, rows = len(sheet.cost), len(sheet.rows)
    program = highspy.HighsLp()
    program.num_col_, program.num_row_ = columns, rows
    program.sense_ = highspy.ObjSense.kMaximize
    program.col_cost_ = sheet.cost
    program.col_lower_, program.col_upper_ = [0] * columns, sheet.upper
    if whole:
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        program.integrality_ = [kinds[column in sheet.start] for column in range(columns)]
    program.row_lower_ = [
        limit if row in sheet.exact else -highspy.kHighsInf
        for row, (_, limit) in enumerate(sheet.rows)
    ]
    program.row_upper_ = [limit for _, limit in sheet.rows]
    matrix = program.a_matrix_
    matrix.format_ = highspy.MatrixFormat.kRowwise
    matrix.start_ = [0, *accumulate(len(terms) for terms, _ in sheet.rows)]
    matrix.index_ = [column for terms, _ in sheet.rows for column, _ in terms]
    matrix.value_ = [value for terms, _ in sheet.rows for _, value in terms]
    return program
