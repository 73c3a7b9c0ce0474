"""What the timer counts: the intervals of a class in words, and their beeps. Pure."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass

from content.rules.cue_track import COUNT_HZ, COUNTDOWN, SHORT_S, beeps
from content.rules.design import Design
from content.rules.interval_words import easier, options_of, title_of
from content.rules.timeline import WORK, Interval, Sided, TimeLine, clock

GET_READY_S = 5


@dataclass(frozen=True, slots=True)
class Step:
    """One interval, in seconds of the class. `pause`: nothing is done in it."""

    start: int
    end: int
    title: str
    block: str
    note: str
    pause: bool

    @property
    def at(self) -> str:
        """When it begins."""
        return clock(self.start)

    @property
    def lasts(self) -> str:
        """How long it is."""
        return clock(self.end - self.start)


def steps(design: Design, line: TimeLine, library: Mapping[str, Sided]) -> tuple[Step, ...]:
    """Every interval of a class, each beginning when the one before ends."""
    return tuple(_step(one, design, line, library) for one in line.intervals)


def _step(one: Interval, design: Design, line: TimeLine, library: Mapping[str, Sided]) -> Step:
    return Step(
        one.start,
        one.end,
        title_of(one, library),
        line.blocks[one.block].name,
        easier(options_of(one, design, library)),
        one.kind != WORK,
    )


def beeps_for_script(line: TimeLine) -> str:
    """The beeps of the cue track, and those that count to the start, as [[second, Hz, seconds]]."""
    ready = [(-n, COUNT_HZ, SHORT_S) for n in range(COUNTDOWN, 0, -1)]
    return json.dumps([*ready, *((one.at, one.hz, one.seconds) for one in beeps(line))])
