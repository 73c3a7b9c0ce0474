"""What was heard for the start of each interval at every second of the film. Pure.

Everything is a natural logarithm of odds, so that it can be added up: how much likelier it is to be
heard where the interval begins than elsewhere. The weights are common practice, no source.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from content.rules.alignment.spotted import Heard, Phrase, Place
from content.rules.alignment.targets import Target

Line = NDArray[np.float64]  # a value for each second of the film

# A name is said from a little after the start to some seconds before it, in the rest.
_NAMED = ((-6.0, -2.0, 3.0, 12.0, 20.0), (0.0, 1.0, 1.0, 0.85, 0.0))
_GO = ((-2.5, -0.5, 1.5, 5.0), (0.0, 1.0, 1.0, 0.0))
NAME_HEARD, NAME_UNHEARD = 3.7, -1.6
TURN_UNHEARD = -0.9  # the second side is often only counted in
CUE_HEARD, CUE_UNHEARD = 1.6, -0.3
GO_HEARD = 1.0
LISTED, LIST_REACH = 0.35, 7  # how much a name in a list still tells; words on either side
LIST_REACH_MS = 20_000  # a list is said in one go: names in sparse captions are far apart in time
_CUE_AFTER = 2  # seconds after the start that the first cue comes at the earliest
_LONGER = 1.3  # an interval may last this much longer than planned


@dataclass(frozen=True, slots=True)
class Weighed:
    """Of one interval, by second: all `odds`; how well it was named, cued, turned to, 0 to 1."""

    odds: Line
    named: Line
    cued: Line
    turned: Line


class Scales:
    """Weighs each interval at every second of a film, once for all that are alike."""

    def __init__(self, heard: Heard, targets: Sequence[Target], seconds: int) -> None:
        self._heard, self._seconds = heard, seconds
        names = dict.fromkeys(one.phrases for one in targets)
        places = _without_lists([heard.places(one) for one in names])
        self._named: dict[tuple[Phrase, ...], Line] = {
            one: _either(row, seconds, _NAMED) for one, row in zip(names, places, strict=True)
        }
        self._go = _most(heard.goes(), seconds, _GO)

    def weigh(self, target: Target) -> Weighed:
        """What was heard for each second as its start."""
        named, turned = self._of(target.phrases), self._of(target.turn)
        cued = self._cued(target)
        unheard = TURN_UNHEARD if target.turn else NAME_UNHEARD
        odds = unheard + (NAME_HEARD - unheard) * (1 - (1 - named) * (1 - turned))
        odds += CUE_UNHEARD + (CUE_HEARD - CUE_UNHEARD) * cued
        return Weighed(odds + GO_HEARD * self._go, named, cued, turned)

    def _of(self, phrases: tuple[Phrase, ...]) -> Line:
        if phrases not in self._named:
            places = self._heard.places(phrases)
            self._named[phrases] = _either(places, self._seconds, _NAMED)
        return self._named[phrases]

    def _cued(self, target: Target) -> Line:
        """For each second whether a cue was said in the interval that begins there."""
        found = np.zeros(self._seconds)
        lasts = int(target.length_ms / 1000 * _LONGER)
        for place in self._heard.places(target.cues):
            end = max(place.at // 1000 - _CUE_AFTER + 1, 0)
            part = found[max(end - lasts, 0) : end]
            np.maximum(part, place.score, out=part)
        return found


def _without_lists(names: Sequence[Sequence[Place]]) -> list[list[Place]]:
    """The places of each name: among the names of others it tells what will come, not a start."""
    begins = sorted((place.word, n, place.at) for n, row in enumerate(names) for place in row)

    def listed(place: Place, mine: int) -> bool:
        low = bisect_left(begins, (place.word - LIST_REACH,))
        high = bisect_left(begins, (place.word + LIST_REACH + 1,))
        near = [one for one in begins[low:high] if abs(one[2] - place.at) <= LIST_REACH_MS]
        others = {word for word, n, _ in near if n != mine}
        return sum(abs(word - place.word) > 1 and word - 1 not in others for word in others) > 1

    return [
        [replace(one, score=LISTED * one.score) if listed(one, n) else one for one in row]
        for n, row in enumerate(names)
    ]


_Shape = tuple[tuple[float, ...], tuple[float, ...]]


def _either(places: Sequence[Place], seconds: int, shape: _Shape) -> Line:
    """How likely any of them speaks of a start at each second: said twice is surer."""
    not_said = np.ones(seconds)
    _spread(places, shape, not_said, lambda part, there: part * (1 - there))
    return 1 - not_said


def _most(places: Sequence[Place], seconds: int, shape: _Shape) -> Line:
    found = np.zeros(seconds)
    _spread(places, shape, found, np.maximum)
    return found


def _spread(
    places: Sequence[Place], shape: _Shape, line: Line, join: Callable[[Line, Line], Line]
) -> None:
    """Join each place into the line, its shape widened by how roughly its time is known."""
    offsets, heights = shape
    middle = len(offsets) // 2
    for place in places:
        rough = place.rough / 1000
        at = place.at / 1000
        wide = [one - rough if n < middle else one + rough for n, one in enumerate(offsets)]
        first, last = max(int(at + wide[0]), 0), max(int(at + wide[-1]) + 2, 0)
        part = line[first:last]
        there = np.interp(np.arange(first, first + len(part)) - at, wide, heights)
        part[:] = join(part, there * place.score)
