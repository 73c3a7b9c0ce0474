"""What an interval is called on a run sheet, on the timer and in titles. Pure."""

from __future__ import annotations

from collections.abc import Mapping

from content.rules.design import ALTERNATING, Design
from content.rules.timeline import CHANGE, REST, ROUND_REST, WORK, Interval, Sided

PAUSES: dict[str, str] = {
    REST: "Rest", ROUND_REST: "Rest between rounds", CHANGE: "Change over",
}  # fmt: skip
IN_TURN = "sides in turn"


def name_of(one: Interval, library: Mapping[str, Sided]) -> str:
    """The exercise, the label of an item without one, or which pause it is."""
    if one.kind != WORK:
        return PAUSES[one.kind]
    known = library.get(one.exercise)
    return known.name if known else one.label or one.exercise.replace("-", " ").capitalize()


def side_of(one: Interval) -> str:
    """ "left", "right", "sides in turn" or "": a pause has none."""
    return side_words(one.side) if one.kind == WORK else ""


def side_words(side: str) -> str:
    """A side in words: what alternates is done with sides in turn."""
    return IN_TURN if side == ALTERNATING else side


def title_of(one: Interval, library: Mapping[str, Sided]) -> str:
    """The name with its side: "Bird dog, left"."""
    name, side = name_of(one, library), side_of(one)
    return f"{name}, {side}" if side else name


def options_of(one: Interval, design: Design, library: Mapping[str, Sided]) -> tuple[str, ...]:
    """The easier options that are shown or cued with it, by name; of a pause none."""
    if one.kind != WORK:
        return ()
    item = design.blocks[one.block].patterns[one.pattern].items[one.item]
    return tuple(library[code].name for code in item.shows if code in library)


def easier(options: tuple[str, ...]) -> str:
    """ "Easier: Wall press-up or Incline press-up"; "" for none."""
    return f"Easier: {' or '.join(options)}" if options else ""
