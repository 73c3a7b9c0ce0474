"""A small class of invented exercises, for what is filmed from it."""

from __future__ import annotations

from content.rules.design import COOL_DOWN, MAIN, WARM_UP, Block, Design, Item, Pattern
from content.rules.exercises import Exercise

LIBRARY = {
    one.code: one
    for one in (
        Exercise("arm-swing", "Arm swing", cues=("Let them hang",)),
        Exercise(
            "wall-press", "Wall press", kit=("wall",), cues=("Ribs down", "Press away", "Breathe"),
            easier=("arm-swing",),
        ),
        Exercise("side-kick", "Side kick", sides="each", kit=("chair", "mat"), cues=("Hips level",),
                 easier=("toe-tap", "arm-swing")),
        Exercise("toe-tap", "Toe tap", sides="alternating", kit=("mat",), cues=("Slow",)),
    )
}  # fmt: skip
_WARM = Pattern((Item("arm-swing"), Item("", "Talk")), 30, 0)
_SETS = (Item("wall-press", shows=("arm-swing",)), Item("side-kick", shows=("toe-tap",)))
CLASS = Design(
    (
        Block(WARM_UP, "", (_WARM,), change_after=5),
        Block(MAIN, "", (Pattern(_SETS, 40, 20, rounds=2, round_rest=30),), last_rest=False),
        Block(COOL_DOWN, "Settle", (Pattern((Item("toe-tap"),), 60, 0),)),
    ),
    promised=480,
    kit=("wall",),
)
"""The intervals by hand: 0 swing, 30 talk, 60 change, 65 press, 105 rest, 125 kick left, 165 rest,
185 kick right, 225 rest between rounds, 255 press, 295 rest, 315 left, 355 rest, 375 right, 415
toe tap, 475 the end."""


def many(seconds: int, work: int = 45, rest: int = 15) -> Design:
    """A class as long as that whose main part is of equal sets, between five minutes each."""
    row = ("wall-press", "toe-tap", "arm-swing")
    count = (seconds - 600) // (work + rest)
    items = tuple(
        Item(row[n % 3], shows=("arm-swing",) if n % 3 == 0 else ()) for n in range(count)
    )
    ends = tuple(Item("arm-swing") for _ in range(10))
    return Design(
        (
            Block(WARM_UP, "", (Pattern(ends, 30, 0),)),
            Block(MAIN, "", (Pattern(items, work, rest),)),
            Block(COOL_DOWN, "", (Pattern(ends[:5], 60, 0),)),
        ),
        promised=seconds,
        kit=("wall", "mat"),
    )
