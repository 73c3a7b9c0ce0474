"""What a designed class comes to: effort over time, minutes by focus, share of a week. Pure.

Only seconds of work are counted, rests are not. There are no calories here: the wrong message for
these clients.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from content.rules.exercises import Exercise
from content.rules.timeline import TimeLine

LEVELS: dict[str, int] = {"light": 1, "moderate": 2, "vigorous": 3}
MODERATE, VIGOROUS = "moderate", "vigorous"


@dataclass(frozen=True, slots=True)
class Week:
    """A guideline's minutes a week. `source` names it."""

    minutes: int
    words: str
    source: str


# Two of them: they differ, and both are shown.
WEEKS: tuple[Week, ...] = (
    Week(150, "150 min a week", "ACOG CO 804 (2020); WHO 2020; Mottola and others 2018"),
    Week(120, "120 min a week after the end", "Davenport and others 2025, from memory"),
)


@dataclass(frozen=True, slots=True)
class Share:
    """How much of a guideline's week a class gives, percent, cut down to whole ones."""

    week: Week
    percent: int


@dataclass(frozen=True, slots=True)
class Figures:
    """Seconds of work by intensity and by focus; the effort curve as (second, level 0 to 3)."""

    by_intensity: Mapping[str, int]
    by_focus: Mapping[str, int]
    curve: tuple[tuple[int, int], ...]
    shares: tuple[Share, ...]
    unknown: int

    @property
    def active(self) -> int:
        """Seconds at moderate and vigorous effort together."""
        return self.by_intensity.get(MODERATE, 0) + self.by_intensity.get(VIGOROUS, 0)


def figures(line: TimeLine, library: Mapping[str, Exercise]) -> Figures:
    """The figures of a class. MET thresholds (WHO, CDC, ACSM): moderate from 3, vigorous from 6.

    `unknown`: seconds of work of which nothing is known.
    """
    by_intensity = dict.fromkeys(LEVELS, 0)
    by_focus: dict[str, int] = {}
    unknown = 0
    for one in line.work:
        known = library.get(one.exercise)
        if known is None:
            unknown += one.seconds
            continue
        by_intensity[known.intensity] += one.seconds
        by_focus[known.focus] = by_focus.get(known.focus, 0) + one.seconds
    active = by_intensity[MODERATE] + by_intensity[VIGOROUS]
    shares = tuple(Share(week, active * 100 // (week.minutes * 60)) for week in WEEKS)
    ordered = dict(sorted(by_focus.items(), key=lambda item: (-item[1], item[0])))
    return Figures(by_intensity, ordered, _curve(line, library), shares, unknown)


def _curve(line: TimeLine, library: Mapping[str, Exercise]) -> tuple[tuple[int, int], ...]:
    """Where the level changes: rests are 0, what is not known is 0 as well."""
    points: list[tuple[int, int]] = []
    for one in line.intervals:
        known = library.get(one.exercise) if one.kind == "work" else None
        level = LEVELS[known.intensity] if known else 0
        if not points or points[-1][1] != level:
            points.append((one.start, level))
    return (*points, (line.seconds, 0)) if points else ()
