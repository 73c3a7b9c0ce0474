"""Classes that can't all be done in time, as rows for the model.

The hours alone let the model without whole numbers place half a class as soon as half its hours are
there. A *cover* is a set of classes that together need more than there is until a slot: not all of
them stand by then. With the rows of those it breaks, that model comes close to the real one.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from coach.scheduling.planner.grid import Grid

TOUCH = 1e-3  # a row must be broken by more than this to be worth having


@dataclass(frozen=True, slots=True)
class Cover:
    """Of these kinds at most so many stand at one of the slots up to `until`."""

    kinds: tuple[int, ...]
    until: int
    most: int


def usable(grid: Grid) -> list[int]:
    """Up to each slot the most that minutes of whole classes can add up to, within the room."""
    minutes: Counter[int] = Counter()
    for kind in grid.kinds:
        if kind.minutes:
            minutes[kind.minutes] += len(kind.members)
    sums, rooms = [1] + [0] * len(grid.slots), grid.room
    most = max(rooms, default=0)
    for size, many in minutes.items():
        for _ in range(min(many, len(grid.slots), most // size)):
            for n in range(len(grid.slots), 0, -1):
                sums[n] |= (sums[n - 1] << size) & ((1 << (most + 1)) - 1)
    return [_largest(sums[: i + 2], room) for i, room in enumerate(rooms)]


def _largest(sums: Sequence[int], room: int) -> int:
    """The largest sum within the room; bit n of a number says that n minutes can be had."""
    within = 0
    for bits in sums:
        within |= bits & ((1 << (room + 1)) - 1)
    return within.bit_length() - 1


def broken_covers(
    grid: Grid, placed: Sequence[dict[int, int]], values: Sequence[float]
) -> Iterator[Cover]:
    """Covers that a solution breaks, one at most for each slot."""
    so_far: dict[int, float] = defaultdict(float)
    for i, (row, room) in enumerate(zip(placed, grid.room, strict=True)):
        for k, x in row.items():
            if grid.kinds[k].minutes and len(grid.kinds[k].members) == 1:
                so_far[k] += values[x]
        found = _cover(grid, so_far, room)
        if found:
            largest = max(grid.kinds[k].minutes for k in found)
            others = [k for k in so_far if k not in found and grid.kinds[k].minutes >= largest]
            cover = Cover((*found, *others), i, len(found) - 1)
            if sum(so_far[k] for k in cover.kinds) > cover.most + TOUCH:
                yield cover


def _cover(grid: Grid, so_far: Mapping[int, float], room: int) -> list[int]:
    """Kinds that together need more than the room, those that stand most by then; or none."""
    begun = [k for k, much in so_far.items() if much > TOUCH]
    begun.sort(key=lambda k: ((1 - so_far[k]) / grid.kinds[k].minutes, k))
    found: list[int] = []
    needs = 0
    for k in begun:
        if needs > room:
            break
        found.append(k)
        needs += grid.kinds[k].minutes
    if needs <= room:
        return []
    for k in sorted(found, key=lambda k: (so_far[k], k)):
        if needs - grid.kinds[k].minutes > room:
            found.remove(k)
            needs -= grid.kinds[k].minutes
    return found
