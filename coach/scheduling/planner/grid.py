"""A problem indexed for searching: kinds of class, what each slot allows, what a choice adds.

Classes that no rule and no wish can tell apart are one *kind*: a month from 300 classes is then
smaller than it looks. A *choice* is one kind, or None, for each slot in order.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from coach.scheduling.planner.kinds import Kind, in_order, in_time, kinds
from coach.scheduling.planner.measure import (
    TRAITS,
    Trait,
    awaited,
    capacity,
    checkpoints,
    days_to_film,
    left_in_week,
    needs,
    promised,
    served,
    standing,
    takes,
    week_of,
)
from coach.scheduling.planner.problem import PlanClass, Problem
from coach.scheduling.values import Stage

Choice = list[int | None]


@dataclass(frozen=True, slots=True)
class Neighbours:
    """The standing uploads between two slots: the first and the last of them."""

    first: PlanClass
    last: PlanClass


@dataclass(frozen=True, slots=True)
class Around:
    """What stands around an empty slot: the uploads on both sides, and what all others add up to.

    `parted` is what filling the slot saves, because its two neighbours are none then.
    """

    before: PlanClass | None
    after: PlanClass | None
    parted: int
    placed: Mapping[str, int]
    filmed: int


class Grid:
    """The index of one problem."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.slots = problem.slots
        self.need = [needs(problem)[day] for day in problem.slots]
        self.kinds = kinds(problem, {stage for row in self.need for stage in row})

    @cached_property
    def room(self) -> list[int]:
        """Minutes of work that may be placed up to each slot.

        Work placed early counts at every later checkpoint too, so the tightest of those rules.
        """
        return self._tightest(lambda day: capacity(self.problem, day) - promised(self.problem, day))

    @cached_property
    def film_room(self) -> list[int]:
        """Classes still to be filmed that may be placed up to each slot, in the same way."""
        return self._tightest(lambda day: takes(self.problem, day) - awaited(self.problem, day))

    def _tightest(self, left: Callable[[date], int]) -> list[int]:
        spare = [(day, max(0, left(day))) for day in checkpoints(self.problem)]
        return [min(much for day, much in spare if day >= slot) for slot in self.slots]

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
    def weeks(self) -> list[tuple[range, int]]:
        """The slots of each ISO week, and how many of them may be filled; none without a pace."""
        if self.problem.a_week is None:
            return []
        weeks = [week_of(day) for day in self.slots]
        return [
            (range(weeks.index(week), weeks.index(week) + many), left_in_week(self.problem, week))
            for week, many in Counter(weeks).items()
        ]

    @cached_property
    def near(self) -> list[range]:
        """Slots of which only one may be filled, because they are too near to each other."""
        ends = [
            sum((later - slot).days < self.problem.gap_days for later in self.slots)
            for slot in self.slots
        ]
        return [
            range(i, end)
            for i, end in enumerate(ends)
            if end > i + 1 and (i == 0 or end > ends[i - 1])
        ]

    @cached_property
    def between(self) -> list[Neighbours | None]:
        """The standing uploads before each slot and after the one before; the last: after all."""
        gaps: list[list[PlanClass]] = [[] for _ in range(len(self.slots) + 1)]
        for upload in standing(self.problem):
            gaps[sum(slot < upload.day for slot in self.slots)].append(upload.item)
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
        pinned = {day for day, _ in self.problem.pins}
        return [
            frozenset(
                i
                for i, day in enumerate(self.slots)
                if (kind.pinned == day or (kind.pinned is None and day not in pinned))
                and self._may(kind, i, day)
            )
            for kind in self.kinds
        ]

    def _may(self, kind: Kind, i: int, day: date) -> bool:
        problem, item = self.problem, kind.sample
        return (
            i not in self.shut
            and in_time(item, day)
            and kind.minutes <= self.room[i]
            and not (kind.films and not self.film_room[i])
            and all(in_order(problem, item, day, after_lower=side) for side in (True, False))
        )

    @cached_property
    def shut(self) -> frozenset[int]:
        """The slots that are too near to a standing upload."""
        days, gap = [upload.day for upload in standing(self.problem)], self.problem.gap_days
        return frozenset(
            i
            for i, slot in enumerate(self.slots)
            if any(abs((slot - day).days) < gap for day in days)
        )

    def reach(self, k: int, i: int) -> int:
        """The clients that a kind suits at a slot."""
        return sum(self.need[i].get(stage, 0) for stage in self.kinds[k].stages)

    def worth(self, k: int, i: int) -> int:
        """What a kind adds at a slot whatever stands around it."""
        weights, item = self.problem.weights, self.kinds[k].sample
        soon = len(self.slots) - i if item.wanted_soon else 0
        wanted = weights.fill + weights.reach * self.reach(k, i) + weights.soon * soon
        return wanted - weights.work * item.hours_of_work

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

    def before(self, choice: Sequence[int | None], i: int) -> tuple[PlanClass | None, bool]:
        """The upload before slot i, if there is one, and whether it is a placed class."""
        for at in range(i, -1, -1):
            if (kept := self.between[at]) is not None:
                return kept.last, False
            if at and (k := choice[at - 1]) is not None:
                return self.kinds[k].sample, True
        return None, False

    def after(self, choice: Sequence[int | None], i: int) -> tuple[PlanClass | None, bool]:
        """The upload after slot i, if there is one, and whether it is a placed class."""
        for at in range(i + 1, len(self.slots) + 1):
            if (kept := self.between[at]) is not None:
                return kept.first, False
            if at < len(self.slots) and (k := choice[at]) is not None:
                return self.kinds[k].sample, True
        return None, False

    def stages_at(self, choice: Sequence[int | None], i: int) -> frozenset[Stage]:
        """The stages that what stands at a slot suits; none if it is empty."""
        k = choice[i]
        return self.kinds[k].stages if k is not None else frozenset()

    def around(self, choice: Sequence[int | None], i: int) -> Around:
        """What stands around slot i, whatever stands on it."""
        (before, one), (after, other) = self.before(choice, i), self.after(choice, i)
        placed = [self.kinds[k] for at, k in enumerate(choice) if k is not None and at != i]
        return Around(
            before,
            after,
            parted=self.alike(before, after) if one or other else 0,
            placed=Counter(kind.sample.focus for kind in placed),
            filmed=sum(kind.films for kind in placed),
        )

    def alike(self, one: PlanClass | None, other: PlanClass | None) -> int:
        """What it costs that two uploads are neighbours."""
        if one is None or other is None:
            return 0
        return sum(
            weight
            for trait, weight in self.trait_weights
            if (has := TRAITS[trait](one)) is not None and has == TRAITS[trait](other)
        )

    @cached_property
    def trait_weights(self) -> list[tuple[Trait, int]]:
        """What a repeat of each trait costs, where it costs anything."""
        weighed = [(trait, getattr(self.problem.weights, trait)) for trait in TRAITS]
        return [(trait, weight) for trait, weight in weighed if weight]

    def gain(self, k: int, i: int, unserved: Mapping[Stage, int], around: Around) -> int:
        """What a kind adds at an empty slot, given what is unserved and what stands around it."""
        weights, kind = self.problem.weights, self.kinds[k]
        serves = sum(unserved.get(stage, 0) for stage in kind.stages)
        most = self.most.get(kind.sample.focus)
        over = most is not None and around.placed.get(kind.sample.focus, 0) >= most
        return (
            self.worth(k, i)
            + weights.serve * serves
            + around.parted
            - self.alike(around.before, kind.sample)
            - self.alike(kind.sample, around.after)
            - weights.mix * over
            - (weights.film * self.another_day(around.filmed) if kind.films else 0)
        )

    @cached_property
    def most(self) -> dict[str, int]:
        """The share of each focus that has one."""
        return dict(self.problem.mix)

    @cached_property
    def awaited(self) -> int:
        """The fixed uploads that are still to be filmed."""
        return sum(upload.needs_filming for upload in self.problem.fixed)

    def another_day(self, filmed: int) -> int:
        """1 if one more class to film, beside so many placed ones, takes one more filming day."""
        so_far = self.awaited + filmed
        return days_to_film(self.problem, so_far + 1) - days_to_film(self.problem, so_far)

    @cached_property
    def everything(self) -> list[list[int]]:
        """For each slot all the kinds that may stand there."""
        return [
            [k for k, slots in enumerate(self.allowed) if i in slots]
            for i in range(len(self.slots))
        ]

    def ceiling(self) -> int:
        """A value that no placement can pass: every slot at its best, everybody served."""
        best = [
            max(
                (self.worth(k, i) for k in range(len(self.kinds)) if i in self.allowed[k]),
                default=0,
            )
            for i in range(len(self.slots))
        ]
        reachable = sum(self.cells[j][stage] for j, stage in self.reachable)
        return sum(max(0, worth) for worth in best) + self.problem.weights.serve * reachable

    @cached_property
    def reachable(self) -> list[tuple[int, Stage]]:
        """The windows and stages that at least one kind could serve."""
        reached = {
            (j, stage)
            for kind, slots in zip(self.kinds, self.allowed, strict=True)
            for i in slots
            for j in self.windows[i]
            for stage in kind.stages
        }
        return [
            (j, stage) for j, row in enumerate(self.cells) for stage in row if (j, stage) in reached
        ]

    def placement(self, choice: Sequence[int | None]) -> dict[date, int]:
        """The choice as classes: of each kind the lowest ids first."""
        members = [iter(kind.members) for kind in self.kinds]
        return {
            day: next(members[k])
            for day, k in zip(self.slots, choice, strict=True)
            if k is not None
        }

    def choice(self, placement: Mapping[date, int]) -> Choice:
        """The kinds of a placement."""
        kind_of = {number: k for k, kind in enumerate(self.kinds) for number in kind.members}
        return [kind_of.get(placement[day]) if day in placement else None for day in self.slots]
