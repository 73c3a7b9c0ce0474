"""Whether the pins can be kept, as a small model of its own: only the hard rules, no wishes.

Every hard rule but the series only ever forbids, so beside the pinned classes nothing needs to be
placed but the earlier parts of their series. Rules are left out by the names of their groups:
`pin:DAY`, `once`, `days:CLASS`, `series:SERIES`, `hours`, `filming`, `a_week`, `gap`, and
`closed:DAY` for a pinned day that is no slot.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from functools import cached_property
from itertools import combinations

from coach.scheduling.planner.kinds import in_order, in_time
from coach.scheduling.planner.measure import (
    awaited,
    capacity,
    checkpoints,
    left_in_week,
    promised,
    standing,
    takes,
    week_of,
)
from coach.scheduling.planner.model import Sheet, Terms
from coach.scheduling.planner.problem import Pin, PlanClass, Problem


class Pins:
    """The pins of a problem and what they draw in, some groups of rules left out."""

    def __init__(self, problem: Problem, without: frozenset[str] = frozenset()) -> None:
        self.problem, self.without = problem, without
        self.pins = [pin for pin in problem.pins if f"pin:{pin[0]}" not in without]
        self.offered = {item.id: item for item in problem.classes}
        reopened = {day for day, _ in self.pins if f"closed:{day}" in without}
        self.days = sorted({*problem.slots, *reopened})
        self.column: dict[Pin, int] = {}

    @property
    def hopeless(self) -> bool:
        """A pinned class that is not offered, or a pinned day that is no slot."""
        return any(day not in self.days or item not in self.offered for day, item in self.pins)

    @cached_property
    def needed(self) -> list[PlanClass]:
        """The pinned classes, and all earlier parts of their series."""
        pinned = [self.offered[number] for number in dict.fromkeys(n for _, n in self.pins)]
        drawn = {other.id: other for item in pinned for other in self.before(item)}
        return [*pinned, *(item for item in drawn.values() if item not in pinned)]

    def before(self, item: PlanClass) -> list[PlanClass]:
        """The earlier parts of its series, where that rule holds."""
        if item.order is None or f"series:{item.series}" in self.without:
            return []
        return [
            other
            for other in self.problem.classes
            if other.order is not None
            and other.order[0] == item.order[0]
            and other.order < item.order
        ]

    def write(self) -> Sheet:
        """The rows; a column for each needed class and each day that it may have."""
        sheet = Sheet()
        pinned = {number for _, number in self.pins}
        for item in self.needed:
            for day in self.days:
                if self._may(item, day) and (item.id not in pinned or (day, item.id) in self.pins):
                    self.column[day, item.id] = sheet.column(start=0)
        drawn = [item.id for item in self.needed if item.id not in pinned]
        wishes: list[Pin | int] = [*self.pins, *drawn]
        for wanted in wishes:
            sheet.at_most([(x, -1) for x, pin in self._where(wanted)], -1)
        self._once(sheet)
        self._series(sheet)
        self._pace(sheet)
        self._in_time(sheet)
        return sheet

    def _where(self, wanted: Pin | int) -> list[tuple[int, Pin]]:
        return [(x, pin) for pin, x in self.column.items() if wanted in (pin, pin[1])]

    def _on(self, days: Iterable[date], asks: Callable[[PlanClass], int]) -> Terms:
        """What the classes of these days ask for."""
        within = set(days)
        return [
            (x, asks(self.offered[number]))
            for (day, number), x in self.column.items()
            if day in within and asks(self.offered[number])
        ]

    def _may(self, item: PlanClass, day: date) -> bool:
        near = any(
            abs((day - upload.day).days) < self.problem.gap_days
            for upload in standing(self.problem)
        )
        ordered = all(in_order(self.problem, item, day, after_lower=side) for side in (True, False))
        return (
            (not near or "gap" in self.without)
            and (in_time(item, day) or f"days:{item.id}" in self.without)
            and (ordered or f"series:{item.series}" in self.without)
        )

    def _once(self, sheet: Sheet) -> None:
        if "once" in self.without:
            return
        for item in self.needed:
            sheet.at_most([(x, 1) for x, _ in self._where(item.id)], 1)
        for day in self.days:
            sheet.at_most(self._on([day], _one), 1)

    def _series(self, sheet: Sheet) -> None:
        for (day, number), x in self.column.items():
            for other in self.before(self.offered[number]):
                earlier = [(at, -1) for at, pin in self._where(other.id) if pin[0] < day]
                sheet.at_most([(x, 1), *earlier], 0)

    def _pace(self, sheet: Sheet) -> None:
        """So many a week, and one only of two days that are too near each other."""
        if self.problem.a_week is not None and "a_week" not in self.without:
            for week in sorted({week_of(day) for day in self.days}):
                inside = self._on([day for day in self.days if week_of(day) == week], _one)
                sheet.at_most(inside, left_in_week(self.problem, week))
        if "gap" not in self.without:
            for pair in combinations(self.days, 2):
                if (pair[1] - pair[0]).days < self.problem.gap_days:
                    sheet.at_most(self._on(pair, _one), 1)

    def _in_time(self, sheet: Sheet) -> None:
        problem = self.problem
        for until in sorted({*checkpoints(problem), *self.days}):
            days = [day for day in self.days if day <= until]
            if "hours" not in self.without:
                work = self._on(days, lambda item: item.minutes_of_work)
                sheet.at_most(work, max(0, capacity(problem, until) - promised(problem, until)))
            if "filming" not in self.without and problem.film_days is not None:
                filmed = self._on(days, lambda item: int(item.needs_filming))
                sheet.at_most(filmed, max(0, takes(problem, until) - awaited(problem, until)))


def _one(_: PlanClass) -> int:
    """Each counts as one."""
    return 1
