"""Wishes that contradict each other: what they are about and where they meet."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

from coach.scheduling.planner.measure import awaited, capacity, checkpoints, promised, takes
from coach.scheduling.planner.problem import FixedUpload, PlanClass, Problem


@dataclass(frozen=True)
class Clash:
    """A problem and the groups of it that can't all be kept."""

    problem: Problem
    groups: tuple[str, ...]

    @cached_property
    def pins(self) -> list[tuple[date, int]]:
        """The pins among the groups, in order of day."""
        return [pin for pin in self.problem.pins if f"pin:{pin[0]}" in self.groups]

    @cached_property
    def offered(self) -> dict[int, PlanClass]:
        """The classes by id."""
        return {item.id: item for item in self.problem.classes}

    @cached_property
    def pinned(self) -> list[tuple[date, PlanClass]]:
        """The days and classes of the pins, as far as the classes are offered."""
        return [(day, self.offered[n]) for day, n in self.pins if n in self.offered]

    @cached_property
    def forced(self) -> list[tuple[date, PlanClass]]:
        """What has to be out by which day: the pinned, and the earlier parts of their series."""
        latest = {item.id: (day, item) for day, item in reversed(self.pinned)}
        for day, item in self.pinned:
            for other in self.earlier(item):
                if f"series:{other.series}" in self.groups:
                    latest.setdefault(other.id, (self._last_day(other, item, day), other))
        return sorted(latest.values(), key=lambda pair: (pair[0], pair[1].id))

    def _last_day(self, other: PlanClass, item: PlanClass, day: date) -> date:
        """The last slot that leaves one for each part between two of them."""
        between = sum(goes_before(other, one) for one in self.earlier(item))
        slots = [slot for slot in self.problem.slots if slot < day]
        return slots[-1 - between] if between < len(slots) else day - timedelta(days=1)

    def earlier(self, item: PlanClass) -> list[PlanClass]:
        """The offered classes that have to go out before one, by its series."""
        return [other for other in self.problem.classes if goes_before(other, item)]

    def standing_on(self, day: date) -> list[FixedUpload]:
        """The fixed uploads of a day."""
        return [up for up in self.problem.fixed if up.day == day]


def hopeless(problem: Problem) -> list[date]:
    """The days whose pins can't be kept whatever else is given up.

    The day has passed, the class is not offered, or two classes are pinned to the day.
    """
    offered = {item.id for item in problem.classes}
    days = [day for day, _ in problem.pins]
    return sorted(
        {
            day
            for day, class_id in problem.pins
            if day <= problem.today or class_id not in offered or days.count(day) > 1
        }
    )


def goes_before(one: PlanClass, other: PlanClass) -> bool:
    """True if both are in one series, the first with the lower part."""
    if one.order is None or other.order is None:
        return False
    return one.order[0] == other.order[0] and one.order[1] < other.order[1]


def broken_bounds(clash: Clash, item: PlanClass) -> tuple[str, ...]:
    """Which of its two days a pinned class breaks: "before", "after"; none for one not pinned."""
    days = [day for day, other in clash.pinned if other.id == item.id]
    early = any(item.not_before is not None and day < item.not_before for day in days)
    late = any(item.not_after is not None and day > item.not_after for day in days)
    return ("before",) * early + ("after",) * late


def in_the_way(clash: Clash, day: date, item: PlanClass) -> list[FixedUpload]:
    """The fixed uploads that stand on the wrong side of a class of their series."""
    return [
        up
        for up in clash.problem.fixed
        if (goes_before(item, up.item) and up.day <= day)
        or (goes_before(up.item, item) and up.day >= day)
    ]


def short_of_time(clash: Clash) -> tuple[date, int]:
    """The day by which most time is wanting for what is forced, and the minutes wanting."""
    problem = clash.problem
    wanting = []
    for day in _checkpoints(clash):
        room = max(0, capacity(problem, day) - promised(problem, day))
        asked = sum(item.minutes_of_work for on, item in clash.forced if on <= day)
        wanting.append((asked - room, -day.toordinal()))
    short, earliest = max(wanting)
    return date.fromordinal(-earliest), short


def short_of_filming(clash: Clash) -> date:
    """The day by which most filming is wanting for what is forced."""
    wanting = []
    for day in _checkpoints(clash):
        room = max(0, takes(clash.problem, day) - awaited(clash.problem, day))
        asked = sum(item.needs_filming for on, item in clash.forced if on <= day)
        wanting.append((asked - room, -day.toordinal()))
    return date.fromordinal(-max(wanting)[1])


def _checkpoints(clash: Clash) -> list[date]:
    return sorted({*checkpoints(clash.problem), *(day for day, _ in clash.pins)})
