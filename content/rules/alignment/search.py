"""Starts for the targets of a class: sought twice, the second time at the film's own pace."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from statistics import median

from content.rules.alignment.evidence import Scales, Weighed
from content.rules.alignment.path import Course, Pace
from content.rules.alignment.spotted import Heard
from content.rules.alignment.targets import Target
from content.rules.captions import Cue

ANY_PACE = Pace(1.13, 0.12)
OWN_PACE_STRAYS = 0.06
QUICKEST, SLOWEST = 0.85, 1.45  # a pace outside of these is none
FEWEST = 3  # stretches that tell a pace
HEARD = 0.45  # named or cued less than this, an interval counts as not found
CUED = 0.8  # a cue may be said anywhere: it tells less than a name
Start = tuple[int | None, float]


def starts(
    targets: Sequence[Target], cues: Sequence[Cue], fixed: Mapping[str, int], end: int
) -> list[Start]:
    """For each target when it began, in milliseconds, None: not found; and the confidence."""
    phrases = [each for one in targets for each in (*one.phrases, *one.cues, *one.turn)]
    last = max([end, *(cue.end for cue in cues), *fixed.values()])
    seconds = (last + _longest(targets)) // 1000 + 2
    scales = Scales(Heard(cues, phrases), targets, seconds)
    weighed = [scales.weigh(one) for one in targets]
    by_index = _in_order({
        n: fixed[one.key] // 1000 for n, one in enumerate(targets) if one.key in fixed
    })  # fmt: skip
    odds = [one.odds for one in weighed]
    first = Course(targets, odds, ANY_PACE, by_index, swaps=False).best()
    pace = _pace(targets, weighed, first)
    second = Course(targets, odds, pace, by_index, swaps=True).best()
    return _told(targets, weighed, second)


def _longest(targets: Sequence[Target]) -> int:
    """The longest stretch that an interval may take, so that the last one ends as well."""
    gaps = (two.planned_ms - one.planned_ms for one, two in pairwise(targets))
    return round(SLOWEST * max([*gaps, *(one.length_ms for one in targets)], default=0))


def _in_order(fixed: Mapping[int, int]) -> dict[int, int]:
    """Those that were put right in the order of the plan: another order has no course."""
    kept: dict[int, int] = {}
    for n, second in sorted(fixed.items()):
        if not kept or second > max(kept.values()):
            kept[n] = second
    return kept


def _pace(
    targets: Sequence[Target], weighed: Sequence[Weighed], found: Sequence[int | None]
) -> Pace:
    """Her own pace by the stretches between two that were named."""
    ratios = [one for one in _ratios(targets, weighed, found) if QUICKEST <= one <= SLOWEST]
    return Pace(median(ratios), OWN_PACE_STRAYS) if len(ratios) >= FEWEST else ANY_PACE


def _ratios(
    targets: Sequence[Target], weighed: Sequence[Weighed], found: Sequence[int | None]
) -> Iterator[float]:
    sure = [
        None if at is None or one.named[at] < HEARD else at
        for one, at in zip(weighed, found, strict=True)
    ]
    rows = zip(targets, sure, strict=True)
    for (one, begun), (two, after) in pairwise(rows):
        if begun is not None and after is not None:
            yield (after - begun) * 1000 / (two.planned_ms - one.planned_ms)


def _told(
    targets: Sequence[Target], weighed: Sequence[Weighed], seconds: Sequence[int | None]
) -> list[Start]:
    """Only what was heard counts as found; a turn to the other side only after the first side."""
    found: list[Start] = []
    first = ""
    for target, one, at in zip(targets, weighed, seconds, strict=True):
        sure = 0.0 if at is None else _sure(one, at, turned=target.set == first)
        if at is None or sure < HEARD:
            found.append((None, 0.0))
        else:
            found.append((at * 1000, round(min(sure, 1.0), 2)))
            first = target.set
    return found


def _sure(one: Weighed, at: int, *, turned: bool) -> float:
    """How well an interval that begins at this second was heard."""
    heard = max(float(one.named[at]), CUED * float(one.cued[at]))
    return max(heard, float(one.turned[at])) if turned else heard
