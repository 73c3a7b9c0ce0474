"""A problem indexed for searching: kinds of class, what each slot allows, what a choice adds.

Classes that no rule and no wish can tell apart are one *kind*: a month from 300 classes is then
much smaller than it looks. A *choice* is one kind, or None, for each slot in order.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from coach.scheduling.planner.measure import (
    capacity,
    checkpoints,
    needs,
    promised,
    served,
    standing,
)
from coach.scheduling.planner.problem import PlanClass, Problem
from coach.scheduling.values import Stage

Choice = list[int | None]


@dataclass(frozen=True, slots=True)
class Kind:
    """Classes that are interchangeable; `sample` is the one with the lowest id."""

    sample: PlanClass
    members: tuple[int, ...]
    stages: frozenset[Stage]

    @property
    def minutes(self) -> int:
        return self.sample.minutes_of_work


@dataclass(frozen=True, slots=True)
class Neighbours:
    """The standing uploads between two slots: the focus of the first and of the last of them."""

    first: str
    last: str


class Grid:
    """The index of one problem."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.slots = problem.slots
        self.need = [needs(problem)[day] for day in problem.slots]
        self.kinds = _kinds(problem, {stage for row in self.need for stage in row})

    @cached_property
    def room(self) -> list[int]:
        """Minutes of work that may be placed up to each slot.

        Work placed early counts at every later checkpoint too, so the tightest of those rules.
        """
        spare = [
            (day, max(0, capacity(self.problem, day) - promised(self.problem, day)))
            for day in checkpoints(self.problem)
        ]
        return [min(left for day, left in spare if day >= slot) for slot in self.slots]

    @cached_property
    def cells(self) -> list[dict[Stage, int]]:
        """For the window that ends at each slot: the clients that no fixed upload serves."""
        kept = [(upload.day, upload.item) for upload in standing(self.problem)]
        return [
            {
                stage: clients
                for stage, clients in row.items()
                if not served(self.problem, kept, day, stage)
            }
            for day, row in zip(self.slots, self.need, strict=True)
        ]

    @cached_property
    def windows(self) -> list[range]:
        """For each slot the slots whose window it falls into: itself and some later ones."""
        every = self.problem.serve_every_days
        return [
            range(i, sum((later - slot).days < every for later in self.slots))
            for i, slot in enumerate(self.slots)
        ]

    @cached_property
    def between(self) -> list[Neighbours | None]:
        """The standing uploads before each slot and after the one before; the last: after all."""
        gaps: list[list[str]] = [[] for _ in range(len(self.slots) + 1)]
        for upload in standing(self.problem):
            gaps[sum(slot < upload.day for slot in self.slots)].append(upload.item.focus)
        return [Neighbours(gap[0], gap[-1]) if gap else None for gap in gaps]

    @cached_property
    def earlier(self) -> list[tuple[int, ...]]:
        """For each kind the kinds that are earlier parts of its series."""
        by_series: dict[int, list[tuple[int, int]]] = defaultdict(list)
        for k, kind in enumerate(self.kinds):
            if kind.sample.order is not None:
                by_series[kind.sample.order[0]].append((kind.sample.order[1], k))
        return [
            tuple(k for part, k in by_series[kind.sample.order[0]] if part < kind.sample.order[1])
            if kind.sample.order is not None
            else ()
            for kind in self.kinds
        ]

    @cached_property
    def allowed(self) -> list[frozenset[int]]:
        """For each kind the slots open to it, whatever else is placed."""
        return [
            frozenset(i for i, day in enumerate(self.slots) if self._may(kind, i, day))
            for kind in self.kinds
        ]

    def _may(self, kind: Kind, i: int, day: date) -> bool:
        item = kind.sample
        if item.not_before is not None and day < item.not_before:
            return False
        ordered = [in_order(self.problem, item, day, after_lower=side) for side in (True, False)]
        return kind.minutes <= self.room[i] and all(ordered)

    def reach(self, k: int, i: int) -> int:
        """The clients that a kind suits at a slot."""
        return sum(self.need[i].get(stage, 0) for stage in self.kinds[k].stages)

    def worth(self, k: int, i: int) -> int:
        """What a kind adds at a slot whatever stands around it."""
        weights = self.problem.weights
        hours = self.kinds[k].sample.hours_of_work
        return weights.fill + weights.reach * self.reach(k, i) - weights.work * hours

    def unserved(self, choice: Sequence[int | None], i: int) -> dict[Stage, int]:
        """Per stage, the clients that slot i would serve, summed over the windows it falls into."""
        gain: dict[Stage, int] = defaultdict(int)
        for j in self.windows[i]:
            others = [
                self.stages_at(choice, at)
                for at in range(j + 1)
                if at != i and j in self.windows[at]
            ]
            for stage, clients in self.cells[j].items():
                if not any(stage in stages for stages in others):
                    gain[stage] += clients
        return gain

    def focus_before(self, choice: Sequence[int | None], i: int) -> str:
        """The focus of the upload before slot i; empty if there is none."""
        for at in range(i, -1, -1):
            kept = self.between[at]
            if kept is not None:
                return kept.last
            k = choice[at - 1] if at else None
            if k is not None:
                return self.kinds[k].sample.focus
        return ""

    def focus_after(self, choice: Sequence[int | None], i: int) -> str:
        """The focus of the upload after slot i; empty if there is none."""
        for at in range(i + 1, len(self.slots) + 1):
            kept = self.between[at]
            if kept is not None:
                return kept.first
            k = choice[at] if at < len(self.slots) else None
            if k is not None:
                return self.kinds[k].sample.focus
        return ""

    def stages_at(self, choice: Sequence[int | None], i: int) -> frozenset[Stage]:
        """The stages that what stands at a slot suits; none if it is empty."""
        k = choice[i]
        return self.kinds[k].stages if k is not None else frozenset()

    def gain(self, k: int, i: int, unserved: dict[Stage, int], around: tuple[str, str]) -> int:
        """What a kind adds at an empty slot, given what is unserved and the focus around it."""
        weights, kind = self.problem.weights, self.kinds[k]
        serves = sum(unserved.get(stage, 0) for stage in kind.stages)
        alike = around.count(kind.sample.focus) if kind.sample.focus else 0
        return self.worth(k, i) + weights.serve * serves - weights.focus * alike

    def ceiling(self) -> int:
        """A value that no placement can pass: every slot at its best, everybody served."""
        best = [
            max(
                (self.worth(k, i) for k in range(len(self.kinds)) if i in self.allowed[k]),
                default=0,
            )
            for i in range(len(self.slots))
        ]
        reachable = sum(self.cells[j][stage] for j, stage in self.reachable())
        return sum(max(0, worth) for worth in best) + self.problem.weights.serve * reachable

    def reachable(self) -> Iterator[tuple[int, Stage]]:
        """The windows and stages that at least one kind could serve."""
        reached = {
            (j, stage)
            for kind, slots in zip(self.kinds, self.allowed, strict=True)
            for i in slots
            for j in self.windows[i]
            for stage in kind.stages
        }
        for j, row in enumerate(self.cells):
            yield from ((j, stage) for stage in row if (j, stage) in reached)

    def placement(self, choice: Sequence[int | None]) -> dict[date, int]:
        """The choice as classes: of each kind the lowest ids first."""
        members = [iter(kind.members) for kind in self.kinds]
        return {
            day: next(members[k])
            for day, k in zip(self.slots, choice, strict=True)
            if k is not None
        }


def in_order(problem: Problem, item: PlanClass, day: date, *, after_lower: bool) -> bool:
    """True if a day is after the fixed lower parts of its series, or before the higher ones."""
    if item.order is None:
        return True
    parts = [
        (upload.item.order, upload.day)
        for upload in problem.fixed
        if upload.item.order is not None and upload.item.order[0] == item.order[0]
    ]
    if after_lower:
        return all(on < day for order, on in parts if order < item.order)
    return all(on > day for order, on in parts if order > item.order)


def _kinds(problem: Problem, needed: set[Stage]) -> list[Kind]:
    groups: dict[object, list[PlanClass]] = defaultdict(list)
    for item in problem.classes:
        alone = item.id if item.order is not None else None
        stages = item.stages & needed
        groups[item.focus, stages, item.minutes_of_work, item.not_before, alone].append(item)
    return [
        Kind(items[0], tuple(item.id for item in items), items[0].stages & needed)
        for items in groups.values()
    ]
