"""The month as a mixed-integer model: columns and rows, all in whole numbers.

`x`: a kind stands at a slot. `y`: a window is newly served for a stage. Everything else is a sum
of these given a name of its own (so that many rows can use it in one term) or counts what costs.
The rows are written so that the model without whole numbers already comes close: series by running
totals, windows by stage, days too near each other by the largest sets of them; mix.py has repeats.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from coach.scheduling.planner.covers import Cover, usable
from coach.scheduling.planner.grid import Choice, Grid
from coach.scheduling.planner.kinds import Kind
from coach.scheduling.planner.measure import days_to_film
from coach.scheduling.values import Stage

Terms = list[tuple[int, int]]


@dataclass
class Sheet:
    """Columns from 0 to `upper`, and rows of terms that add up to no more than a limit.

    `start` says which columns are whole and where they begin; `placed[i][k]` is the column for
    kind k at slot i, `filled[i]` the column that says whether anything stands there, and `film` the
    one that counts filming days.
    """

    cost: list[int] = field(default_factory=list)
    upper: list[int] = field(default_factory=list)
    start: dict[int, int] = field(default_factory=dict)
    rows: list[tuple[Terms, int]] = field(default_factory=list)
    exact: set[int] = field(default_factory=set)
    placed: list[dict[int, int]] = field(default_factory=list)
    filled: list[int] = field(default_factory=list)
    film: int | None = None

    def column(self, cost: int = 0, start: int | None = None, *, upper: int = 1) -> int:
        """A new column, whole if it has a start; its number."""
        self.cost.append(cost)
        self.upper.append(upper)
        if start is not None:
            self.start[len(self.cost) - 1] = int(start)
        return len(self.cost) - 1

    def at_most(self, terms: Iterable[tuple[int, int]], limit: int) -> None:
        """A new row."""
        self.rows.append((list(terms), limit))

    def exactly(self, terms: Iterable[tuple[int, int]], limit: int) -> None:
        """A new row that comes to the limit itself."""
        self.exact.add(len(self.rows))
        self.at_most(terms, limit)

    def film_on(self, days: range) -> None:
        """Only so many filming days."""
        if self.film is not None:
            self.at_most([(self.film, 1)], days[-1])
            self.at_most([(self.film, -1)], -days[0])

    def cover(self, cover: Cover) -> tuple[Terms, int]:
        """A cover as a row of this sheet."""
        early = self.placed[: cover.until + 1]
        return [(row[k], 1) for k in cover.kinds for row in early if k in row], cover.most

    def total(self, terms: Terms, *, upper: int = 1) -> int:
        """A new column that equals a sum."""
        column = self.column(upper=upper)
        self.exactly([(column, -1), *terms], 0)
        return column


def write(grid: Grid, start: Choice, among: Sequence[Iterable[int]]) -> Sheet:
    """The model of a grid without its repeats, beginning at a choice; the kinds for each slot."""
    sheet = Sheet()
    sheet.placed = [
        {k: sheet.column(grid.worth(k, i), start[i] == k) for k in kinds}
        for i, kinds in enumerate(among)
    ]
    sheet.filled = [sheet.total([(x, 1) for x in row.values()]) for row in sheet.placed]
    _once(sheet, grid)
    _pins(sheet, grid)
    _pace(sheet, grid)
    _series(sheet, grid)
    _in_time(sheet, grid, usable(grid), lambda kind: kind.minutes)
    if grid.problem.film_days is not None:
        _in_time(sheet, grid, grid.film_room, lambda kind: int(kind.films))
    _serve(sheet, grid, start)
    _shares(sheet, grid)
    _film(sheet, grid, start)
    return sheet


def _once(sheet: Sheet, grid: Grid) -> None:
    for k, kind in enumerate(grid.kinds):
        everywhere = [(row[k], 1) for row in sheet.placed if k in row]
        if len(kind.members) < len(everywhere):
            sheet.at_most(everywhere, len(kind.members))


def _pins(sheet: Sheet, grid: Grid) -> None:
    pinned = {day for day, _ in grid.problem.pins}
    for day, filled in zip(grid.slots, sheet.filled, strict=True):
        if day in pinned:
            sheet.at_most([(filled, -1)], -1)


def _pace(sheet: Sheet, grid: Grid) -> None:
    """So many a week, and one in every stretch of days that are too near each other."""
    for slots, most in [*grid.weeks, *((slots, 1) for slots in grid.near)]:
        if most < len(slots):
            sheet.at_most([(sheet.filled[i], 1) for i in slots], most)


def _series(sheet: Sheet, grid: Grid) -> None:
    """By each slot a part is done no more often than the parts before it, by the slot before."""
    placed = set().union(*sheet.placed)
    earlier = {k: before for k, before in enumerate(grid.earlier) if before and k in placed}
    done = {k: _done(sheet, k) for k in sorted({*earlier}.union(*earlier.values()))}
    for k, before in earlier.items():
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


def _in_time(sheet: Sheet, grid: Grid, room: list[int], asks: Callable[[Kind], int]) -> None:
    """What the classes up to a slot ask for is no more than there is room for."""
    so_far: list[int] = []
    for row, most in zip(sheet.placed, room, strict=True):
        asked = [(x, asks(grid.kinds[k])) for k, x in row.items() if asks(grid.kinds[k])]
        so_far.append(sheet.total(asked, upper=most))
        sheet.at_most([(column, 1) for column in so_far], most)


def _serve(sheet: Sheet, grid: Grid, start: Choice) -> None:
    """A window is served for a stage only if something that suits it stands in the window."""
    suits = [_suits(sheet, grid, row) for row in sheet.placed]
    for j, stage in grid.reachable:
        window = [i for i in range(j + 1) if j in grid.windows[i]]
        suiting = [(suits[i][stage], -1) for i in window if stage in suits[i]]
        if not suiting:
            continue
        begun = any(stage in grid.stages_at(start, i) for i in window)
        y = sheet.column(grid.problem.weights.serve * grid.cells[j][stage], begun)
        sheet.at_most([(y, 1), *suiting], 0)


def _suits(sheet: Sheet, grid: Grid, row: dict[int, int]) -> dict[Stage, int]:
    """By stage a column that says whether what stands at a slot suits it."""
    alike: dict[Stage, Terms] = defaultdict(list)
    for k, x in row.items():
        for stage in grid.kinds[k].stages:
            alike[stage].append((x, 1))
    return {stage: sheet.total(alike[stage]) for stage in sorted(alike)}


def _shares(sheet: Sheet, grid: Grid) -> None:
    """Classes beyond the share of their focus; free of charge up to it."""
    for focus, most in grid.problem.mix:
        alike = [
            (x, 1)
            for row in sheet.placed
            for k, x in row.items()
            if grid.kinds[k].sample.focus == focus
        ]
        if grid.problem.weights.mix and alike:
            beyond = sheet.column(-grid.problem.weights.mix, upper=len(grid.slots))
            sheet.at_most([*alike, (beyond, -1)], most)


def _film(sheet: Sheet, grid: Grid, start: Choice) -> None:
    """Whole filming days beyond those that the fixed uploads need."""
    problem = grid.problem
    films = [(x, 1) for row in sheet.placed for k, x in row.items() if grid.kinds[k].films]
    if problem.weights.film and films:
        before = days_to_film(problem, grid.awaited)
        begun = sum(grid.kinds[k].films for k in start if k is not None)
        days = days_to_film(problem, grid.awaited + begun) - before
        sheet.film = sheet.column(-problem.weights.film, days, upper=len(grid.slots))
        spare = problem.films_a_day * before - grid.awaited
        sheet.at_most([*films, (sheet.film, -problem.films_a_day)], spare)
