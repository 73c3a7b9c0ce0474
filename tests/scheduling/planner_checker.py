"""Judges a month's plan from outside: the hard rules and the value.

Written from the words of the rules alone, as plainly as they are put there and
slower than it could be, so that it shares no thought with the planner it judges.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache
from itertools import combinations, pairwise

from coach.scheduling.planner import FixedUpload, PlanClass, Problem
from coach.scheduling.values import Stage
from tests.scheduling.planner_random import MONDAY, SERVABLE, Chosen, random_problem

__all__ = ["MONDAY", "Chosen", "Upload", "broken_rules", "need_on", "random_problem", "reached",
           "repeats", "simple_plan", "standing", "value_of", "wishes"]  # fmt: skip

DAY = timedelta(days=1)


@dataclass(frozen=True)
class Upload:
    """A fixed upload that stands, or a placed class, on its day."""

    day: date
    item: PlanClass
    placed: bool


def broken_rules(problem: Problem, chosen: Chosen) -> list[str]:
    """Each broken hard rule in words; none for a plan that may be kept."""
    offered = {item.id: item for item in problem.classes}
    if foreign := [day for day in chosen if day not in problem.slots]:
        return [f"not a slot: {foreign}"]
    if unknown := [number for number in chosen.values() if number not in offered]:
        return [f"not offered: {unknown}"]
    placed = _placed(problem, chosen)
    return [
        *_placed_twice(chosen),
        *_on_a_wrong_day(placed),
        *_series_broken(problem, placed),
        *_not_ready(problem, placed),
        *_not_filmed(problem, placed),
        *_too_many_a_week(problem, placed),
        *_too_near(problem, placed),
        *(f"pin: {number} on {day}" for day, number in problem.pins if chosen.get(day) != number),
    ]


def _placed(problem: Problem, chosen: Chosen) -> list[Upload]:
    offered = {item.id: item for item in problem.classes}
    return [Upload(day, offered[number], True) for day, number in sorted(chosen.items())]


def standing(problem: Problem) -> list[Upload]:
    """The fixed uploads that stand: published, or not before today."""
    return [
        Upload(upload.day, upload.item, False)
        for upload in problem.fixed
        if upload.published or upload.day >= problem.today
    ]


def _placed_twice(chosen: Chosen) -> Iterator[str]:
    ids = list(chosen.values())
    yield from (f"twice: {number}" for number in sorted(set(ids)) if ids.count(number) > 1)


def _on_a_wrong_day(placed: list[Upload]) -> Iterator[str]:
    for up in placed:
        if up.item.not_before is not None and up.day < up.item.not_before:
            yield f"too early: {up.item.id} on {up.day}"
        if up.item.not_after is not None and up.day > up.item.not_after:
            yield f"too late: {up.item.id} on {up.day}"


def _series_broken(problem: Problem, placed: list[Upload]) -> Iterator[str]:
    day_of = {up.item.id: up.day for up in placed}
    for day, this in ((up.day, up.item) for up in placed):
        if this.series is None or this.part is None:
            continue
        for other in problem.classes:
            lower = _same_series(this, other) and (other.part or 0) < this.part
            if lower and not day_of.get(other.id, date.max) < day:
                yield f"order: {this.id} on {day} without {other.id} before it"
        for upload in problem.fixed:
            if not _same_series(this, upload.item) or upload.item.part is None:
                continue
            if upload.item.part < this.part and not upload.day < day:
                yield f"order: {this.id} on {day}, fixed lower part on {upload.day}"
            if upload.item.part > this.part and not upload.day > day:
                yield f"order: {this.id} on {day}, fixed higher part on {upload.day}"


def _same_series(one: PlanClass, other: PlanClass) -> bool:
    return one.id != other.id and one.series == other.series and other.part is not None


def _unpublished(problem: Problem) -> list[FixedUpload]:
    return [upload for upload in problem.fixed if not upload.published]


def _days_that_ask(problem: Problem) -> list[date]:
    """The slots and the days of unpublished fixed uploads: where time is counted up."""
    return sorted({*problem.slots, *(upload.day for upload in _unpublished(problem))})


@cache
def _working_days(first: date, last: date, days_off: tuple[date, ...]) -> int:
    """The days from the first to the last that are no day off."""
    day, days = first, 0
    while day <= last:
        days += day not in days_off
        day += DAY
    return days


def _not_ready(problem: Problem, placed: list[Upload]) -> Iterator[str]:
    for limit in _days_that_ask(problem):
        first, last = problem.today + DAY, limit - problem.lead_days * DAY
        capacity = problem.minutes_a_week * _working_days(first, last, problem.days_off) // 7
        promised = sum(
            up.item.minutes_of_work for up in _unpublished(problem) if up.day <= limit
        )  # fmt: skip
        planned = sum(up.item.minutes_of_work for up in placed if up.day <= limit)
        if planned > max(0, capacity - promised):
            yield f"not ready: {planned} min by {limit}, {capacity} less {promised} there"


def _not_filmed(problem: Problem, placed: list[Upload]) -> Iterator[str]:
    if problem.film_days is None:
        return
    for limit in _days_that_ask(problem):
        last = limit - problem.film_lead_days * DAY
        takes = problem.films_a_day * len([day for day in problem.film_days if day <= last])
        awaited = _to_film(up for up in _unpublished(problem) if up.day <= limit)
        filmed = _to_film(up for up in placed if up.day <= limit)
        if filmed > max(0, takes - awaited):
            yield f"not filmed: {filmed} by {limit}, {takes} less {awaited} there"


def _to_film(uploads: Iterable[FixedUpload | Upload]) -> int:
    return len([upload for upload in uploads if upload.item.needs_filming])


def _too_many_a_week(problem: Problem, placed: list[Upload]) -> Iterator[str]:
    if problem.a_week is None:
        return
    for week in sorted({up.day.isocalendar()[:2] for up in placed}):
        there, new = (
            len([up for up in uploads if up.day.isocalendar()[:2] == week])
            for uploads in (standing(problem), placed)
        )
        if new > problem.a_week - there:
            yield f"pace: {new} more than {there} standing in week {week}"


def _too_near(problem: Problem, placed: list[Upload]) -> Iterator[str]:
    for one, other in combinations([*placed, *standing(problem)], 2):
        if one.placed and abs((one.day - other.day).days) < problem.gap_days:
            yield f"gap: {one.item.id} on {one.day}, {other.item.id} on {other.day}"


def value_of(problem: Problem, chosen: Chosen) -> int:
    """The value of a placement, counted anew from the words of the rules."""
    return sum(wishes(problem, chosen).values())


def wishes(problem: Problem, chosen: Chosen) -> dict[str, int]:
    """What each wish adds to the value, under the name of its weight."""
    placed, there = _placed(problem, chosen), standing(problem)
    both = [*placed, *there]
    served = newly_served(problem, placed, there)
    counts = {
        "fill": len(placed),
        "serve": sum(clients for *_, clients in served),
        "reach": sum(reached(problem, up.day, up.item) for up in placed),
        "soon": sum(
            len([slot for slot in problem.slots if slot >= up.day])
            for up in placed
            if up.item.wanted_soon
        ),
        "focus": -len(repeats(both)),
        "effort": -len(band_repeats(both)),
        "family": -len(family_repeats(both)),
        "mix": -sum(too_many_of(placed, focus, most) for focus, most in problem.mix),
        "film": -more_filming_days(problem, placed),
        "work": -sum((up.item.minutes_of_work + 59) // 60 for up in placed),
    }
    return {name: getattr(problem.weights, name) * count for name, count in counts.items()}


def need_on(problem: Problem, day: date, stage: Stage) -> int:
    """The clients at a servable stage on a day; none where nothing is said."""
    if stage not in SERVABLE:
        return 0
    return dict(dict(problem.need).get(day, ())).get(stage, 0)


def reached(problem: Problem, day: date, item: PlanClass) -> int:
    """The clients whom a class on a day suits."""
    return sum(need_on(problem, day, stage) for stage in item.stages)


def newly_served(
    problem: Problem, placed: list[Upload], there: list[Upload]
) -> Iterator[tuple[date, Stage, int]]:
    """Day, stage and clients where placed classes alone serve within the window."""
    for day in problem.slots:
        after = day - timedelta(days=problem.serve_every_days)
        for stage in SERVABLE:
            by_placed, by_standing = (
                any(after < up.day <= day and stage in up.item.stages for up in uploads)
                for uploads in (placed, there)
            )
            if by_placed and not by_standing:
                yield day, stage, need_on(problem, day, stage)


Pair = tuple[Upload, Upload]


def neighbours(uploads: list[Upload]) -> list[Pair]:
    """Neighbours in the order of day and id of which a placed class is one."""
    in_order = sorted(uploads, key=lambda upload: (upload.day, upload.item.id))
    return [(one, other) for one, other in pairwise(in_order) if one.placed or other.placed]


def repeats(uploads: list[Upload]) -> list[Pair]:
    """Neighbours of one focus."""
    return [
        (one, other)
        for one, other in neighbours(uploads)
        if one.item.focus and one.item.focus == other.item.focus
    ]


def band_repeats(uploads: list[Upload]) -> list[Pair]:
    """Neighbours that are both hard, at effort 7 and up, or both easy, at 3 and down."""
    return [
        pair
        for pair in neighbours(uploads)
        if all(up.item.effort is not None and up.item.effort >= 7 for up in pair)
        or all(up.item.effort is not None and up.item.effort <= 3 for up in pair)
    ]


def family_repeats(uploads: list[Upload]) -> list[Pair]:
    """Neighbours with much the same exercises."""
    return [
        (one, other)
        for one, other in neighbours(uploads)
        if one.item.family is not None and one.item.family == other.item.family
    ]


def too_many_of(placed: list[Upload], focus: str, most: int) -> int:
    """By how many placed classes a focus is over its share."""
    return max(0, len([up for up in placed if up.item.focus == focus]) - most)


def more_filming_days(problem: Problem, placed: list[Upload]) -> int:
    """Filming days that the placed classes need beyond those of the fixed uploads."""
    if problem.film_days is None:
        return 0
    awaited, filmed = _to_film(_unpublished(problem)), _to_film(placed)
    return _filming_days(problem, filmed + awaited) - _filming_days(problem, awaited)


def _filming_days(problem: Problem, films: int) -> int:
    """The fewest days that take so many."""
    days = 0
    while days * problem.films_a_day < films:
        days += 1
    return days


def simple_plan(problem: Problem) -> Chosen:
    """What a hurried person would do: day by day the allowed class with the most clients.

    She turns to another focus than the day before where that serves as many. Pins she
    doesn't look at.
    """
    unpinned = replace(problem, pins=())
    chosen: Chosen = {}
    left, last = list(problem.classes), ""
    for day in problem.slots:
        left.sort(key=lambda c: (-reached(problem, day, c), bool(last) and c.focus == last, c.id))
        allowed = (c for c in left if not broken_rules(unpinned, {**chosen, day: c.id}))
        if best := next(allowed, None):
            chosen[day], last = best.id, best.focus
            left.remove(best)
    return chosen
