"""Repeats in the model: the same focus, effort band or family twice running.

Each upload has one before it, so one column for each slot, and for each standing upload that
follows slots, says whether it repeats. A row for each label and each pair that may be neighbours
makes it so, unless something stands between the two.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

from coach.scheduling.planner.grid import Grid
from coach.scheduling.planner.measure import TRAITS, Trait
from coach.scheduling.planner.model import Sheet, Terms
from coach.scheduling.planner.problem import PlanClass

Label = str | int


def write_repeats(sheet: Sheet, grid: Grid, trait: Trait, ahead: int) -> None:
    """The repeats of a trait, of uploads that are no more than so many slots apart."""
    has = [_has(grid, trait, row) for row in sheet.placed]
    weight: int = getattr(grid.problem.weights, trait)
    rows = [*_at_slots(sheet, grid, trait, has, ahead), *_at_fixed(sheet, grid, trait, has, ahead)]
    for found in filter(None, rows):
        repeat = sheet.column(-weight)
        for terms, limit in found:
            sheet.at_most([*terms, (repeat, -1)], limit)


def _has(grid: Grid, trait: Trait, row: dict[int, int]) -> dict[Label | None, Terms]:
    """By label the columns of a slot that have it."""
    alike: dict[Label | None, Terms] = defaultdict(list)
    for k, x in row.items():
        alike[TRAITS[trait](grid.kinds[k].sample)].append((x, 1))
    alike.pop(None, None)
    return dict(alike)


Has = Sequence[dict[Label | None, Terms]]
Rows = list[tuple[Terms, int]]


def _at_slots(sheet: Sheet, grid: Grid, trait: Trait, has: Has, ahead: int) -> Iterator[Rows]:
    """For each slot what it may repeat: a slot before it, or the standing upload before it."""
    for j, here in enumerate(has):
        rows: Rows = []
        for i in range(j, max(-1, j - ahead), -1):
            empty = _unless_filled(sheet, range(i, j))
            if (kept := grid.between[i]) is not None:
                rows += _one(here, trait, kept.last, empty)
                break
            if i:
                rows += [
                    ([*has[i - 1][label], *terms, *empty], 1)
                    for label, terms in here.items()
                    if label in has[i - 1]
                ]
        yield rows


def _at_fixed(sheet: Sheet, grid: Grid, trait: Trait, has: Has, ahead: int) -> Iterator[Rows]:
    """For each standing upload that follows slots which of them it may repeat."""
    for j, kept in enumerate(grid.between):
        rows: Rows = []
        for i in range(j - 1, max(-1, j - 1 - ahead), -1):
            if kept is not None:
                rows += _one(has[i], trait, kept.first, _unless_filled(sheet, range(i + 1, j)))
            if grid.between[i] is not None:
                break
        yield rows


def _one(has: dict[Label | None, Terms], trait: Trait, item: PlanClass, empty: Terms) -> Rows:
    terms = has.get(TRAITS[trait](item))
    return [([*terms, *empty], 0)] if terms else []


def _unless_filled(sheet: Sheet, slots: Sequence[int]) -> Terms:
    return [(sheet.filled[m], -1) for m in slots]


def furthest(grid: Grid, choice: Sequence[int | None]) -> int:
    """How many slots apart the furthest neighbours of a choice are, at least 1."""
    empty, far = 0, 1
    for kept, k in zip(grid.between, [*choice, None], strict=True):
        if kept is not None:
            far, empty = max(far, empty + 1), 0
        far, empty = (max(far, empty + 1), 0) if k is not None else (far, empty + 1)
    return far
