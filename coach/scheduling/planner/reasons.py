"""Why each class stands where it stands, in sentences."""

from __future__ import annotations

from datetime import date

from coach.scheduling.planner import words
from coach.scheduling.planner.next_best import next_best
from coach.scheduling.planner.people import People, people
from coach.scheduling.planner.planned import Month, film_by, ready_by
from coach.scheduling.planner.problem import PlanClass
from coach.scheduling.values import Stage

__all__ = ["Month", "reasons"]

SPELT_OUT = 2  # stages that get a sentence of their own; the others are added up


def reasons(month: Month, i: int) -> tuple[str, ...]:
    """The sentences for a slot that holds a class."""
    day = month.grid.slots[i]
    item = month.placed[day]
    said = [
        "you put it here" if day in month.pinned else "",
        *_serves(month, i, item),
        _series(month, day, item),
        *_mix(month, day, item),
        "you want it soon" if item.wanted_soon else "",
        _its_days(month, item),
        *_work(month, day, item),
        next_best(month, i),
    ]
    return tuple(words.sentence(text) for text in said if text)


def _serves(month: Month, i: int, item: PlanClass) -> list[str]:
    """Whom it suits: who waits longest first. Nobody is counted as served without a go-ahead."""
    day = month.grid.slots[i]
    stages = [stage for stage in month.grid.need[i] if stage in item.stages]
    if not stages:
        return ["no client is expected at a stage that it suits; it keeps the pace"]
    there = {stage: people(month.problem, day, stage) for stage in stages}
    waits = {stage: month.last(day, stage) for stage in stages}
    ranked = sorted(
        stages, key=lambda stage: (_day(waits[stage]), -month.grid.need[i][stage], stage)
    )
    said = [_serve(month, there[stage], stage, waits[stage]) for stage in ranked[:SPELT_OUT]]
    rest = sum((there[stage] for stage in ranked[SPELT_OUT:]), start=People(0, 0))
    also = f"it also suits {words.count(rest.clients, 'client')} at other stages"
    return said + [also + rest.with_go_ahead] * bool(rest.clients)


def _day(upload: tuple[date, PlanClass] | None) -> date:
    return upload[0] if upload is not None else date.min


def _serve(month: Month, who: People, stage: Stage, last: tuple[date, PlanClass] | None) -> str:
    if last is None:
        since = "nothing for them yet"
    elif last[0] <= month.problem.today:
        since = f"nothing for them since {words.past(last[0], month.problem.today)}"
    else:
        since = f"the last for them is on {words.on(last[0])}"
    return f"{who.named} will be {words.at_stage(stage)}{who.with_go_ahead}; {since}"


def _series(month: Month, day: date, item: PlanClass) -> str:
    """Its place in the series, by the part that comes last before it."""
    if item.order is None:
        return ""
    everywhere = [(up.day, up.item) for up in month.problem.fixed] + list(month.placed.items())
    before = [(other.part, on) for on, other in everywhere if on < day and _lower(other, item)]
    series = f"part {item.part} of {words.quoted(item.series_title or item.title)}"
    if not before:
        return f"{series} opens the series"
    part, on = max(before)
    return f"{series} follows part {part} on {words.on(on)}"


def _lower(other: PlanClass, item: PlanClass) -> bool:
    return (
        other.order is not None
        and item.order is not None
        and other.order[0] == item.order[0]
        and other.order < item.order
    )


def _mix(month: Month, day: date, item: PlanClass) -> list[str]:
    """How it goes with the upload before it: focus, effort, exercises."""
    last = month.last(day)
    if last is None:
        return []
    on, before = last
    said = []
    if item.focus and before.focus:
        after = (
            f"again, as on {words.on(on)}"
            if before.focus == item.focus
            else (f"after {before.focus}")
        )
        said.append(f"{item.focus} {after}{_effort(item, before)}")
    if item.family is not None and item.family == before.family:
        said.append(f"much the same exercises as {words.quoted(before.title)} before it")
    return said


def _effort(item: PlanClass, before: PlanClass) -> str:
    if item.effort is None or before.effort is None:
        return ""
    if item.band and item.band == before.band:
        return f", {item.band} again"
    if item.effort == before.effort:
        return ""
    return f", effort {words.number(item.effort)} after {words.number(before.effort)}"


def _its_days(month: Month, item: PlanClass) -> str:
    """The days that it may have, where they keep it from any to come."""
    first, last = item.not_before, item.not_after
    if first is not None and first <= month.grid.slots[0]:
        first = None
    if first is not None and last is not None:
        return f"its days are from {words.on(first)} to {words.on(last)}"
    if first is not None:
        return f"its days are from {words.on(first)} on"
    return f"its days are up to {words.on(last)}" if last is not None else ""


def _work(month: Month, day: date, item: PlanClass) -> list[str]:
    """What is still to be done for it, and until when; filming where she says when she films."""
    if not item.minutes_of_work and not item.needs_filming:
        return ["it is finished"]
    said = []
    if month.problem.film_days is not None:
        to_film = f"it is to be filmed by {words.on(film_by(month.problem, day))}"
        said.append(to_film if item.needs_filming else "it is filmed")
    if item.minutes_of_work:
        ready = words.on(ready_by(month.problem, day))
        said.append(f"it needs {words.hours(item.minutes_of_work)} of work, ready by {ready}")
    return said
