"""The likeliest course of a film: when each planned interval began, or was left out. Pure.

A monotone dynamic programme over seconds. What was heard is weighed against how far the time
between two starts strays from the plan at the class's own pace; talk may lengthen it. Two exercises
that follow each other may be swapped.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

import numpy as np

from content.rules.alignment.evidence import Line
from content.rules.alignment.targets import Target

NEVER = -1e9
SKIPPED = 3.0  # leaving an exercise out costs this, shared by its sides
SWAPPED = 2.5
TALK, TALK_A_SECOND = 4.0, 0.02  # what it costs that talk came between
HURRIED = 12.0  # the most that any stretch costs, however short or long
WELCOME_A_SECOND = 0.01
_SHORTER, _LONGER = 4, 3  # standard deviations that are looked at one by one


@dataclass(frozen=True, slots=True)
class Pace:
    """How much slower than planned, and how far a stretch strays from that: part and seconds."""

    factor: float
    part: float
    seconds: float = 3.0

    def expected(self, planned_ms: int) -> tuple[float, float]:
        """Seconds that a planned stretch takes, with their standard deviation."""
        takes = planned_ms / 1000 * self.factor
        return takes, takes * self.part + self.seconds


@dataclass(frozen=True, slots=True)
class _Stop:
    """One interval on a way: its index, and the planned milliseconds until the next one."""

    target: int
    until_next: int


@dataclass(frozen=True, slots=True)
class _Detour:
    """Two exercises swapped: instead of going from `begin` to `end` in the plan's order."""

    begin: int
    end: int
    stops: tuple[_Stop, ...]


class _Stretch:
    """From one start to the next: what each number of seconds costs."""

    def __init__(self, takes: float, strays: float, longest: int) -> None:
        self.low = max(int(takes - _SHORTER * strays), 1)
        self.high = max(int(takes + _LONGER * strays), self.low) + 1
        gaps = np.arange(longest + 1)
        usual = ((gaps - takes) / strays) ** 2 / 2
        talk = TALK + TALK_A_SECOND * (gaps - takes)
        usual[self.high :] = talk[self.high :]
        usual[: self.low] = HURRIED
        longer = np.minimum(np.minimum(usual, talk), HURRIED)
        self.costs: Line = np.where(gaps > takes, longer, usual)
        self.talk = TALK - TALK_A_SECOND * takes


class Course:
    """The best course through the odds of each target, by second."""

    def __init__(
        self,
        targets: Sequence[Target],
        odds: Sequence[Line],
        pace: Pace,
        fixed: Mapping[int, int],
        *,
        swaps: bool,
    ) -> None:
        """`fixed`: the second at which a target began, by its index; `swaps`: look for them."""
        self._targets, self._pace, self._fixed = targets, pace, fixed
        self._odds = [_only(line, fixed.get(n)) for n, line in enumerate(odds)]
        self._stops = list(_stops(targets))
        detours = _detours(targets, self._stops) if swaps else ()
        self._detours = {one.end: one for one in detours}
        self._stretches: dict[int, _Stretch] = {}
        self._ready: list[Line] = []  # best way to be about to begin target n
        self._begun: list[Line] = []
        self._came: list[Line] = []  # best way to have done target n and come to its end
        self._turned: dict[int, list[Line]] = {}

    def best(self) -> list[int | None]:
        """The second at which each target began, None: left out."""
        length = len(self._odds[0]) if self._targets else 0
        self._ready.append(-WELCOME_A_SECOND * np.arange(length, dtype=float))
        for n in range(len(self._targets)):
            self._begun.append(self._ready[n] + self._odds[n])
            self._came.append(self._after(self._begun[n], self._stops[n]))
            ready = np.maximum(self._came[n], self._passed(n))
            if n + 1 in self._detours:
                np.maximum(ready, self._around(self._detours[n + 1]), out=ready)
            self._ready.append(ready)
        return self._traced()

    def _after(self, begun: Line, stop: _Stop) -> Line:
        """The best way to have come to each second from a start at any second before."""
        stretch = self._stretch(stop)
        ready = np.full(len(begun), NEVER * 2)
        ready[1:] = np.maximum.accumulate(begun)[:-1] - HURRIED
        whole = np.empty(len(begun))
        for gap in range(stretch.low, min(stretch.high, len(begun))):
            left = len(begun) - gap
            np.subtract(begun[:left], stretch.costs[gap], out=whole[:left])
            np.maximum(ready[gap:], whole[:left], out=ready[gap:])
        if stretch.high < len(begun):
            rising = TALK_A_SECOND * np.arange(len(begun))
            best = np.maximum.accumulate(begun + rising)[: -stretch.high]
            talk = best - rising[stretch.high :] - stretch.talk
            np.maximum(ready[stretch.high :], talk, out=ready[stretch.high :])
        return ready

    def _stretch(self, stop: _Stop) -> _Stretch:
        planned = stop.until_next
        if planned not in self._stretches:
            takes, strays = self._pace.expected(planned)
            self._stretches[planned] = _Stretch(takes, strays, len(self._odds[0]))
        return self._stretches[planned]

    def _passed(self, n: int) -> Line:
        """Target `n` left out; a planned pause after it is kept."""
        if n in self._fixed:
            return np.full(len(self._ready[n]), NEVER * 2)
        later = _later(self._ready[n], self._pause(n))
        return later - self._skip(n)

    def _skip(self, n: int) -> float:
        return SKIPPED / (2 if self._targets[n].side in ("left", "right") else 1)

    def _pause(self, n: int) -> int:
        return round(self._targets[n].pause_ms / 1000 * self._pace.factor)

    def _around(self, detour: _Detour) -> Line:
        """The way through two swapped exercises."""
        ready = self._ready[detour.begin] - SWAPPED
        begun: list[Line] = []
        for stop in detour.stops:
            begun.append(ready + self._odds[stop.target])
            ready = self._after(begun[-1], stop)
        self._turned[detour.end] = begun
        return ready

    def _traced(self) -> list[int | None]:
        """Back from the best end."""
        found: list[int | None] = [None] * len(self._targets)
        n = len(self._targets)
        now = int(np.argmax(self._ready[n])) if n else 0
        while n > 0:
            value = self._ready[n][now]
            n -= 1
            if _same(value, self._passed(n)[now]):
                now = max(now - self._pause(n), 0)
            elif _same(value, self._came[n][now]):
                found[n] = now = self._before(self._begun[n], self._stops[n], now)
            else:
                n, now = self._back_around(self._detours[n + 1], now, found)
        return found

    def _back_around(self, detour: _Detour, now: int, found: list[int | None]) -> tuple[int, int]:
        begun = self._turned[detour.end]
        for stop, line in zip(reversed(detour.stops), reversed(begun), strict=True):
            now = self._before(line, stop, now)
            found[stop.target] = now
        return detour.begin, now

    def _before(self, begun: Line, stop: _Stop, now: int) -> int:
        """The start from which this second was best come to."""
        costs = self._stretch(stop).costs[now:0:-1]
        return int(np.argmax(begun[:now] - costs))


def _same(one: float, two: float) -> bool:
    return abs(one - two) < 1e-6 * max(1.0, abs(one))


def _only(line: Line, second: int | None) -> Line:
    """Where a start is fixed, no other second is possible."""
    if second is None:
        return line
    fixed = np.full(len(line), NEVER)
    fixed[min(max(second, 0), len(line) - 1)] = 0.0
    return fixed


def _later(line: Line, seconds: int) -> Line:
    if not seconds:
        return line
    moved = np.full(len(line), NEVER * 2)
    moved[seconds:] = line[: max(len(line) - seconds, 0)]
    return moved


def _stops(targets: Sequence[Target]) -> Iterator[_Stop]:
    for n, (one, two) in enumerate(pairwise(targets)):
        yield _Stop(n, two.planned_ms - one.planned_ms)
    if targets:
        yield _Stop(len(targets) - 1, targets[-1].length_ms)


def _detours(targets: Sequence[Target], stops: Sequence[_Stop]) -> Iterator[_Detour]:
    """Every two exercises that follow each other in one round."""
    sets = [list(group) for _, group in groupby(stops, key=lambda one: targets[one.target].set)]
    for one, two in pairwise(sets):
        first, last = targets[one[0].target], targets[two[-1].target]
        if first.stretch == last.stretch:
            pause = last.pause_ms
            lasting = _Stop(two[-1].target, max(two[-1].until_next - pause, last.length_ms))
            ending = _Stop(one[-1].target, one[-1].until_next + pause)
            stops_of = (*two[:-1], lasting, *one[:-1], ending)
            yield _Detour(one[0].target, two[-1].target + 1, stops_of)
