"""What the month planner is asked and what it answers: frozen values, nothing computed.

`make_plan(problem)` answers it; `value_of` and `broken_rules` judge any placement by this page.
Everything below is in whole numbers, days and minutes, so that anybody can check a plan by hand.

Words. A *placement* maps slots to class ids. An *upload* is a fixed upload or a placed class; its
day is the day it is published. A fixed upload *stands* if it is published or its day is not before
today; one that is neither is overdue: nothing counts on it, but its work is still to be done.

Hard rules. Every plan keeps all of them; without pins the empty placement always does.

1. Once: a class is placed at most once, and a slot holds at most one class.
2. Days of a class: one with `not_before` is placed on no earlier day, one with `not_after` on no
   later one.
3. Series: take a class P placed on day d, with a series and a part (a class that lacks either is in
   no order). Every other class of `classes` in that series with a lower part is placed on an
   earlier day. Every fixed upload of that series, overdue or not, has its day before d if its part
   is lower, and after d if its part is higher. Equal parts are in no order.
4. Ready in time: for any day d,
       working(d)  = days from the day after today to d − lead_days that are no day off, at least 0
       capacity(d) = floor(minutes_a_week × working(d) / 7)
       promised(d) = minutes_of_work of all unpublished fixed uploads with day ≤ d
       planned(d)  = minutes_of_work of all placed classes with day ≤ d
   and for every d that is a slot or the day of an unpublished fixed upload:
       planned(d) ≤ max(0, capacity(d) − promised(d)).
   So where fixed uploads alone ask more than she has, only finished classes are placed until then.
5. Filmed in time, unless `film_days` is None (she hasn't said when she films): for any day d,
       takes(d)   = films_a_day × number of film_days not after d − film_lead_days
       awaited(d) = number of unpublished fixed uploads with day ≤ d that need filming
       filmed(d)  = number of placed classes with day ≤ d that need filming
   and for every d as in 4: filmed(d) ≤ max(0, takes(d) − awaited(d)).
6. Pace, unless `a_week` is None: in each ISO 8601 week no more classes are placed than `a_week`
   less the standing fixed uploads of that week.
7. Gap: a placed class is at least `gap_days` days from every other placed class and from every
   standing fixed upload (1: on another day).
8. Pins: a pinned class stands on its day. A pin whose day is no slot, or whose class is not among
   `classes`, can't be kept.

Value. What a placement adds to an empty month, in whole points; larger is better.

    value =  fill   × number of slots that hold a class
           + serve  × Σ need(d, g) over every slot d (filled or not) and servable stage g for which
                      no standing fixed upload, and at least one placed class, suits g and has its
                      day in the window d − serve_every_days < day ≤ d
           + reach  × Σ need(d, g) over every placed class and servable stage g it suits, d its slot
           + soon   × Σ over placed classes that are wanted soon of the number of slots not before
                      its own (the first slot counts them all, the last one 1)
           − focus  × number of repeats of a focus
           − effort × number of repeats of an effort band
           − family × number of repeats of a family
           − mix    × Σ over `mix` (focus, most) of max(0, placed classes of that focus − most)
           − film   × filming days more than the fixed uploads need:
                      ceil((filmed + awaited) / films_a_day) − ceil(awaited / films_a_day), over all
                      placed classes and all unpublished fixed uploads; 0 if film_days is None
           − work   × Σ hours of work of the placed classes, each rounded up to whole hours

`need(d, g)` is 0 where `need` names no such day or stage. Servable is `Stage.servable`. In a month
of `a_week` the windows end on slots too: every open day is a slot.
A *repeat* is a pair of neighbours of which at least one is a placed class, and that have the same
focus (an empty focus never repeats), the same effort band (`PlanClass.band`; no band never repeats)
or the same family (None never repeats); each of the three counts by itself. Neighbours are two
uploads with none between them when the standing fixed uploads and the placed classes are put in
order of (day, id): empty slots do not part them.

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
Pin = tuple[date, int]
Placement = Mapping[date, int]
Status = Literal["optimal", "feasible", "infeasible"]

HARD, EASY = 7, 3  # of effort 0 to 10; from the one up and to the other down. Common practice.


@dataclass(frozen=True, slots=True)
class PlanClass:
    """A class as the planner sees it. `minutes_of_work` is what is still to do; 0 is finished.

    `family`: classes with much the same exercises have the same number, None: like no other.
    """

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
    not_after: date | None = None
    wanted_soon: bool = False
    needs_filming: bool = False
    family: int | None = None

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

    @property
    def band(self) -> str:
        """ "hard", "easy", or "" for neither and for an effort that is not known."""
        if self.effort is None:
            return ""
        return "hard" if self.effort >= HARD else "easy" if self.effort <= EASY else ""


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

    @property
    def needs_filming(self) -> bool:
        """Whether it still has to be filmed."""
        return not self.published and self.item.needs_filming

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
    effort: int = 0
    family: int = 0
    mix: int = 0
    soon: int = 0
    film: int = 0

    def __post_init__(self) -> None:
        if min(getattr(self, name) for name in self.__slots__) < 0:
            raise ValueError("A wish can’t weigh less than nothing.")


@dataclass(frozen=True, slots=True)
class Problem:
    """A month to plan. Slots, classes, fixed uploads, need and pins may come in any order.

    `need` is what plans are weighed by: clients, and enquiries at their weight. `clients` and
    `ready` are told in reasons alone: who is expected at a stage, and who of them has a go-ahead
    that lasts until then; without them `need` is told. `closed`: days that would be slots but are
    not, each with why; only read to say why a pin can't be kept.
    """

    today: date
    slots: tuple[date, ...]
    classes: tuple[PlanClass, ...]
    fixed: tuple[FixedUpload, ...]
    need: Need
    minutes_a_week: int
    lead_days: int
    weights: Weights = Weights()
    serve_every_days: int = 14
    days_off: tuple[date, ...] = ()
    film_days: tuple[date, ...] | None = None
    films_a_day: int = 3
    film_lead_days: int = 0
    a_week: int | None = None
    gap_days: int = 1
    pins: tuple[Pin, ...] = ()
    mix: tuple[tuple[str, int], ...] = ()
    clients: Need | None = None
    ready: Need | None = None
    closed: tuple[tuple[date, str], ...] = ()

    def __post_init__(self) -> None:
        """Put everything in order, so that the same problem is the same value; refuse nonsense."""
        sort = object.__setattr__
        sort(self, "slots", tuple(sorted(self.slots)))
        sort(self, "classes", tuple(sorted(self.classes, key=lambda item: item.id)))
        sort(self, "fixed", tuple(sorted(self.fixed, key=lambda up: (up.day, up.item.id))))
        for name in ("days_off", "pins", "mix", "closed"):
            sort(self, name, tuple(sorted(set(getattr(self, name)))))
        if self.film_days is not None:
            sort(self, "film_days", tuple(sorted(set(self.film_days))))
        for name in ("need", "clients", "ready"):
            if (found := getattr(self, name)) is not None:
                sort(self, name, tuple(sorted((day, tuple(sorted(row))) for day, row in found)))
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
            (self.film_lead_days < 0, "The lead can’t be less than no days."),
            (self.films_a_day < 1, "A filming day takes at least one class."),
            (self.gap_days < 1, "Two uploads can’t be nearer than a day."),
            (self.a_week is not None and self.a_week < 0, "No week has fewer than no uploads."),
            (self.serve_every_days < 1, "A stage can’t be served more often than every day."),
            (len({focus for focus, _ in self.mix}) < len(self.mix), "A focus has one share."),
            (any(most < 0 for _, most in self.mix), "A share can’t be less than nothing."),
            (
                any(day <= self.today for day in self.film_days or ()),
                "A filming day must lie after today.",
            ),
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
    pinned: bool = False


@dataclass(frozen=True, slots=True)
class Plan:
    """The month as planned: only filled slots are listed, in order of day.

    `status` is "optimal" when value and bound meet, "feasible" when they don't, and "infeasible"
    when no placement keeps all pins and rules: then nothing is placed, and `conflict` is the
    smallest set of wishes that contradict each other, a sentence each. `unmet` says what could not
    be had and what would mend it; `better` what the plan has over the greedy one, whose value is
    `greedy_value` (None: it keeps not all pins). `stopped_by_clock` is True when the brake on time
    ended the search, in which case a second run may differ. `nodes` is how many it took.
    """

    status: Status
    value: int
    bound: int
    slots: tuple[PlannedSlot, ...]
    unmet: tuple[str, ...]
    stopped_by_clock: bool = False
    conflict: tuple[str, ...] = ()
    better: tuple[str, ...] = ()
    greedy_value: int | None = None
    nodes: int = 0

    @property
    def gap(self) -> float:
        """How far the proved bound lies above the value, as a share of the value."""
        return (self.bound - self.value) / max(1, abs(self.value))
