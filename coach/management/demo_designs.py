"""How the classes of the demo are designed: composed from the table of exercises.

Each holds what has nothing against it at the stages it is made for, as long as it is announced.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache, partial
from itertools import cycle, islice

from coach.practice import audit
from coach.scheduling.values import Stage
from content.actions.design import change_design
from content.models import FitnessClass, State
from content.rules.design import COOL_DOWN, MAIN, WARM_UP, Block, Design, Item, Pattern
from content.rules.exercises import INTENSITIES, Exercise, exercises
from content.rules.suitability import Verdict, judge_stage

_LIGHT = ("light",)
LIGHT_EFFORT, MODERATE_EFFORT = 3, 6
_WARM = ("mobility", "breath", "full body")
_DOWN = ("recovery", "mobility", "breath")


def fill() -> None:
    """Every class that is more than an idea has its design."""
    for n, item in enumerate(FitnessClass.objects.exclude(state=State.IDEA).order_by("pk")):
        change_design(
            by=audit.SYSTEM, item=item, step=partial(_instead, composed(item, n)), what="designed"
        )


def _instead(new: Design, _: Design) -> Design:
    return new


def composed(item: FitnessClass, n: int) -> Design:
    """A warm-up, a main part of its focus and a cool-down; the length is the one announced."""
    stages = [Stage(code) for code in item.stages] or [Stage.WEEKS_52_ON]
    total = item.minutes * 60
    warm, down = (300, 300) if total >= 1200 else (total // 5 // 30 * 30, total // 5 // 30 * 30)
    main = total - warm - down
    blocks = (
        Block(WARM_UP, "", (_pattern(_of(_WARM, stages, n, _LIGHT), warm, 30, 0),)),
        Block(MAIN, "", (_pattern(_of((item.focus,), stages, n, _up_to(item)), main, 45, 15),)),
        Block(COOL_DOWN, "", (_pattern(_of(_DOWN, stages, n, _LIGHT), down, 60, 0),)),
    )
    design = Design(blocks, total, kit=_kit(blocks))
    return design


def _up_to(item: FitnessClass) -> tuple[str, ...]:
    """The efforts of its exercises, by the effort it is announced with."""
    if item.effort is None or item.effort > MODERATE_EFFORT:
        return INTENSITIES
    return INTENSITIES[:2] if item.effort > LIGHT_EFFORT else _LIGHT


def _kit(blocks: Sequence[Block]) -> tuple[str, ...]:
    codes = [item.exercise for block in blocks for one in block.patterns for item in one.items]
    found = [kit for code in codes if code for kit in exercises()[code].kit]
    return tuple(dict.fromkeys(found))


def _pattern(row: Iterator[Exercise], seconds: int, work: int, rest: int) -> Pattern:
    """As many as fill the seconds to the second: the last takes what is left."""
    items: list[Item] = []
    left = seconds
    for one in row:
        twice = 2 if one.sides == "each" else 1
        takes = twice * (work + rest)
        if takes > left:
            continue
        items.append(Item(one.code, shows=one.easier[:1]))
        left -= takes
        if left < work + rest:
            break
    if left > 0:
        items.append(Item("", "Talk and drink", left - rest if left > rest else left))
    return Pattern(tuple(items), work, rest if left == 0 or left > rest else 0)


def _of(
    focuses: Sequence[str], stages: Sequence[Stage], n: int, efforts: Sequence[str]
) -> Iterator[Exercise]:
    """Exercises of some focuses that suit every stage, beginning at another one in each class."""
    passing = [one for one in exercises().values() if _fits(one.code, stages)]
    found = [one for one in passing if one.focus in focuses and one.intensity in efforts] or passing
    start = n * 5 % len(found)
    return islice(cycle([*found[start:], *found[:start]]), 200)


def _fits(code: str, stages: Sequence[Stage]) -> bool:
    return all(_verdict(code, stage) is Verdict.FINE for stage in stages)


@cache
def _verdict(code: str, stage: Stage) -> Verdict:
    return judge_stage(code, stage, exercises()).verdict
