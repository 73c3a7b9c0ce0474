"""What a plan has over the sensible one made slot by slot, and what it gives up for it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from coach.scheduling.planner import words
from coach.scheduling.planner.measure import (
    Placed,
    Trait,
    beyond_share,
    more_film_days,
    needs,
    placed_classes,
    reached,
    repeats,
    served,
    standing,
)
from coach.scheduling.planner.people import people
from coach.scheduling.planner.problem import Placement, PlanClass, Problem
from coach.scheduling.values import Stage

MOST = 4  # sentences
GIVEN_UP = 2  # things that the last of them names


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that differs: the points it adds, and the words for the better and the worse."""

    points: int
    better: str
    worse: str


def better(problem: Problem, placement: Placement, greedy_placement: Placement) -> tuple[str, ...]:
    """What the plan has over the greedy one, most important first, then what it gives up.

    At most four sentences; () where it has nothing over it. What weighs nothing is not told.
    """
    both = _Both(_Side(problem, placement), _Side(problem, greedy_placement))
    found = sorted(_differences(both), key=lambda one: (-abs(one.points), one.better))
    gains = [one.better for one in found if one.points > 0]
    losses = [one.worse for one in found if one.points < 0]
    if not gains:
        return ()
    given_up = [f"for that it {words.joined(losses[:GIVEN_UP])}"] if losses else []
    return tuple(map(words.sentence, [*gains[: MOST - len(given_up)], *given_up]))


class _Side:
    """One of the two plans, counted."""

    def __init__(self, problem: Problem, placement: Placement) -> None:
        self.problem = problem
        self.placed: Placed = placed_classes(problem, placement)

    @cached_property
    def uploads(self) -> list[tuple[date, PlanClass]]:
        kept = [(up.day, up.item) for up in standing(self.problem)]
        return kept + list(self.placed.items())

    @cached_property
    def waiting(self) -> set[tuple[date, Stage]]:
        """The days and stages with somebody for whom nothing stands in the window."""
        return {
            (day, stage)
            for day, row in needs(self.problem).items()
            for stage in row
            if not served(self.problem, self.uploads, day, stage)
        }

    def last(self, day: date, stage: Stage) -> date | None:
        """The day of the last upload up to a day that suits a stage."""
        days = (on for on, item in self.uploads if on <= day and stage in item.stages)
        return max(days, default=None)

    def day_of(self, item: PlanClass) -> date | None:
        """The day a class is placed on."""
        return next((day for day, other in self.placed.items() if other.id == item.id), None)

    @property
    def hours(self) -> int:
        return sum(item.hours_of_work for item in self.placed.values())


@dataclass(frozen=True, slots=True)
class _Both:
    plan: _Side
    greedy: _Side

    @property
    def problem(self) -> Problem:
        return self.plan.problem


def _differences(both: _Both) -> Iterator[Difference]:
    for kind in (_filled, _stages, _soon, _repeats, _mix, _filming, _work, _reach):
        yield from (one for one in kind(both) if one.points)


def _filled(both: _Both) -> Iterator[Difference]:
    here, there, slots = len(both.plan.placed), len(both.greedy.placed), len(both.problem.slots)
    filled = f"{words.number(here)} of {words.number(slots)} publish days have a class"
    if here == slots:
        filled = f"all {words.number(slots)} publish days have a class"
    more = words.count(abs(here - there), "publish day")
    yield Difference(
        both.problem.weights.fill * (here - there),
        f"{filled}; slot by slot {words.number(abs(here - there))} more would stay empty",
        f"leaves {more} more empty",
    )


def _stages(both: _Both) -> Iterator[Difference]:
    """Stages that wait in one of the plans only, each by itself."""
    table = needs(both.problem)
    gained, lost = both.greedy.waiting - both.plan.waiting, both.plan.waiting - both.greedy.waiting
    for stage in sorted({stage for _, stage in gained ^ lost}):
        up = sorted(day for day, one in gained if one == stage)
        down = sorted(day for day, one in lost if one == stage)
        clients = sum(table[day][stage] for day in up) - sum(table[day][stage] for day in down)
        yield Difference(
            both.problem.weights.serve * clients,
            _waited(both.greedy, both.plan, up, stage) if clients > 0 else "",
            _left(both.plan, down, stage) if clients < 0 else "",
        )


def _waited(greedy: _Side, plan: _Side, days: list[date], stage: Stage) -> str:
    day = _longest(greedy, days, stage)
    there, who = plan.last(day, stage) or day, _who(plan.problem, day, stage)
    had = f"would have had {_since(greedy, day, stage)}"
    if greedy.last(day, stage) is None:
        had = "would still have had nothing"
    return (
        f"slot by slot {who} {had} on {words.on(day)}; here a class for them goes out on "
        f"{words.on(there)}"
    )


def _left(plan: _Side, days: list[date], stage: Stage) -> str:
    day = _longest(plan, days, stage)
    who = _who(plan.problem, day, stage)
    return f"leaves {who} with {_since(plan, day, stage)} on {words.on(day)}"


def _longest(side: _Side, days: list[date], stage: Stage) -> date:
    """The day on which they have waited longest; the first with nothing at all before it."""
    waits = {day: last for day in days if (last := side.last(day, stage)) is not None}
    never = [day for day in days if day not in waits]
    return min(never) if never else max(days, key=lambda day: (day - waits[day], -day.toordinal()))


def _since(side: _Side, day: date, stage: Stage) -> str:
    last = side.last(day, stage)
    return "nothing yet" if last is None else f"nothing for {words.count((day - last).days, 'day')}"


def _who(problem: Problem, day: date, stage: Stage) -> str:
    return f"{people(problem, day, stage).named} {words.at_stage(stage)}"


def _soon(both: _Both) -> Iterator[Difference]:
    for item in both.problem.classes:
        if item.wanted_soon:
            here, there = both.plan.day_of(item), both.greedy.day_of(item)
            yield Difference(
                both.problem.weights.soon * (_early(both, here) - _early(both, there)),
                f"{words.quoted(item.title)}, which you want soon, {_goes_out(here)}; slot by slot "
                f"it {_would(there)}",
                _later(item, here),
            )


def _early(both: _Both, day: date | None) -> int:
    return sum(slot >= day for slot in both.problem.slots) if day is not None else 0


def _goes_out(day: date | None) -> str:
    return f"goes out on {words.on(day)}" if day is not None else "waits"


def _would(day: date | None) -> str:
    return f"would be {words.on(day)}" if day is not None else "would wait for another month"


def _later(item: PlanClass, day: date | None) -> str:
    named = f"{words.quoted(item.title)}, which you want soon"
    return f"leaves out {named}" if day is None else f"puts {named}, only on {words.on(day)}"


_RUNNING: tuple[tuple[Trait, str, str, str], ...] = (
    ("focus", "a focus", "comes twice running", "repeats a focus"),
    ("effort", "two hard or two easy classes", "follow each other", "repeats hard or easy"),
    (
        "family",
        "a class",
        "has much the same exercises as the one before it",
        "repeats much the same exercises",
    ),
)


def _repeats(both: _Both) -> Iterator[Difference]:
    for trait, who, what, again in _RUNNING:
        here, there = (
            len(list(repeats(both.problem, side.placed, trait)))
            for side in (both.plan, both.greedy)
        )
        none = f"no {who.removeprefix('a ')} {what}"
        said = f"{who} {what} {words.times(here)}" if here else none
        yield Difference(
            getattr(both.problem.weights, trait) * (there - here),
            f"{said}; slot by slot that would happen {words.times(there)}",
            f"{again} {words.times(here - there)} more",
        )


def _mix(both: _Both) -> Iterator[Difference]:
    here, there = (beyond_share(both.problem, side.placed) for side in (both.plan, both.greedy))
    verb = "goes" if here == 1 else "go"
    said = f"{words.count(here, 'class', 'classes')} {verb}" if here else "no class goes"
    yield Difference(
        both.problem.weights.mix * (there - here),
        f"{said} beyond the share of its focus; slot by slot {words.number(there)} would",
        f"has {words.count(here - there, 'class', 'classes')} more beyond the share of a focus",
    )


def _filming(both: _Both) -> Iterator[Difference]:
    here, there = (more_film_days(both.problem, side.placed) for side in (both.plan, both.greedy))
    yield Difference(
        both.problem.weights.film * (there - here),
        f"it takes {words.count(here, 'filming day')} beside what stands; slot by slot it would "
        f"take {words.number(there)}",
        f"takes {words.count(here - there, 'filming day')} more",
    )


def _work(both: _Both) -> Iterator[Difference]:
    here, there = both.plan.hours, both.greedy.hours
    yield Difference(
        both.problem.weights.work * (there - here),
        f"it needs {words.count(here, 'hour')} of work; slot by slot it would need "
        f"{words.number(there)}",
        f"needs {words.count(here - there, 'hour')} more of work",
    )


def _reach(both: _Both) -> Iterator[Difference]:
    here, there = (reached(both.problem, side.placed) for side in (both.plan, both.greedy))
    yield Difference(
        both.problem.weights.reach * (here - there),
        "its classes suit more people on their own days than slot by slot",
        "suits fewer people on the days themselves",
    )
