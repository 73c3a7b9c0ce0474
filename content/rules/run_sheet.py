"""What stands on the run sheet that a class is filmed from. Pure values; seconds throughout."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from content.rules.design import Design
from content.rules.exercises import KIT, Exercise
from content.rules.interval_words import name_of, options_of, side_of
from content.rules.timeline import REST, RIGHT, WORK, Interval, Sum, TimeLine, clock


@dataclass(frozen=True, slots=True)
class Row:
    """One interval of work with the rest after it, or a pause by itself (`pause`).

    `again`: the other side of the row before. `round`: "round 2 of 3" where one begins. `cues`,
    `options` are said where an exercise comes for the first time in its pattern, `kit` where it is
    other than before.
    """

    at: int
    seconds: int
    name: str
    side: str = ""
    rest: int = 0
    round: str = ""
    cues: tuple[str, ...] = ()
    options: tuple[str, ...] = ()
    kit: tuple[str, ...] = ()
    again: bool = False
    pause: bool = False


@dataclass(frozen=True, slots=True)
class Part:
    """A block with its sums and its rows."""

    told: Sum
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class RunSheet:
    """A class to be filmed. `promised`: the announced length, None: none yet.

    `kit`: what it needs, in words; `unannounced`: what of that is not announced.
    """

    title: str
    day: date
    seconds: int
    promised: int | None
    kit: tuple[str, ...]
    unannounced: tuple[str, ...]
    parts: tuple[Part, ...]


def run_sheet(
    title: str, day: date, design: Design, line: TimeLine, library: Mapping[str, Exercise]
) -> RunSheet:
    """The sheet of a class; `day`: the day it is printed for."""
    parts = tuple(
        Part(told, tuple(_rows(n, design, line, library))) for n, told in enumerate(line.blocks)
    )
    needed = _needed(design, library)
    kit = tuple(dict.fromkeys((*design.kit, *needed)))
    missing = tuple(code for code in needed if code not in design.kit)
    return RunSheet(
        title, day, line.seconds, design.promised, _in_words(kit), _in_words(missing), parts
    )


def promise_words(sheet: RunSheet) -> str:
    """How the length stands to what is announced: "announced 20:00, this is 0:30 longer"."""
    if sheet.promised is None:
        return "no length announced"
    over = sheet.seconds - sheet.promised
    if over == 0:
        return "as announced"
    how = f"{clock(abs(over))} {'longer' if over > 0 else 'shorter'}"
    return f"announced {clock(sheet.promised)}, this is {how}"


def sums_words(told: Sum) -> str:
    """ "5:00 · work 3:45, rest 1:15 (3:1)"."""
    if not told.rest:
        return clock(told.seconds)
    ratio = f" ({told.ratio})" if told.ratio else ""
    return f"{clock(told.seconds)} · work {clock(told.work)}, rest {clock(told.rest)}{ratio}"


def _rows(
    block: int, design: Design, line: TimeLine, library: Mapping[str, Exercise]
) -> Iterator[Row]:
    mine = [one for one in line.intervals if one.block == block]
    held: tuple[str, ...] = ()
    for n, one in enumerate(mine):
        if one.kind == WORK:
            row = _row(one, mine[n + 1 : n + 2], design, library)
            yield replace(row, kit=()) if row.kit == held else row
            held = row.kit or held
        elif one.kind != REST:
            yield Row(one.start, one.seconds, name_of(one, library), pause=True)


def _row(
    one: Interval, after: Sequence[Interval], design: Design, library: Mapping[str, Exercise]
) -> Row:
    rest = after[0].seconds if after and after[0].kind == REST else 0
    again = one.side == RIGHT
    new = not again and one.round == 1
    known = library.get(one.exercise) if new else None
    rounds = design.blocks[one.block].patterns[one.pattern].rounds
    first = one.item == 0 and not again
    return Row(
        one.start, one.seconds, name_of(one, library), side_of(one), rest,
        f"round {one.round} of {rounds}" if rounds > 1 and first else "",
        known.cues if known else (),
        options_of(one, design, library) if new else (),
        _in_words(known.kit) if known else (),
        again,
    )  # fmt: skip


def _needed(design: Design, library: Mapping[str, Exercise]) -> tuple[str, ...]:
    """The kit of every exercise and of every option shown, each once."""
    codes = [code for item in design.items for code in (item.exercise, *item.shows)]
    kit = [part for code in codes if code in library for part in library[code].kit]
    return tuple(dict.fromkeys(kit))


def _in_words(kit: Sequence[str]) -> tuple[str, ...]:
    return tuple(KIT.get(code, code) for code in kit)
