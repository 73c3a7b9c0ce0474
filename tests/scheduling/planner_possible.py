"""Whether pins can be kept, by trying every placement of a tiny month.

Written from the words of the rules alone: a group of rules that is left out is not asked.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from itertools import combinations, product

from coach.scheduling.planner import PlanClass, Problem

Chosen = dict[date, int]


def possible(problem: Problem, kept: frozenset[str]) -> bool:
    """True if a placement keeps the pins and the rules of the groups that are kept."""
    pins = [pin for pin in problem.pins if f"pin:{pin[0]}" in kept]
    return any(
        all(chosen.get(day) == class_id for day, class_id in pins)
        and allowed(problem, chosen, kept)
        for chosen in placements(problem, pins, kept)
    )


def placements(problem: Problem, pins: list[tuple[date, int]], kept: frozenset[str]
               ) -> Iterator[Chosen]:  # fmt: skip
    """Every way to put a class, or none, on each day that is open."""
    opened = {day for day, _ in problem.pins if f"closed:{day}" not in kept}
    days = sorted({*problem.slots, *(day for day in opened if day > problem.today)})
    ids = [None, *(item.id for item in problem.classes)]
    for row in product(ids, repeat=len(days)):
        yield {day: n for day, n in zip(days, row, strict=True) if n is not None}


def allowed(problem: Problem, chosen: Chosen, kept: frozenset[str]) -> bool:
    """True if a placement breaks no rule of the groups kept."""
    offered = {item.id: item for item in problem.classes}
    placed = sorted((day, offered[n]) for day, n in chosen.items())
    standing = [up.day for up in problem.fixed if up.published or up.day >= problem.today]
    return (
        ("once" not in kept or len(set(chosen.values())) == len(chosen))
        and all(_on_a_good_day(day, item) for day, item in placed if f"days:{item.id}" in kept)
        and all(_in_order(problem, placed, day, item) for day, item in placed
                if f"series:{item.series}" in kept)
        and ("hours" not in kept or _ready(problem, placed))
        and ("filming" not in kept or problem.film_days is None or _filmed(problem, placed))
        and ("a_week" not in kept or problem.a_week is None or _at_pace(problem, placed, standing))
        and ("gap" not in kept or _apart(problem, placed, standing))
    )  # fmt: skip


Placed = list[tuple[date, PlanClass]]


def _on_a_good_day(day: date, item: PlanClass) -> bool:
    return (item.not_before or date.min) <= day <= (item.not_after or date.max)


def _in_order(problem: Problem, placed: Placed, day: date, item: PlanClass) -> bool:
    if item.series is None or item.part is None:
        return True
    mine = [one for one in problem.classes if one.series == item.series and one.part is not None]
    lower = [one.id for one in mine if (one.part or 0) < item.part]
    fixed = [
        (up.item.part, up.day)
        for up in problem.fixed
        if up.item.series == item.series and up.item.part is not None
    ]
    return all(
        [on for on, other in placed if other.id == n] and
        all(on < day for on, other in placed if other.id == n)
        for n in lower
    ) and all(
        (part >= item.part or on < day) and (part <= item.part or on > day) for part, on in fixed
    )  # fmt: skip


def _limits(problem: Problem, placed: Placed) -> set[date]:
    unpublished = {up.day for up in problem.fixed if not up.published}
    return {*problem.slots, *unpublished, *(day for day, _ in placed)}


def _ready(problem: Problem, placed: Placed) -> bool:
    for limit in _limits(problem, placed):
        last = limit - timedelta(days=problem.lead_days)
        ahead = [problem.today + timedelta(days=n) for n in range(1, 400)]
        days = [day for day in ahead if day <= last and day not in problem.days_off]
        spare = problem.minutes_a_week * len(days) // 7 - sum(
            up.item.minutes_of_work for up in problem.fixed if not up.published and up.day <= limit
        )
        if sum(item.minutes_of_work for day, item in placed if day <= limit) > max(0, spare):
            return False
    return True


def _filmed(problem: Problem, placed: Placed) -> bool:
    for limit in _limits(problem, placed):
        last = limit - timedelta(days=problem.film_lead_days)
        spare = problem.films_a_day * sum(day <= last for day in problem.film_days or ()) - sum(
            up.item.needs_filming for up in problem.fixed if not up.published and up.day <= limit
        )
        if sum(item.needs_filming for day, item in placed if day <= limit) > max(0, spare):
            return False
    return True


def _at_pace(problem: Problem, placed: Placed, standing: list[date]) -> bool:
    def week(day: date) -> tuple[int, int]:
        year, number, _ = day.isocalendar()
        return year, number

    return all(
        sum(week(other) == week(day) for other, _ in placed)
        <= (problem.a_week or 0) - sum(week(other) == week(day) for other in standing)
        for day, _ in placed
    )


def _apart(problem: Problem, placed: Placed, standing: list[date]) -> bool:
    days = [day for day, _ in placed]
    pairs = [*combinations(days, 2), *product(days, standing)]
    return all(abs((one - other).days) >= problem.gap_days for one, other in pairs)
