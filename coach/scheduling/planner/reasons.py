"""Why each class stands where it stands, and what the next best one would cost, in sentences."""

from __future__ import annotations

from datetime import date, timedelta
from functools import cached_property

from coach.scheduling.planner import words
from coach.scheduling.planner.grid import Choice, Grid, in_order
from coach.scheduling.planner.measure import placed_classes, standing
from coach.scheduling.planner.problem import PlanClass
from coach.scheduling.values import Stage

SPELT_OUT = 2  # stages that get a sentence of their own; the others are added up


class Month:
    """A planned month, ready to be explained."""

    def __init__(self, grid: Grid, choice: Choice) -> None:
        self.grid, self.choice, self.problem = grid, choice, grid.problem
        self.placement = grid.placement(choice)
        self.placed = placed_classes(grid.problem, self.placement)

    @cached_property
    def uploads(self) -> list[tuple[date, int, PlanClass]]:
        """Standing uploads and placed classes in order of day and id."""
        kept = [(up.day, up.item.id, up.item) for up in standing(self.problem)]
        new = [(day, item.id, item) for day, item in self.placed.items()]
        return sorted(kept + new, key=lambda upload: upload[:2])

    def last(self, day: date, stage: Stage | None = None) -> tuple[date, PlanClass] | None:
        """The last upload before a day, or the last one that suits a stage."""
        before = [
            (on, item)
            for on, _, item in self.uploads
            if on < day and (stage is None or stage in item.stages)
        ]
        return before[-1] if before else None

    def next(self, day: date, stage: Stage) -> date | None:
        """The day of the first upload after a day that suits a stage."""
        days = (on for on, _, item in self.uploads if on > day and stage in item.stages)
        return next(days, None)

    @cached_property
    def slack(self) -> list[int]:
        """For each slot the minutes by which work there could still grow."""
        busy, spare = 0, []
        for k, room in zip(self.choice, self.grid.room, strict=True):
            busy += self.grid.kinds[k].minutes if k is not None else 0
            spare.append(room - busy)
        return [min(spare[i:]) for i in range(len(spare))]

    def unused(self, k: int) -> set[int]:
        """The classes of a kind that are not placed."""
        return set(self.grid.kinds[k].members) - set(self.placement.values())

    def spare(self, k: int) -> PlanClass:
        """The first class of a kind that is not placed."""
        ids = self.unused(k)
        return next(item for item in self.problem.classes if item.id in ids)

    def could_stand(self, k: int, i: int) -> bool:
        """True if an unused class of a kind could take slot i, all else staying."""
        return bool(self.unused(k)) and not self.held_by(k, i)

    def held_by(self, k: int, i: int) -> set[str]:
        """The hard rules that keep a kind from taking slot i, all else staying."""
        grid, now, day = self.grid, self.choice[i], self.grid.slots[i]
        item = grid.kinds[k].sample
        freed = grid.kinds[now].minutes if now is not None else 0
        late = grid.kinds[k].minutes > self.slack[i] + freed
        near = day - timedelta(days=self.problem.lead_days) <= self.problem.today
        rules = {
            "date": item.not_before is not None and day < item.not_before,
            "series": any(before not in self.choice[:i] for before in grid.earlier[k])
            or not in_order(self.problem, item, day, after_lower=True),
            "passed": not in_order(self.problem, item, day, after_lower=False),
            "needed": any(now in grid.earlier[b] for b in self.choice if b is not None),
            "near": late and near,
            "work": late and not near,
        }
        return {rule for rule, holds in rules.items() if holds}


def reasons(month: Month, i: int) -> tuple[str, ...]:
    """The sentences for a slot that holds a class."""
    day = month.grid.slots[i]
    item = month.placed[day]
    said = [
        *_serves(month, i, item),
        _series(month, day, item),
        _mix(month, day, item),
        _work(month, day, item),
        _next_best(month, i),
    ]
    return tuple(words.sentence(text) for text in said if text)


def _serves(month: Month, i: int, item: PlanClass) -> list[str]:
    day = month.grid.slots[i]
    stages = {stage: n for stage, n in month.grid.need[i].items() if stage in item.stages}
    if not stages:
        return ["no client is expected at a stage that it suits; it keeps the pace"]
    waits = {stage: month.last(day, stage) for stage in stages}
    ranked = sorted(stages, key=lambda stage: (_day(waits[stage]), -stages[stage], stage))
    said = [_serve(month, stages[stage], stage, waits[stage]) for stage in ranked[:SPELT_OUT]]
    rest = sum(stages[stage] for stage in ranked[SPELT_OUT:])
    return said + [f"it also suits {words.count(rest, 'client')} at other stages"] * bool(rest)


def _day(upload: tuple[date, PlanClass] | None) -> date:
    return upload[0] if upload is not None else date.min


def _serve(month: Month, clients: int, stage: Stage, last: tuple[date, PlanClass] | None) -> str:
    if last is None:
        since = "nothing for them yet"
    elif last[0] <= month.problem.today:
        since = f"nothing for them since {words.past(last[0], month.problem.today)}"
    else:
        since = f"the last for them is on {words.on(last[0])}"
    return f"{words.count(clients, 'client')} will be {words.at_stage(stage)}; {since}"


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


def _mix(month: Month, day: date, item: PlanClass) -> str:
    last = month.last(day)
    if last is None or not item.focus or not last[1].focus:
        return ""
    on, before = last
    effort = ""
    if item.effort is not None and before.effort is not None and item.effort != before.effort:
        effort = f", effort {words.number(item.effort)} after {words.number(before.effort)}"
    if before.focus == item.focus:
        return f"{item.focus} again, as on {words.on(on)}{effort}"
    return f"{item.focus} after {before.focus}{effort}"


def _work(month: Month, day: date, item: PlanClass) -> str:
    if not item.minutes_of_work:
        return "it is finished"
    ready = day - timedelta(days=month.problem.lead_days)
    return f"it needs {words.hours(item.minutes_of_work)} of work, ready by {words.on(ready)}"


def _next_best(month: Month, i: int) -> str:
    grid = month.grid
    around = (grid.focus_before(month.choice, i), grid.focus_after(month.choice, i))
    unserved = grid.unserved(month.choice, i)
    options = [
        (grid.gain(k, i, unserved, around), -grid.kinds[k].sample.id, k)
        for k in range(len(grid.kinds))
        if month.could_stand(k, i)
    ]
    if not options:
        return ""
    _, _, k = max(options)
    other = month.spare(k)
    costs = [*_waits(month, i, other, unserved), *_repeats(month, i, other, around)]
    costs += _effort(month, i, other)
    return f"next best: {other.title}, which {words.joined(costs[:2]) or 'would do as well'}"


def _waits(month: Month, i: int, other: PlanClass, unserved: dict[Stage, int]) -> list[str]:
    """Who would wait, worst first: stages that the class at the slot serves and the other not."""
    day, now = month.grid.slots[i], month.grid.stages_at(month.choice, i)
    lost = [(-unserved.get(stage, 0), stage) for stage in now - other.stages]
    said = []
    for gone, stage in sorted(lost):
        until = month.next(day, stage)
        if gone and until is None:
            said.append(f"leaves {words.stage_name(stage)} without a class until the month is out")
        elif gone and until is not None:
            more = words.count((until - day).days, "day")
            said.append(f"leaves {words.stage_name(stage)} waiting {more} more")
    return said


def _repeats(month: Month, i: int, other: PlanClass, around: tuple[str, str]) -> list[str]:
    now = month.placed[month.grid.slots[i]].focus
    if other.focus and around.count(other.focus) > (around.count(now) if now else 0):
        return [f"repeats {other.focus}"]
    return []


def _effort(month: Month, i: int, other: PlanClass) -> list[str]:
    """What it costs beyond waiting and repeats: fewer clients on the day, more work."""
    now, need = month.placed[month.grid.slots[i]], month.grid.need[i]
    fewer = sum(n for stage, n in need.items() if stage in now.stages) - sum(
        n for stage, n in need.items() if stage in other.stages
    )
    more = other.minutes_of_work - now.minutes_of_work
    said = [f"suits {words.count(fewer, 'client')} fewer"] if fewer > 0 else []
    return said + ([f"needs {words.hours(more)} more of work"] if more > 0 else [])
