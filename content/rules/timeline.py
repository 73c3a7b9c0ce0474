"""A designed class to the second: every interval with its start and end. Pure.

Seconds are whole numbers from the start of the class; an end is the next one's start.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from math import gcd
from typing import Protocol

from content.rules.design import (
    ALTERNATING,
    AS_EXERCISE,
    KINDS,
    TWO,
    Block,
    Design,
    Item,
    Pattern,
)

WORK, REST, ROUND_REST, CHANGE = "work", "rest", "round rest", "change"
LEFT, RIGHT = "left", "right"
EACH = "each"


class Sided(Protocol):
    """What the time line asks of an exercise."""

    @property
    def sides(self) -> str:
        """ "one", "each" or "alternating"."""

    @property
    def name(self) -> str:
        """What it is called."""


@dataclass(frozen=True, slots=True)
class Interval:
    """Seconds of one thing. `kind`: "work", "rest", "round rest" or "change".

    `exercise` and `label` of the item at (`block`, `pattern`, `item`) in `round` (from 1);
    `side`: "left", "right", "alternating" or "". A rest belongs to the item before it.
    """

    start: int
    end: int
    kind: str
    exercise: str = ""
    label: str = ""
    side: str = ""
    block: int = 0
    pattern: int = 0
    item: int = 0
    round: int = 1

    @property
    def seconds(self) -> int:
        """How long it is."""
        return self.end - self.start


@dataclass(frozen=True, slots=True)
class Sum:
    """Seconds of a block or of the whole class."""

    name: str
    start: int
    seconds: int
    work: int
    rest: int

    @property
    def ratio(self) -> str:
        """Work to rest, reduced: "3:1"; "" where there is no rest or no work."""
        return ratio(self.work, self.rest)


@dataclass(frozen=True, slots=True)
class TimeLine:
    """All intervals in order, and the sums of each block and of the whole."""

    intervals: tuple[Interval, ...]
    blocks: tuple[Sum, ...]
    whole: Sum

    @property
    def seconds(self) -> int:
        """The length of the class."""
        return self.whole.seconds

    @property
    def work(self) -> Iterator[Interval]:
        """The intervals of work alone."""
        return (one for one in self.intervals if one.kind == WORK)


def timeline(design: Design, library: Mapping[str, Sided]) -> TimeLine:
    """A class as intervals. An exercise that the library does not know has no sides.

    The rest after a set belongs to it; `Block.last_rest` says whether the last one counts
    (facts of the trade differ, both totals are in use). Sides come as two intervals, each with
    its rest, where the exercise is done on each.
    """
    found: list[Interval] = []
    sums: list[Sum] = []
    now = 0
    for n, block in enumerate(design.blocks):
        mine = [replace(one, block=n) for one in _block(block, library, now)]
        end = mine[-1].end if mine else now
        sums.append(_sum(block.name, now, end, mine))
        found += mine
        now = end
        if block.change_after and n + 1 < len(design.blocks):
            found.append(Interval(now, now + block.change_after, CHANGE, block=n))
            now += block.change_after
    return TimeLine(tuple(found), tuple(sums), _sum("The whole class", 0, now, found))


def _sum(name: str, start: int, end: int, intervals: list[Interval]) -> Sum:
    work = sum(one.seconds for one in intervals if one.kind == WORK)
    rest = sum(one.seconds for one in intervals if one.kind in {REST, ROUND_REST})
    return Sum(name, start, end - start, work, rest)


def _block(block: Block, library: Mapping[str, Sided], now: int) -> Iterator[Interval]:
    for p, pattern in enumerate(block.patterns):
        last = p + 1 == len(block.patterns)
        for one in _pattern(pattern, library, now, drop_last=last and not block.last_rest,
                            last_rest=block.last_rest):  # fmt: skip
            yield replace(one, pattern=p)
            now = one.end
        if block.change and not last:
            yield Interval(now, now + block.change, CHANGE, pattern=p)
            now += block.change


def _pattern(
    pattern: Pattern, library: Mapping[str, Sided], now: int, *, drop_last: bool, last_rest: bool
) -> Iterator[Interval]:
    sets = [
        (i, item, side) for i, item in enumerate(pattern.items) for side in _sides(item, library)
    ]
    for turn in range(1, pattern.rounds + 1):
        final = turn == pattern.rounds
        for s, (i, item, side) in enumerate(sets):
            end = now + (pattern.work if item.work is None else item.work)
            told = Interval(now, end, WORK, item.exercise, item.label, side, item=i, round=turn)
            yield told
            now = end
            closes = s + 1 == len(sets)
            dropped = closes and (
                (final and drop_last) or (not final and pattern.round_rest and not last_rest)
            )
            if pattern.rest and not dropped:
                yield replace(told, start=now, end=now + pattern.rest, kind=REST)
                now += pattern.rest
        if pattern.round_rest and not final and sets:
            yield Interval(now, now + pattern.round_rest, ROUND_REST, round=turn)
            now += pattern.round_rest


def _sides(item: Item, library: Mapping[str, Sided]) -> tuple[str, ...]:
    """The intervals one item makes, by side."""
    wanted = item.sides
    if wanted == AS_EXERCISE:
        known = library.get(item.exercise)
        wanted = {EACH: TWO, ALTERNATING: ALTERNATING}.get(known.sides if known else "", "")
    if wanted == TWO:
        return (LEFT, RIGHT)
    return (ALTERNATING,) if wanted == ALTERNATING else ("",)


def ratio(work: int, rest: int) -> str:
    """Seconds of work to rest, reduced by their greatest common divisor: 40 and 20 are "2:1"."""
    if not work or not rest:
        return ""
    by = gcd(work, rest)
    return f"{work // by}:{rest // by}"


def clock(seconds: int) -> str:
    """ "1:59", "59:59", "1:00:00": never 60 in the seconds."""
    minutes, rest = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{rest:02}" if hours else f"{minutes}:{rest:02}"


def block_name(kind: str) -> str:
    """The word for a kind of block."""
    return KINDS[kind]
