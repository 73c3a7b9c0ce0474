"""A planned month, ready to be explained: what stands where, and what could stand there instead."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from functools import cached_property

from coach.scheduling.planner.grid import Choice, Grid
from coach.scheduling.planner.kinds import Kind, in_order
from coach.scheduling.planner.measure import placed_classes, standing, value_of, working
from coach.scheduling.planner.problem import PlanClass, Problem
from coach.scheduling.values import Stage


def film_by(problem: Problem, day: date) -> date:
    """The last day to film what goes out on a day."""
    return day - timedelta(days=problem.film_lead_days)


def ready_by(problem: Problem, day: date) -> date:
    """The day by which what goes out on a day is ready."""
    return day - timedelta(days=problem.lead_days)


class Month:
    """A planned month, ready to be explained."""

    def __init__(self, grid: Grid, choice: Choice) -> None:
        self.grid, self.choice, self.problem = grid, choice, grid.problem
        self.placement = grid.placement(choice)
        self.placed = placed_classes(grid.problem, self.placement)
        self.pinned = {day for day, _ in grid.problem.pins}

    @cached_property
    def uploads(self) -> list[tuple[date, int, PlanClass]]:
        """Standing uploads and placed classes in order of day and id."""
        kept = [(up.day, up.item.id, up.item) for up in standing(self.problem)]
        new = [(day, item.id, item) for day, item in self.placed.items()]
        return sorted(kept + new, key=lambda upload: upload[:2])

    @cached_property
    def value(self) -> int:
        """Its value in points."""
        return value_of(self.problem, self.placement)

    def value_with(self, item: PlanClass, i: int) -> int:
        """Its value were an unused class to stand at slot i instead."""
        return value_of(self.problem, {**self.placement, self.grid.slots[i]: item.id})

    def last(self, day: date, stage: Stage | None = None) -> tuple[date, PlanClass] | None:
        """The last upload before a day, or the last one that suits a stage."""
        before = [
            (on, item)
            for on, _, item in self.uploads
            if on < day and (stage is None or stage in item.stages)
        ]
        return before[-1] if before else None

    def next(self, day: date, stage: Stage) -> date | None:
        """The day of the first upload after a day that suits a stage."""
        days = (on for on, _, item in self.uploads if on > day and stage in item.stages)
        return next(days, None)

    @cached_property
    def slack(self) -> list[int]:
        """For each slot the minutes by which work there could still grow."""
        return self._spare(self.grid.room, {k: kind.minutes for k, kind in self._kinds})

    @cached_property
    def film_slack(self) -> list[int]:
        """For each slot the classes that could still be filmed for it."""
        return self._spare(self.grid.film_room, {k: int(kind.films) for k, kind in self._kinds})

    @property
    def _kinds(self) -> Iterator[tuple[int, Kind]]:
        return enumerate(self.grid.kinds)

    def _spare(self, rooms: list[int], asks: Mapping[int, int]) -> list[int]:
        busy, spare = 0, []
        for k, room in zip(self.choice, rooms, strict=True):
            busy += asks[k] if k is not None else 0
            spare.append(room - busy)
        return [min(spare[i:]) for i in range(len(spare))]

    @cached_property
    def _left(self) -> list[list[int]]:
        placed = set(self.placement.values())
        return [[n for n in kind.members if n not in placed] for kind in self.grid.kinds]

    def unused(self, k: int) -> list[int]:
        """The classes of a kind that are not placed."""
        return self._left[k]

    def spare(self, k: int) -> PlanClass:
        """The first class of a kind that is not placed."""
        return self._classes[self._left[k][0]]

    @cached_property
    def _classes(self) -> dict[int, PlanClass]:
        return {item.id: item for item in self.problem.classes}

    def could_stand(self, k: int, i: int) -> bool:
        """True if an unused class of a kind could take slot i, all else staying."""
        return bool(self._left[k]) and i in self.grid.allowed[k] and not self.held_by(k, i)

    def held_by(self, k: int, i: int) -> set[str]:
        """The hard rules that keep a kind from taking slot i, all else staying.

        "early", "late": its days. "series": an earlier part is wanting. "passed": a later part went
        before. "needed": what stands there is an earlier part itself. "work", "film": hours or
        filming days are too few; "near": no day is left for it. "pace", "gap", "pin".
        """
        grid, item, day = self.grid, self.grid.kinds[k].sample, self.grid.slots[i]
        now = self.choice[i]
        rules = {
            "early": item.not_before is not None and day < item.not_before,
            "late": item.not_after is not None and day > item.not_after,
            "series": any(before not in self.choice[:i] for before in grid.earlier[k])
            or not in_order(self.problem, item, day, after_lower=True),
            "passed": not in_order(self.problem, item, day, after_lower=False),
            "needed": any(now in grid.earlier[b] for b in self.choice if b is not None),
            "pace": now is None and self._week_is_full(i),
            "gap": self.too_near(i),
            "pin": day in self.pinned,
        }
        return {rule for rule, holds in rules.items() if holds} | self._short(k, i)

    def _freed(self, i: int) -> tuple[int, int]:
        """The minutes and the filming that taking away what stands at a slot frees."""
        now = self.choice[i]
        return (0, 0) if now is None else (self.grid.kinds[now].minutes, self.grid.kinds[now].films)

    def _short(self, k: int, i: int) -> set[str]:
        """Whether hours or filming days are too few for a kind at a slot, or too late already."""
        kind, day, problem = self.grid.kinds[k], self.grid.slots[i], self.problem
        minutes, films = self._freed(i)
        short = set()
        if kind.minutes > self.slack[i] + minutes:
            short.add("work" if working(problem, day) else "near")
        if kind.films > self.film_slack[i] + films:
            short.add("film" if film_by(problem, day) > problem.today else "near")
        return short

    def _week_is_full(self, i: int) -> bool:
        return any(
            i in week and sum(self.choice[j] is not None for j in week) >= most
            for week, most in self.grid.weeks
        )

    def too_near(self, i: int) -> bool:
        """True if slot i lies too near to an upload on another day."""
        return i in self.grid.shut or any(
            i in slots and any(self.choice[j] is not None for j in slots if j != i)
            for slots in self.grid.near
        )
