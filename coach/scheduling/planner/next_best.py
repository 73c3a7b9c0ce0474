"""The class that would come next at a slot, and what it would cost, in words and in points."""

from __future__ import annotations

from collections.abc import Iterator

from coach.scheduling.planner import words
from coach.scheduling.planner.grid import Around
from coach.scheduling.planner.measure import TRAITS, Trait
from coach.scheduling.planner.people import people
from coach.scheduling.planner.planned import Month
from coach.scheduling.planner.problem import PlanClass
from coach.scheduling.values import Stage

NAMED = 2  # costs in a sentence

Cost = tuple[int, str]
"""Points lost, and the words for it."""


def next_best(month: Month, i: int) -> str:
    """The unused class that would add most at a filled slot; empty if none could stand there."""
    grid = month.grid
    around, unserved = grid.around(month.choice, i), grid.unserved(month.choice, i)
    options = [
        (grid.gain(k, i, unserved, around), -grid.kinds[k].sample.id, k)
        for k in range(len(grid.kinds))
        if month.could_stand(k, i)
    ]
    if not options:
        return ""
    other = month.spare(max(options)[2])
    less = month.value - month.value_with(other, i)
    named = f"next best: {other.title}, which"
    if less <= 0:
        return f"{named} would " + (
            f"add {words.count(-less, 'point')} more" if less else "do as well"
        )
    costs = sorted(_costs(month, i, other), key=lambda cost: -cost[0])[:NAMED]
    lost = words.joined([text for _, text in costs]) or "adds less"
    return f"{named} {lost}: {words.count(less, 'point')} less"


def _costs(month: Month, i: int, other: PlanClass) -> Iterator[Cost]:
    """What is lost with another class at the slot, each thing by itself; gains are not told."""
    now = month.placed[month.grid.slots[i]]
    around = month.grid.around(month.choice, i)
    for costs in (
        _waits(month, i, other),
        _repeats(month, now, other, around),
        _share(month, other, around),
        _filming(month, now, other, around),
        _on_the_day(month, i, now, other),
    ):
        yield from (cost for cost in costs if cost[0] > 0)


def _waits(month: Month, i: int, other: PlanClass) -> Iterator[Cost]:
    """Who would wait: stages that the class at the slot serves and the other one doesn't."""
    unserved = month.grid.unserved(month.choice, i)
    for stage in sorted(month.grid.stages_at(month.choice, i) - other.stages):
        yield month.problem.weights.serve * unserved.get(stage, 0), _wait(month, i, stage)


def _wait(month: Month, i: int, stage: Stage) -> str:
    day = month.grid.slots[i]
    until = month.next(day, stage)
    if until is None:
        return f"leaves {words.stage_name(stage)} without a class until the month is out"
    more = words.count((until - day).days, "day")
    return f"leaves {words.stage_name(stage)} waiting {more} more"


def _repeats(month: Month, now: PlanClass, other: PlanClass, around: Around) -> Iterator[Cost]:
    said: dict[Trait, str] = {
        "focus": f"repeats {other.focus}",
        "effort": f"is {other.band} again",
        "family": "has much the same exercises as the one beside it",
    }
    for trait, text in said.items():
        more = _alike(trait, other, around) - _alike(trait, now, around)
        yield getattr(month.problem.weights, trait) * more, text


def _alike(trait: Trait, item: PlanClass, around: Around) -> int:
    has = TRAITS[trait](item)
    beside = [one for one in (around.before, around.after) if one is not None]
    return sum(has is not None and has == TRAITS[trait](one) for one in beside)


def _share(month: Month, other: PlanClass, around: Around) -> Iterator[Cost]:
    most = month.grid.most.get(other.focus)
    if most is not None and around.placed.get(other.focus, 0) >= most:
        yield month.problem.weights.mix, f"goes beyond the share of {other.focus}"


def _filming(month: Month, now: PlanClass, other: PlanClass, around: Around) -> Iterator[Cost]:
    if month.problem.film_days is not None and other.needs_filming and not now.needs_filming:
        more = month.grid.another_day(around.filmed)
        yield month.problem.weights.film * more, "takes a filming day more"


def _on_the_day(month: Month, i: int, now: PlanClass, other: PlanClass) -> Iterator[Cost]:
    """Fewer clients on the day, more work, or one that she wants soon left out."""
    problem, weights, day = month.problem, month.problem.weights, month.grid.slots[i]
    need, fewer = 0, 0
    for stage, weight in month.grid.need[i].items():
        side = (stage in now.stages) - (stage in other.stages)
        need += side * weight
        fewer += side * people(problem, day, stage).clients
    if fewer > 0:
        yield weights.reach * need, f"suits {words.count(fewer, 'client')} fewer"
    more = other.minutes_of_work - now.minutes_of_work
    if more > 0:
        hours = other.hours_of_work - now.hours_of_work
        yield weights.work * hours, f"needs {words.hours(more)} more of work"
    if now.wanted_soon and not other.wanted_soon:
        yield weights.soon * (len(month.grid.slots) - i), "leaves out what you want soon"
