"""The steps by which a class is built: each takes a design and gives the next one. Pure.

ValueError with a sentence for a step that cannot be; places are (block, pattern, item) from 0.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any, TypeVar

from content.rules.design import Block, Design, Item, NotADesign, Pattern, design_from
from content.rules.exercises import Exercise

T = TypeVar("T")
GONE = "That part of the class is not there any more: look at it as it is now."


def _at(row: Sequence[T], place: int) -> T:
    if not 0 <= place < len(row):
        raise ValueError(GONE)
    return row[place]


def _with(row: Sequence[T], place: int, new: T) -> tuple[T, ...]:
    _at(row, place)
    return (*row[:place], new, *row[place + 1 :])


def _without(row: Sequence[T], place: int) -> tuple[T, ...]:
    _at(row, place)
    return (*row[:place], *row[place + 1 :])


def _put(row: Sequence[T], place: int, new: T) -> tuple[T, ...]:
    place = min(max(place, 0), len(row))
    return (*row[:place], new, *row[place:])


def _block(design: Design, b: int, change: Callable[[Block], Block]) -> Design:
    new = change(_at(design.blocks, b))
    return replace(design, blocks=_with(design.blocks, b, new))


def _pattern(design: Design, b: int, p: int, change: Callable[[Pattern], Pattern]) -> Design:
    def changed(block: Block) -> Block:
        new = change(_at(block.patterns, p))
        return replace(block, patterns=_with(block.patterns, p, new))

    return _block(design, b, changed)


def sound(design: Design) -> Design:
    """The same, read again as it is stored; ValueError with a sentence where it is not sound."""
    try:
        return design_from(design.stored)
    except NotADesign as wrong:
        raise ValueError(wrong.sentence) from None


def add_block(design: Design, kind: str) -> Design:
    """One more block at the end, with an empty pattern."""
    return sound(replace(design, blocks=(*design.blocks, Block(kind, "", (Pattern(()),)))))


def duplicate_block(design: Design, b: int) -> Design:
    """A block once more, right after it."""
    return sound(replace(design, blocks=_put(design.blocks, b + 1, _at(design.blocks, b))))


def remove_block(design: Design, b: int) -> Design:
    """Without a block."""
    return replace(design, blocks=_without(design.blocks, b))


def move_block(design: Design, b: int, by: int) -> Design:
    """A block so many places further down; up where less than 0."""
    block = _at(design.blocks, b)
    return replace(design, blocks=_put(_without(design.blocks, b), b + by, block))


def set_block(design: Design, b: int, **values: Any) -> Design:
    """Its kind, title, whether the last rest counts, seconds of change."""
    return sound(_block(design, b, lambda block: replace(block, **values)))


def add_pattern(design: Design, b: int) -> Design:
    """One more pattern at the end of a block, with the seconds of the one before."""

    def more(block: Block) -> Block:
        last = block.patterns[-1] if block.patterns else Pattern(())
        return replace(block, patterns=(*block.patterns, replace(last, items=())))

    return sound(_block(design, b, more))


def remove_pattern(design: Design, b: int, p: int) -> Design:
    """Without a pattern."""
    return _block(design, b, lambda block: replace(block, patterns=_without(block.patterns, p)))


def set_pattern(design: Design, b: int, p: int, **values: Any) -> Design:
    """Its seconds of work and rest, its rounds and the rest between them."""
    return sound(_pattern(design, b, p, lambda one: replace(one, **values)))


def add_item(design: Design, b: int, p: int, item: Item, library: Mapping[str, Exercise]) -> Design:
    """An exercise, or talk, at the end of a pattern; its options are not shown yet."""
    if item.exercise and item.exercise not in library:
        raise ValueError("That exercise is not in the list.")
    return sound(_pattern(design, b, p, lambda one: replace(one, items=(*one.items, item))))


def remove_item(design: Design, b: int, p: int, i: int) -> Design:
    """Without an item."""
    return _pattern(design, b, p, lambda one: replace(one, items=_without(one.items, i)))


def move_item(design: Design, place: tuple[int, int, int], to: tuple[int, int, int]) -> Design:
    """An item to another place, as it is counted once the item is taken out."""
    b, p, i = place
    item = _at(_at(_at(design.blocks, b).patterns, p).items, i)
    without = remove_item(design, b, p, i)
    return sound(
        _pattern(
            without, to[0], to[1], lambda one: replace(one, items=_put(one.items, to[2], item))
        )
    )


def set_item(
    design: Design, place: tuple[int, int, int], library: Mapping[str, Exercise], **values: Any
) -> Design:
    """Its seconds, sides, what it is called, and which easier options are shown."""
    b, p, i = place

    def changed(one: Pattern) -> Pattern:
        item = replace(_at(one.items, i), **values)
        known = library.get(item.exercise)
        if known and (other := [code for code in item.shows if code not in known.easier]):
            raise ValueError(f"“{other[0]}” is no easier option of {known.name}.")
        return replace(one, items=_with(one.items, i, item))

    return sound(_pattern(design, b, p, changed))


def set_class(design: Design, **values: Any) -> Design:
    """The length and the kit that it is announced with, and whether nothing comes twice."""
    return sound(replace(design, **values))
