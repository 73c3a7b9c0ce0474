"""Invented months to plan: how long a plan takes, how near to the best, beside a greedy one."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import median
from time import perf_counter, process_time
from typing import Any

from coach.scheduling.planner import (
    FixedUpload,
    PlanClass,
    Problem,
    Weights,
    freeze_need,
    make_plan,
)
from coach.scheduling.values import SERVABLE_STAGES, Stage
from content.rules.preferences import weights

TODAY = date(2026, 12, 18)
JANUARY = [date(2027, 1, day) for day in range(1, 32)]
FEBRUARY = [date(2027, 2, day) for day in range(1, 8)]
FOCUSES = ("breathing", "core", "pelvic floor", "hips", "back", "strength", "mobility", "rest")
# What a class still needs in minutes and whether it is filmed, and how many in a hundred there are.
WORK = ((0, False, 20), (90, False, 15), (210, True, 30), (300, True, 35))
CLOCKS = ("seconds", "processor")  # the wall's, and the processor's own: others may share it


@dataclass(frozen=True, slots=True)
class Size:
    """A month's size: its publish days, how many classes to choose from, how many months."""

    slots: Sequence[date]
    classes: int
    months: int
    a_week: int | None = None
    gap_days: int = 1


SIZES = {
    "thirteen": Size([day for day in JANUARY if day.weekday() in (0, 2, 4)], 60, 20),
    "every day": Size(JANUARY, 300, 10),
    "so many a week": Size([day for day in JANUARY if day.weekday() != 6], 300, 10, 3, 2),
}


def measure(sizes: Mapping[str, Size] = SIZES) -> dict[str, Any]:
    """Every month of every size: value, bound, gap, status, seconds, and the greedy value."""
    return {name: _measured(size) for name, size in sizes.items()}


def _measured(size: Size) -> dict[str, Any]:
    months = [_one(a_month(seed, size)) for seed in range(size.months)]
    return {
        "slots": len(size.slots),
        "classes": size.classes,
        "proved": sum(month["status"] == "optimal" for month in months),
        "median": {clock: median(month[clock] for month in months) for clock in CLOCKS},
        "longest": {clock: max(month[clock] for month in months) for clock in CLOCKS},
        "widest_gap": max(month["gap"] for month in months),
        "months": months,
    }


def _one(problem: Problem) -> dict[str, Any]:
    begun, busy = perf_counter(), process_time()
    plan = make_plan(problem)
    return {
        "seconds": perf_counter() - begun,
        "processor": process_time() - busy,
        "status": plan.status,
        "value": plan.value,
        "bound": plan.bound,
        "gap": plan.gap,
        "greedy": plan.greedy_value,
        "nodes": plan.nodes,
    }


def a_month(seed: int, size: Size) -> Problem:
    """One invented month; the presets take turns."""
    rng = random.Random(seed)  # noqa: S311 - invented, and the same each time
    presets: list[Weights] = list(weights().values())
    classes = list(_classes(rng, size.classes))
    fixed = list(_fixed(rng, size))
    taken = {upload.day for upload in fixed}
    slots = tuple(day for day in size.slots if day not in taken)
    film_days = [TODAY + timedelta(days=n) for n in range(3, 44, 7)]
    return Problem(
        today=TODAY,
        slots=slots,
        classes=tuple(classes),
        fixed=tuple(fixed),
        need=freeze_need(dict(_need(rng, slots))),
        minutes_a_week=rng.choice([480, 720, 960]),
        lead_days=3,
        weights=presets[seed % len(presets)],
        serve_every_days=14,
        days_off=(date(2026, 12, 25), date(2026, 12, 26), date(2027, 1, 1)),
        film_days=tuple(film_days),
        film_lead_days=4,
        a_week=size.a_week,
        gap_days=size.gap_days,
        mix=tuple((focus, rng.randint(1, 2 + len(slots) // 8)) for focus in FOCUSES),
    )


def _classes(rng: random.Random, many: int) -> Iterator[PlanClass]:
    """Families of one to six classes; about a fifth of all in series of three to five parts."""
    family, left, series, part, parts = 0, 0, 0, 0, 0
    for number in range(1, many + 1):
        if not left:
            family, left = family + 1, rng.randint(1, 6)
        left -= 1
        if part == parts:
            series, part, parts = series + 1, 0, rng.randint(3, 5) if rng.random() < 0.06 else 0
        part += part < parts
        yield _class(rng, number, family, (series, part) if parts else None)


def _class(
    rng: random.Random, number: int, family: int, place: tuple[int, int] | None
) -> PlanClass:
    minutes, needs_filming, _ = rng.choices(WORK, [share for *_, share in WORK])[0]
    return PlanClass(
        id=number,
        title=f"Class {number}",
        focus=FOCUSES[(family + (rng.random() < 0.3)) % len(FOCUSES)],
        stages=_stages(rng),
        minutes_of_work=minutes,
        series=place[0] if place else None,
        series_title=f"Series {place[0]}" if place else "",
        part=place[1] if place else None,
        effort=rng.randint(1, 9),
        not_before=rng.choice(JANUARY) if rng.random() < 0.05 else None,
        not_after=rng.choice(JANUARY) if rng.random() < 0.05 else None,
        wanted_soon=rng.random() < 0.05,
        needs_filming=needs_filming,
        family=family,
    )


def _stages(rng: random.Random) -> frozenset[Stage]:
    """Neighbouring stages, two to five of them."""
    first, many = rng.randrange(len(SERVABLE_STAGES) - 1), rng.randint(2, 5)
    return frozenset(SERVABLE_STAGES[first : first + many])


def _fixed(rng: random.Random, size: Size) -> Iterator[FixedUpload]:
    """Three uploads a week until today, and four that stand to come."""
    earlier = [TODAY - timedelta(days=n) for n in (1, 3, 5, 8, 10, 12, 15, 17, 19, 22, 24, 26)]
    free = [day for day in (*JANUARY, *FEBRUARY) if day not in size.slots]
    coming = [TODAY + timedelta(days=n) for n in (4, 9)] + rng.sample(free, 2)
    for n, day in enumerate([*earlier, *coming]):
        item = _class(rng, 10_001 + n, rng.randint(1, 20), None)
        yield FixedUpload(day, item, published=day <= TODAY)


def _need(rng: random.Random, slots: Sequence[date]) -> Iterator[tuple[date, dict[Stage, int]]]:
    """Some clients at every stage; from week to week one or two move on."""
    row = {stage: rng.randint(0, 7) for stage in SERVABLE_STAGES}
    for before, day in zip([None, *slots], slots, strict=False):
        if before is not None and day.isocalendar().week != before.isocalendar().week:
            stage = rng.randrange(len(SERVABLE_STAGES) - 1)
            old, new = SERVABLE_STAGES[stage], SERVABLE_STAGES[stage + 1]
            moved = min(row[old], rng.randint(1, 2))
            row = {**row, old: row[old] - moved, new: row[new] + moved}
        yield day, dict(row)
