"""A class rewritten for somebody: the nearest exercises that have nothing against them. Pure.

Offered as changes to accept one by one; the time line keeps its length.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

from coach.scheduling.values import Finding
from content.rules.checks import places
from content.rules.design import ALTERNATING, AS_EXERCISE, ONE, TWO, Design, Item, with_exercises
from content.rules.exercises import Exercise
from content.rules.suitability.judging import Judge
from content.rules.suitability.values import Judged, Verdict
from content.rules.timeline import EACH

_INTENSITY = {"light": 0, "moderate": 1, "vigorous": 2}
# How far two exercises are from each other: weights of our own, the focus first.
_FOCUS, _POSITION, _KIT, _STANCE, _EFFORT, _SIDES = 40, 20, 15, 4, 5, 6
_EASIER_BONUS = 25  # an option that the coach has named herself is nearest


@dataclass(frozen=True, slots=True)
class Change:
    """One item that would be another: where, what for what, and why. `new` None: none passes."""

    where: tuple[int, int, int]
    old: Item
    new: Item | None
    reasons: tuple[Finding, ...]
    shows_instead: str = ""

    @property
    def key(self) -> str:
        """Its place as text: "0.1.2"."""
        return ".".join(map(str, self.where))


def changes(design: Design, judge: Judge) -> list[Change]:
    """What to change so that the class suits, in the order of the class.

    Nothing that is fine is touched, nor what has its option shown; an exercise of the class is
    not put in twice where another passes.
    """
    used = set(design.exercises)
    found: list[Change] = []
    for where, item in places(design):
        judged = judge.of(item.exercise) if item.exercise else None
        if judged is None or _stays(judged, item, judge):
            continue
        code = _nearest(item.exercise, judge, used)
        new = _in_place(item, design, where, judge.library, code) if code else None
        used.add(code)
        found.append(Change(where, item, new, judged.reasons, judged.option))
    return found


def _stays(judged: Judged, item: Item, judge: Judge) -> bool:
    if judged.verdict is Verdict.FINE:
        return True
    return judged.verdict is Verdict.EASIER and any(judge.fine(one) for one in item.shows)


def _nearest(code: str, judge: Judge, used: Collection[str]) -> str:
    """The nearest exercise that passes and is not in the class yet; one that is, if need be."""
    old = judge.library.get(code)
    passing = [one for one in judge.library.values() if one.code != code and judge.fine(one.code)]
    if old is None or not passing:
        return ""
    same = [one for one in passing if one.focus == old.focus] or passing
    fresh = [one for one in same if one.code not in used] or same
    return min(fresh, key=lambda one: (distance(old, one), one.name)).code


def distance(old: Exercise, new: Exercise) -> int:
    """How far one exercise is from another: 0 is the same in all that counts."""
    more_kit = len(set(new.kit) - set(old.kit))
    far = _FOCUS * (old.focus != new.focus) + _POSITION * (old.position != new.position)
    far += (
        _KIT * more_kit + _STANCE * (old.stance != new.stance) + _SIDES * (old.sides != new.sides)
    )
    far += _EFFORT * abs(_INTENSITY[old.intensity] - _INTENSITY[new.intensity])
    return far - (_EASIER_BONUS if new.code in old.easier else 0)


def _in_place(
    item: Item, design: Design, where: tuple[int, int, int], library: Mapping[str, Exercise],
    code: str,
) -> Item:  # fmt: skip
    """The item with another exercise, as long as before: sides are made to fit the seconds."""
    block, pattern, _ = where
    row = design.blocks[block].patterns[pattern]
    work = row.work if item.work is None else item.work
    before = _sides(item, library.get(item.exercise))
    after = _sides(replace(item, exercise=code, sides=AS_EXERCISE), library[code])
    new = replace(item, exercise=code, shows=(), sides=AS_EXERCISE)
    if before == TWO and after != TWO:
        return replace(new, work=2 * work + row.rest, sides=after)
    if before != TWO and after == TWO:
        return replace(new, sides=ALTERNATING)
    return new


def _sides(item: Item, known: Exercise | None) -> str:
    if item.sides != AS_EXERCISE:
        return item.sides
    return {EACH: TWO, ALTERNATING: ALTERNATING}.get(known.sides if known else "", ONE)


def with_changes(design: Design, accepted: Collection[Change]) -> Design:
    """The class with the changes that were accepted."""
    return with_exercises(design, {one.where: one.new for one in accepted if one.new})
