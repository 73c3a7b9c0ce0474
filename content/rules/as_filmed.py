"""What was really filmed of a class, from its plan and what the coach says of each item. Pure."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

from content.rules.checks import places
from content.rules.design import AS_EXERCISE, Block, Design, Item, Pattern

NOTHING = "Something must be in the film: tick what is."


@dataclass(frozen=True, slots=True)
class Told:
    """What is said of the film, by place as "block.pattern.item".

    `taken`: what is in it; `shown`: "place:code" of each option shown or cued; `instead`: the code
    of the exercise that was done in the place of the planned one.
    """

    taken: Collection[str]
    shown: Collection[str] = ()
    instead: Mapping[str, str] | None = None


def place_of(where: tuple[int, int, int]) -> str:
    """A place as text: "0.1.2"."""
    return ".".join(map(str, where))


def as_filmed(planned: Design, told: Told) -> Design:
    """The plan without what is not in the film, with what was done and shown in it.

    ValueError where nothing is left. Options that the plan does not show are left out: of another
    exercise done instead none is known to be shown.
    """
    items = {where: _item(place_of(where), item, told) for where, item in places(planned)}
    blocks = [
        replace(block, patterns=patterns)
        for b, block in enumerate(planned.blocks)
        if (patterns := tuple(_patterns(b, block, items)))
    ]
    if not blocks:
        raise ValueError(NOTHING)
    return replace(planned, blocks=tuple(blocks))


def _patterns(
    b: int, block: Block, items: Mapping[tuple[int, int, int], Item | None]
) -> list[Pattern]:
    found = []
    for p, pattern in enumerate(block.patterns):
        left = [items[b, p, i] for i in range(len(pattern.items))]
        if kept := tuple(one for one in left if one is not None):
            found.append(replace(pattern, items=kept))
    return found


def _item(place: str, item: Item, told: Told) -> Item | None:
    if place not in told.taken:
        return None
    other = (told.instead or {}).get(place, "")
    if other and other != item.exercise:
        return replace(item, exercise=other, label="", shows=(), sides=AS_EXERCISE)
    return replace(item, shows=tuple(c for c in item.shows if f"{place}:{c}" in told.shown))
