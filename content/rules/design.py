"""A class as it is designed: blocks of patterns of exercises, with seconds. Pure values.

Stored as JSON beside the class; `design_from` refuses what cannot be, naming where.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any

WARM_UP, MAIN, COOL_DOWN, FREE = "warm-up", "main", "cool-down", "free"
KINDS: dict[str, str] = {
    WARM_UP: "warm-up", MAIN: "main part", COOL_DOWN: "cool-down", FREE: "free",
}  # fmt: skip
AS_EXERCISE, TWO, ALTERNATING, ONE = "", "two", "alternating", "one"
SIDES: dict[str, str] = {
    AS_EXERCISE: "as the exercise is",
    TWO: "left, then right",
    ALTERNATING: "alternating in one interval",
    ONE: "no sides",
}
MOST_SECONDS = 3600  # of one interval
MOST_ROUNDS = 60
MOST_BLOCKS, MOST_PATTERNS, MOST_ITEMS = 20, 20, 60
LONGEST_LABEL = 80


@dataclass(frozen=True, slots=True)
class Item:
    """One exercise in a pattern; "" with a `label` is talk or a pause.

    `work`: its own seconds, None: the pattern's. `sides`: one of SIDES. `shows`: codes of its
    easier options that are shown or cued in the class.
    """

    exercise: str = ""
    label: str = ""
    work: int | None = None
    sides: str = AS_EXERCISE
    shows: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Pattern:
    """Items in turn, each `work` seconds then `rest`, so many `rounds`; `round_rest` between."""

    items: tuple[Item, ...]
    work: int = 45
    rest: int = 15
    rounds: int = 1
    round_rest: int = 0


@dataclass(frozen=True, slots=True)
class Block:
    """A part of a class. `last_rest`: whether the rest after its last set counts.

    Without it the rest is left out there, and before a rest between rounds. `change`: seconds
    between its patterns; `change_after`: seconds before the next block.
    """

    kind: str = MAIN
    title: str = ""
    patterns: tuple[Pattern, ...] = ()
    last_rest: bool = True
    change: int = 0
    change_after: int = 0

    @property
    def name(self) -> str:
        """What it is called."""
        return self.title or KINDS[self.kind].capitalize()


@dataclass(frozen=True, slots=True)
class Design:
    """A class. `promised`: the length it is announced with, seconds; None: none yet.

    `no_repeats`: it says that nothing comes twice. `kit`: what is announced that she needs.
    """

    blocks: tuple[Block, ...] = ()
    promised: int | None = None
    no_repeats: bool = False
    kit: tuple[str, ...] = ()

    @property
    def items(self) -> Iterator[Item]:
        """Every item in order, once, whatever the rounds."""
        for block in self.blocks:
            for pattern in block.patterns:
                yield from pattern.items

    @property
    def exercises(self) -> tuple[str, ...]:
        """The codes of its exercises in order, each once."""
        return tuple(dict.fromkeys(one.exercise for one in self.items if one.exercise))

    @property
    def stored(self) -> dict[str, Any]:
        """As JSON keeps it."""
        return asdict(self)


class NotADesign(ValueError):
    """What is not sound, with where it is: "blocks.0.patterns.1.work"."""

    def __init__(self, where: str, sentence: str) -> None:
        self.where, self.sentence = where, sentence
        super().__init__(f"{where}: {sentence}")


def design_from(stored: Mapping[str, Any]) -> Design:
    """From JSON; NotADesign for anything that is not sound, whatever its shape."""
    blocks = [
        _block(one, f"blocks.{n}") for n, one in enumerate(_list(stored, "blocks", "", MOST_BLOCKS))
    ]
    promised = stored.get("promised")
    if promised is not None:
        _whole(promised, "promised", 1, 4 * MOST_SECONDS)
    kit = _texts(stored.get("kit", ()), "kit")
    return Design(tuple(blocks), promised, _yes(stored, "no_repeats", "", default=False), kit)


def _block(row: Any, where: str) -> Block:
    _mapping(row, where)
    kind = row.get("kind", MAIN)
    if kind not in KINDS:
        raise NotADesign(f"{where}.kind", "Choose one of the kinds.")
    patterns = [
        _pattern(one, f"{where}.patterns.{n}")
        for n, one in enumerate(_list(row, "patterns", where, MOST_PATTERNS))
    ]
    return Block(
        kind,
        _text(row.get("title", ""), f"{where}.title"),
        tuple(patterns),
        _yes(row, "last_rest", where, default=True),
        _whole(row.get("change", 0), f"{where}.change", 0, MOST_SECONDS),
        _whole(row.get("change_after", 0), f"{where}.change_after", 0, MOST_SECONDS),
    )


def _pattern(row: Any, where: str) -> Pattern:
    _mapping(row, where)
    items = [
        _item(one, f"{where}.items.{n}")
        for n, one in enumerate(_list(row, "items", where, MOST_ITEMS))
    ]
    return Pattern(
        tuple(items),
        _whole(row.get("work", 45), f"{where}.work", 1, MOST_SECONDS),
        _whole(row.get("rest", 15), f"{where}.rest", 0, MOST_SECONDS),
        _whole(row.get("rounds", 1), f"{where}.rounds", 1, MOST_ROUNDS),
        _whole(row.get("round_rest", 0), f"{where}.round_rest", 0, MOST_SECONDS),
    )


def _item(row: Any, where: str) -> Item:
    _mapping(row, where)
    item = Item(
        _text(row.get("exercise", ""), f"{where}.exercise"),
        _text(row.get("label", ""), f"{where}.label"),
        row.get("work"),
        row.get("sides", AS_EXERCISE),
        _texts(row.get("shows", ()), f"{where}.shows"),
    )
    if item.work is not None:
        _whole(item.work, f"{where}.work", 1, MOST_SECONDS)
    if item.sides not in SIDES:
        raise NotADesign(f"{where}.sides", "Choose how the sides are done.")
    if not item.exercise and not item.label:
        raise NotADesign(f"{where}.label", "Name an exercise, or say what happens here.")
    return item


def _mapping(row: Any, where: str) -> None:
    if not isinstance(row, Mapping):
        raise NotADesign(where, "This part cannot be read.")


def _list(row: Mapping[str, Any], name: str, where: str, most: int) -> Sequence[Any]:
    found = row.get(name, ())
    place = f"{where}.{name}".strip(".")
    if not isinstance(found, list | tuple):
        raise NotADesign(place, "This part cannot be read.")
    if len(found) > most:
        raise NotADesign(place, f"At most {most}.")
    return found


def _whole(value: Any, where: str, least: int, most: int) -> int:
    if type(value) is not int or not least <= value <= most:
        raise NotADesign(where, f"A whole number from {least} to {most}.")
    return value


def _text(value: Any, where: str) -> str:
    if not isinstance(value, str) or len(value) > LONGEST_LABEL:
        raise NotADesign(where, f"At most {LONGEST_LABEL} letters.")
    return value.strip()


def _texts(values: Any, where: str) -> tuple[str, ...]:
    if not isinstance(values, list | tuple):
        raise NotADesign(where, "This part cannot be read.")
    return tuple(_text(one, where) for one in values)


def _yes(row: Mapping[str, Any], name: str, where: str, *, default: bool) -> bool:
    value = row.get(name, default)
    if not isinstance(value, bool):
        raise NotADesign(f"{where}.{name}".strip("."), "Yes or no.")
    return value


def with_exercises(design: Design, instead: Mapping[tuple[int, int, int], Item]) -> Design:
    """The same with other items at (block, pattern, item); the seconds stay theirs."""
    blocks = []
    for b, block in enumerate(design.blocks):
        patterns = [
            replace(
                pattern,
                items=tuple(instead.get((b, p, i), item) for i, item in enumerate(pattern.items)),
            )
            for p, pattern in enumerate(block.patterns)
        ]
        blocks.append(replace(block, patterns=tuple(patterns)))
    return replace(design, blocks=tuple(blocks))
