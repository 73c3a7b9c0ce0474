"""What the month planner is asked and what it answers: frozen values, nothing computed.

`make_plan(problem)` answers it; `value_of` and `broken_rules` judge any placement by this page.
Everything below is in whole numbers, days and minutes, so that anybody can check a plan by hand.

Words. A *placement* maps slots to class ids. An *upload* is a fixed upload or a placed class; its
day is the day it is published. A fixed upload *stands* if it is published or its day is not before
today; one that is neither is overdue: nothing counts on it, but its work is still to be done.

Hard rules. Every plan keeps all of them; the empty placement always does.

1. Once: a class is placed at most once, and a slot holds at most one class.
2. Earliest day: a class with `not_before` is placed on no earlier day.
3. Series: take a class P placed on day d, with a series and a part (a class that lacks either is in
   no order). Every other class of `classes` in that series with a lower part is placed on an
   earlier day. Every fixed upload of that series, overdue or not, has its day before d if its part
   is lower, and after d if its part is higher. Equal parts are in no order.
4. Ready in time: for any day d,
       capacity(d) = floor(minutes_a_week × max(0, days from today to d − lead_days) / 7)
       promised(d) = minutes_of_work of all unpublished fixed uploads with day ≤ d
       planned(d)  = minutes_of_work of all placed classes with day ≤ d
   and for every d that is a slot or the day of an unpublished fixed upload:
       planned(d) ≤ max(0, capacity(d) − promised(d)).
   So where fixed uploads alone ask more than she has, only finished classes are placed until then.

Value. What a placement adds to an empty month, in whole points; larger is better.

    value =  fill   × number of slots that hold a class
           + serve  × Σ need(d, g) over every slot d (filled or not) and servable stage g for which
                      no standing fixed upload, and at least one placed class, suits g and has its
                      day in the window d − serve_every_days < day ≤ d
           + reach  × Σ need(d, g) over every placed class and servable stage g it suits, d its slot
           − focus  × number of repeats
           − work   × Σ hours of work of the placed classes, each rounded up to whole hours

`need(d, g)` is 0 where `need` names no such day or stage. Servable is `Stage.servable`.
A *repeat* is a pair of neighbours with the same focus (an empty focus never repeats), of which at
least one is a placed class. Neighbours are two uploads with none between them when the standing
fixed uploads and the placed classes are put in order of (day, id): empty slots do not part them.

The empty placement has the value 0. A plan's `bound` is proved: no placement has a higher value.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from typing import Literal

from coach.scheduling.values import Stage

Need = tuple[tuple[date, tuple[tuple[Stage, int], ...]], ...]
Placement = Mapping[date, int]
Status = Literal["optimal", "feasible", "infeasible"]


@dataclass(frozen=True, slots=True)
class PlanClass:
    """A class as the planner sees it. `minutes_of_work` is what is still to do; 0 is finished."""

    id: int
    title: str
    focus: str
    stages: frozenset[Stage]
    minutes_of_work: int
    series: int | None = None
    series_title: str = ""
    part: int | None = None
    effort: int | None = None
    not_before: date | None = None

    def __post_init__(self) -> None:
        if self.minutes_of_work < 0:
            raise ValueError(f"“{self.title}” can’t have less than no work left.")

    @property
    def hours_of_work(self) -> int:
        """The work still to do in hours, rounded up."""
        return -(-self.minutes_of_work // 60)

    @property
    def order(self) -> tuple[int, int] | None:
        """Its (series, part), or None for a class that is in no order."""
        if self.series is None or self.part is None:
            return None
        return self.series, self.part


@dataclass(frozen=True, slots=True)
class FixedUpload:
    """An upload that already stands: the planner leaves it where it is."""

    day: date
    item: PlanClass
    published: bool

    @property
    def minutes_of_work(self) -> int:
        """The work it still asks for: none once it is published."""
        return 0 if self.published else self.item.minutes_of_work

    def stands(self, today: date) -> bool:
        """False for one whose day has passed without its being published."""
        return self.published or self.day >= today


@dataclass(frozen=True, slots=True)
class Weights:
    """Points for each wish, whole and never negative; the value above says how they count."""

    fill: int = 200
    serve: int = 20
    focus: int = 60
    reach: int = 1
    work: int = 1

    def __post_init__(self) -> None:
        if min(self.fill, self.serve, self.focus, self.reach, self.work) < 0:
            raise ValueError("A wish can’t weigh less than nothing.")


@dataclass(frozen=True, slots=True)
class Problem:
    """A month to plan. Slots, classes, fixed uploads and need may come in any order."""

    today: date
    slots: tuple[date, ...]
    classes: tuple[PlanClass, ...]
    fixed: tuple[FixedUpload, ...]
    need: Need
    minutes_a_week: int
    lead_days: int
    weights: Weights = Weights()
    serve_every_days: int = 14

    def __post_init__(self) -> None:
        """Put everything in order, so that the same problem is the same value; refuse nonsense."""
        sort = object.__setattr__
        sort(self, "slots", tuple(sorted(self.slots)))
        sort(self, "classes", tuple(sorted(self.classes, key=lambda item: item.id)))
        sort(self, "fixed", tuple(sorted(self.fixed, key=lambda up: (up.day, up.item.id))))
        sort(self, "need", tuple(sorted((day, tuple(sorted(row))) for day, row in self.need)))
        for wrong, message in self._objections():
            if wrong:
                raise ValueError(message)

    def _objections(self) -> tuple[tuple[bool, str], ...]:
        ids = [item.id for item in self.classes]
        taken = {upload.day for upload in self.fixed}
        return (
            (any(day <= self.today for day in self.slots), "A slot must lie after today."),
            (any(a == b for a, b in pairwise(self.slots)), "A day can be a slot only once."),
            (any(day in taken for day in self.slots), "A fixed upload already has that day."),
            (len(set(ids)) < len(ids), "A class can be offered only once."),
            (
                not {upload.item.id for upload in self.fixed}.isdisjoint(ids),
                "A class that has an upload can’t be planned again.",
            ),
            (self.minutes_a_week < 0, "The minutes a week can’t be less than none."),
            (self.lead_days < 0, "The lead can’t be less than no days."),
            (self.serve_every_days < 1, "A stage can’t be served more often than every day."),
        )


def freeze_need(need: Mapping[date, Mapping[Stage, int]]) -> Need:
    """The clients at each stage on each day, as a value that can't change."""
    return tuple((day, tuple(sorted(row.items()))) for day, row in sorted(need.items()))


@dataclass(frozen=True, slots=True)
class PlannedSlot:
    """A slot that holds a class, and why, in sentences."""

    day: date
    class_id: int
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """The month as planned: only filled slots are listed, in order of day.

    `status` is "optimal" when value and bound meet and "feasible" when they don't. The rules above
    always allow the empty month, so "infeasible" only ever comes from wishes made into rules.
    `unmet` says what could not be had and what would mend it. `stopped_by_clock` is True when the
    brake on time ended the search, in which case a second run may differ.
    """

    status: Status
    value: int
    bound: int
    slots: tuple[PlannedSlot, ...]
    unmet: tuple[str, ...]
    stopped_by_clock: bool = False
