"""What to look at again in a designed class, with what to do. Pure.

Thresholds are data (design_checks.toml): common practice, no source.
"""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path

from content.rules.design import COOL_DOWN, ONE, WARM_UP, Design, Item
from content.rules.exercises import Exercise
from content.rules.timeline import EACH, Interval, TimeLine, clock

_FILE = Path(__file__).parent.parent / "data" / "design_checks.toml"
SOURCE = "common practice"
UPRIGHT = frozenset({"standing"})
SEATED = frozenset({"seated"})


@dataclass(frozen=True, slots=True)
class Check:
    """One thing found. `where`: (block, pattern, item), None: the whole class."""

    kind: str
    words: str
    to_do: str
    where: tuple[int, int, int] | None = None
    source: str = SOURCE


@cache
def _numbers() -> tuple[Mapping[str, int], Mapping[str, int]]:
    with _FILE.open("rb") as file:
        data = tomllib.load(file)
    for row in (*data["least"].items(), *data["most"].items()):
        if type(row[1]) is not int or row[1] < 0:
            raise ValueError(f"design_checks.toml: {row[0]!r} is a whole number")
    return data["least"], data["most"]


def checks(design: Design, line: TimeLine, library: Mapping[str, Exercise]) -> list[Check]:
    """Everything found, in the order of importance: what is missing first."""
    work = [(one, library[one.exercise]) for one in line.work if one.exercise in library]
    return [
        *_unknown(design, library),
        *_empty(design),
        *_impact(design, line, work),
        *_sides(design, library),
        *_flat(line, library),
        *_cool_down(design, line),
        *_repeats(design, library),
        *_levels(work),
        *_length(design, line),
        *_kit(design, library),
    ]


def places(design: Design) -> Iterator[tuple[tuple[int, int, int], Item]]:
    """Every item with its place."""
    for b, block in enumerate(design.blocks):
        for p, pattern in enumerate(block.patterns):
            for i, item in enumerate(pattern.items):
                yield (b, p, i), item


def _unknown(design: Design, library: Mapping[str, Exercise]) -> Iterator[Check]:
    for where, item in places(design):
        if item.exercise and item.exercise not in library:
            yield Check(
                "unknown", f"“{item.exercise}” is not in the list of exercises any more.",
                "Choose another: nothing is known of whom it suits.", where,
            )  # fmt: skip


def _empty(design: Design) -> Iterator[Check]:
    if not any(True for _ in design.items):
        yield Check("empty", "There is nothing in the class yet.", "Add an exercise.")
    for b, block in enumerate(design.blocks):
        if design.blocks and not any(pattern.items for pattern in block.patterns):
            yield Check("empty", f"{block.name} is empty.", "Fill it or take it out.", (b, 0, 0))


def _impact(
    design: Design, line: TimeLine, work: list[tuple[Interval, Exercise]]
) -> Iterator[Check]:
    first = next((one for one, exercise in work if exercise.impact != "none"), None)
    if first is None:
        return
    warm = sum(
        one.seconds for one in line.intervals
        if one.end <= first.start and design.blocks[one.block].kind == WARM_UP
    )  # fmt: skip
    least = _numbers()[0]["warm_up_before_impact"]
    if warm < least:
        yield Check(
            "warm-up",
            f"Impact comes at {clock(first.start)} after {clock(warm)} of warm-up.",
            f"Warm up for {clock(least)} before it, or take an option without impact.",
            (first.block, first.pattern, first.item),
        )


def _sides(design: Design, library: Mapping[str, Exercise]) -> Iterator[Check]:
    for where, item in places(design):
        known = library.get(item.exercise)
        if known and known.sides == EACH and item.sides == ONE:
            yield Check(
                "side", f"{known.name} is done on one side only.",
                "Let it come left, then right.", where,
            )  # fmt: skip


def _flat(line: TimeLine, library: Mapping[str, Exercise]) -> Iterator[Check]:
    most = _numbers()[1]["flat_spell"]
    begin: Interval | None = None
    for one in (*line.intervals, None):
        known = library.get(one.exercise) if one and one.exercise else None
        if one and known and known.lying_flat:
            begin = begin or one
            continue
        end = one.start if one else line.seconds
        if begin and end - begin.start > most:
            yield Check(
                "flat", f"Lying flat for {clock(end - begin.start)} from {clock(begin.start)}.",
                "Bring something on the side or on all fours in between.",
                (begin.block, begin.pattern, begin.item),
            )  # fmt: skip
        begin = None


def _cool_down(design: Design, line: TimeLine) -> Iterator[Check]:
    if not line.seconds:
        return
    least = _numbers()[0]
    wanted = least["cool_down" if line.seconds >= least["long_class"] else "short_cool_down"]
    down = sum(
        one.seconds for block, one in zip(design.blocks, line.blocks, strict=True)
        if block.kind == COOL_DOWN
    )  # fmt: skip
    if down < wanted:
        words = f"The cool-down is {clock(down)}." if down else "There is no cool-down."
        yield Check("cool-down", words, f"Give it {clock(wanted)}.")


def _repeats(design: Design, library: Mapping[str, Exercise]) -> Iterator[Check]:
    if not design.no_repeats:
        return
    counted: Counter[str] = Counter()
    for block in design.blocks:
        for pattern in block.patterns:
            for item in pattern.items:
                counted[item.exercise] += pattern.rounds
    for code, times in counted.items():
        if code and times > 1:
            name = library[code].name if code in library else code
            yield Check(
                "repeat", f"{name} comes {times} times in a class without repeats.",
                "Put another in its place, or don’t announce it as without repeats.",
            )  # fmt: skip


def _level(exercise: Exercise) -> str:
    if exercise.position in UPRIGHT:
        return "standing"
    return "seated" if exercise.position in SEATED else "floor"


def _levels(work: list[tuple[Interval, Exercise]]) -> Iterator[Check]:
    levels = [level for _, one in work if (level := _level(one)) != "seated"]
    changes = sum(one != two for one, two in pairwise(levels))
    if changes > _numbers()[1]["level_changes"]:
        yield Check(
            "levels", f"Up from the floor or down to it {changes} times.",
            "Gather what is done standing and what is done on the floor.",
        )  # fmt: skip


def _length(design: Design, line: TimeLine) -> Iterator[Check]:
    if design.promised is None:
        return
    off = line.seconds - design.promised
    if abs(off) > _numbers()[1]["off_promise"]:
        longer = "longer" if off > 0 else "shorter"
        yield Check(
            "length",
            f"{clock(line.seconds)} is {clock(abs(off))} {longer} than the "
            f"{clock(design.promised)} announced.",
            "Change the seconds, or what is announced.",
        )


def _kit(design: Design, library: Mapping[str, Exercise]) -> Iterator[Check]:
    for where, item in places(design):
        known = library.get(item.exercise)
        missing = [one for one in known.kit if one not in design.kit] if known else []
        if known and missing:
            yield Check(
                "kit", f"{known.name} asks for {', '.join(missing)}, which is not announced.",
                "Announce it, or say what to use instead.", where,
            )  # fmt: skip
