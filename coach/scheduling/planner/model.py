"""The month as a mixed-integer model: columns and rows, all in whole numbers.

`x`: a kind stands at a slot. `y`: a window is newly served for a stage. Everything else is a sum
of these given a name of its own (so that many rows can use it in one term) or counts repeats.
The rows are written so that the model without whole numbers already comes close: series by running
totals, windows by stage, and one row for each focus and pair of neighbours.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import accumulate, groupby

from coach.scheduling.planner.grid import Choice, Grid
from coach.scheduling.values import Stage

Terms = list[tuple[int, int]]


@dataclass
class Sheet:
    """Columns from 0 to `upper`, and rows of terms that add up to no more than a limit.

    `start` says which columns are whole and where they begin; `placed[i][k]` is the column for
    kind k at slot i.
    """

    cost: list[int] = field(default_factory=list)
    upper: list[int] = field(default_factory=list)
    start: dict[int, int] = field(default_factory=dict)
    rows: list[tuple[Terms, int]] = field(default_factory=list)
    placed: list[dict[int, int]] = field(default_factory=list)

    def column(self, cost: int = 0, start: bool | None = None, *, upper: int = 1) -> int:
        """A new column, whole if it has a start; its number."""
        self.cost.append(cost)
        self.upper.append(upper)
        if start is not None:
            self.start[len(self.cost) - 1] = int(start)
        return len(self.cost) - 1

    def at_most(self, terms: Iterable[tuple[int, int]], limit: int) -> None:
        """A new row."""
        self.rows.append((list(terms), limit))

    def total(self, terms: Terms, *, upper: int = 1) -> int:
        """A new column that equals a sum."""
        column = self.column(upper=upper)
        self.at_most([(column, 1), *((x, -times) for x, times in terms)], 0)
        self.at_most([(column, -1), *terms], 0)
        return column


def write(grid: Grid, start: Choice) -> Sheet:
    """The whole model of a grid, beginning at a choice."""
    sheet = Sheet()
    sheet.placed = [
        {
            k: sheet.column(grid.worth(k, i), start[i] == k)
            for k in range(len(grid.kinds))
            if i in grid.allowed[k]
        }
        for i in range(len(grid.slots))
    ]
    _once(sheet, grid)
    _series(sheet, grid)
    _work(sheet, grid)
    _serve(sheet, grid, start)
    if grid.problem.weights.focus:
        _Mix(sheet, grid).write()
    return sheet


def _once(sheet: Sheet, grid: Grid) -> None:
    for row in sheet.placed:
        sheet.at_most([(x, 1) for x in row.values()], 1)
    for k, kind in enumerate(grid.kinds):
        if len(kind.members) < len(grid.allowed[k]):
            sheet.at_most([(row[k], 1) for row in sheet.placed if k in row], len(kind.members))


def _series(sheet: Sheet, grid: Grid) -> None:
    """By each slot a part is done no more often than the parts before it, by the slot before."""
    done = {k: _done(sheet, k) for k, kind in enumerate(grid.kinds) if kind.sample.order}
    for k, before in enumerate(grid.earlier):
        nearest = max((grid.kinds[b].sample.order or (0, 0) for b in before), default=None)
        for b in before:
            if grid.kinds[b].sample.order == nearest:
                sheet.at_most([(done[k][0], 1)], 0)
                for now, just in zip(done[k][1:], done[b], strict=False):
                    sheet.at_most([(now, 1), (just, -1)], 0)


def _done(sheet: Sheet, k: int) -> list[int]:
    columns: list[int] = []
    for row in sheet.placed:
        now = [(row[k], 1)] if k in row else []
        columns.append(sheet.total([*((column, 1) for column in columns[-1:]), *now]))
    return columns


def _work(sheet: Sheet, grid: Grid) -> None:
    work: list[int] = []
    for row, room in zip(sheet.placed, grid.room, strict=True):
        minutes = [(x, grid.kinds[k].minutes) for k, x in row.items() if grid.kinds[k].minutes]
        work.append(sheet.total(minutes, upper=room))
        sheet.at_most([(column, 1) for column in work], room)


def _serve(sheet: Sheet, grid: Grid, start: Choice) -> None:
    """A window is served for a stage only if something that suits it stands in the window."""
    cells = list(grid.reachable())
    stages = sorted({stage for _, stage in cells})
    suits = [{stage: _suits(sheet, grid, row, stage) for stage in stages} for row in sheet.placed]
    for j, stage in cells:
        window = [i for i in range(j + 1) if j in grid.windows[i]]
        begun = any(stage in grid.stages_at(start, i) for i in window)
        y = sheet.column(grid.problem.weights.serve * grid.cells[j][stage], begun)
        sheet.at_most([(y, 1), *((suits[i][stage], -1) for i in window)], 0)


def _suits(sheet: Sheet, grid: Grid, row: dict[int, int], stage: Stage) -> int:
    return sheet.total([(x, 1) for k, x in row.items() if stage in grid.kinds[k].stages])


class _Mix:
    """The rows that count repeats, over the empty slots between two uploads as well."""

    def __init__(self, sheet: Sheet, grid: Grid) -> None:
        self.sheet, self.grid = sheet, grid
        self.foci = sorted({kind.sample.focus for kind in grid.kinds})
        self.has = [{f: self._has(row, f) for f in self.foci} for row in sheet.placed]

    def _has(self, row: dict[int, int], focus: str) -> int:
        """A column that says whether a slot has a focus."""
        alike = [(x, 1) for k, x in row.items() if self.grid.kinds[k].sample.focus == focus]
        return self.sheet.total(alike)

    def write(self) -> None:
        """One repeat column for each slot, and for each standing upload that follows slots."""
        for run in self._runs():
            before, after = self.grid.between[run[0]], self.grid.between[run[-1] + 1]
            opens = before.last if before is not None else ""
            last = self._run(run, opens)
            if after is not None and after.first in last:
                self._close(run, last[after.first], alike=opens == after.first)

    def _runs(self) -> list[list[int]]:
        """The slots in runs that no standing upload parts."""
        slots = range(len(self.grid.slots))
        starts = accumulate(i > 0 and self.grid.between[i] is not None for i in slots)
        pairs = groupby(zip(starts, slots, strict=True), key=lambda pair: pair[0])
        return [[i for _, i in group] for _, group in pairs]

    def _run(self, run: Sequence[int], opens: str) -> dict[str, int]:
        """Rows for one run; by focus the column that says whether its last upload has it."""
        last: dict[str, int] = {}
        for i in run:
            repeat = self.sheet.column(-self.grid.problem.weights.focus)
            for f in filter(None, self.foci):
                before = [(last[f], 1)] if f in last else []
                fixed = int(i == run[0] and f == opens)
                self.sheet.at_most([*before, (self.has[i][f], 1), (repeat, -1)], 1 - fixed)
                last[f] = self._carry(i, f, before, fixed)
        return last

    def _carry(self, i: int, focus: str, before: Terms, fixed: int) -> int:
        """A column that is 1 if the last upload up to slot i has the focus."""
        column = self.sheet.column()
        self.sheet.at_most([(self.has[i][focus], 1), (column, -1)], 0)
        others = [(has, -1) for f, has in self.has[i].items() if f != focus]
        if before or fixed:
            self.sheet.at_most([*before, *others, (column, -1)], -fixed)
        return column

    def _close(self, run: Sequence[int], last: int, *, alike: bool) -> None:
        """The standing upload after a run repeats its last focus, but not if the run is empty."""
        terms = [(last, 1), (self.sheet.column(-self.grid.problem.weights.focus), -1)]
        if alike:
            empty = self.sheet.column()
            terms.append((empty, -1))
            for i in run:
                self.sheet.at_most([(empty, 1), *((has, 1) for has in self.has[i].values())], 1)
        self.sheet.at_most(terms, 0)
