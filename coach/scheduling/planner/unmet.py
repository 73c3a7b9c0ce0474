"""What a plan could not have, why, and what would mend it, in sentences."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date, timedelta

from coach.scheduling.planner import words
from coach.scheduling.planner.measure import capacity, checkpoints, promised, repeats
from coach.scheduling.planner.problem import PlanClass
from coach.scheduling.planner.reasons import Month
from coach.scheduling.values import Stage


def unmet(month: Month) -> tuple[str, ...]:
    """Everything the plan leaves unmet: empty slots, stages, hours, order, repeats."""
    return (
        *_nothing_to_plan(month),
        *_empty_slots(month),
        *_stages(month),
        *_overdue(month),
        *_hours(month),
        *_order(month),
        *_repeated(month),
    )


def _nothing_to_plan(month: Month) -> Iterator[str]:
    if not month.grid.slots:
        yield (
            "There is no publish day left to plan: choose more publish days, "
            "or take fewer days off."
        )


def _empty_slots(month: Month) -> Iterator[str]:
    """One sentence for all the slots that are empty for the same reason."""
    alike: dict[tuple[str, PlanClass | None], list[int]] = defaultdict(list)
    for i, day in enumerate(month.grid.slots):
        if day not in month.placement:
            alike[_why_empty(month, i)].append(i)
    for (why, item), slots in alike.items():
        named = words.joined([words.on(month.grid.slots[i]) for i in slots])
        said = _ALL_ALIKE[why] if item is None else _NEAREST[why](month, item, slots[-1])
        yield f"Nothing for {named}: {said}."


def _why_empty(month: Month, i: int) -> tuple[str, PlanClass | None]:
    """What keeps a slot empty, and the class that comes nearest to filling it."""
    kinds = [k for k in range(len(month.grid.kinds)) if month.unused(k)]
    if not kinds:
        return "used up", None
    held = {k: month.held_by(k, i) for k in kinds}
    for why in ("wishes", "near"):
        if any(rules == {why} - {"wishes"} for rules in held.values()):
            return why, None
    spare = {k: month.spare(k) for k in kinds}
    if short := [spare[k] for k in kinds if held[k] == {"work"}]:
        return "work", min(short, key=lambda item: (item.minutes_of_work, item.id))
    if early := [spare[k] for k in kinds if "date" in held[k]]:
        return "date", min(early, key=lambda item: (item.not_before or date.min, item.id))
    turn = [spare[k] for k in kinds if "series" in held[k]]
    return ("series", turn[0]) if turn else ("passed", spare[kinds[0]])


def _no_time(month: Month, item: PlanClass, i: int) -> str:
    ready = month.grid.slots[i] - timedelta(days=month.problem.lead_days)
    missing = item.minutes_of_work - max(0, month.slack[i])
    return (
        f"no class left can be ready in time. {words.quoted(item.title)} needs least, "
        f"{words.hours(item.minutes_of_work)}: find {words.hours(missing)} more by "
        f"{words.on(ready)} for {words.on(month.grid.slots[i])}"
    )


def _too_early(month: Month, item: PlanClass, i: int) -> str:
    return (
        f"{words.quoted(item.title)} is not to come before "
        f"{words.on(item.not_before or month.grid.slots[i])}. "
        "Let it come earlier, or outline another class"
    )


def _out_of_turn(month: Month, item: PlanClass, i: int) -> str:
    return (
        f"{words.quoted(item.title)} has to wait for its turn in its series. "
        "Finish the earlier parts first, or outline a class that stands alone"
    )


def _passed(month: Month, item: PlanClass, i: int) -> str:
    return (
        f"{words.quoted(item.title)} can’t come after a later part of its series. "
        "Change the parts, or outline a class that stands alone"
    )


_NEAREST = {"work": _no_time, "date": _too_early, "series": _out_of_turn, "passed": _passed}
_ALL_ALIKE = {
    "used up": "the backlog is used up. Outline more classes, or publish on fewer days",
    "wishes": "the wishes weigh against every class that could stand there. "
    "Let a full month weigh more",
    "near": "it is too near for a class that still needs work, and no finished one can stand "
    "there. Keep finished classes in hand",
}


def _stages(month: Month) -> Iterator[str]:
    """Stages with clients that nothing suits, or that wait longer than she wants."""
    waiting: dict[Stage, list[int]] = defaultdict(list)
    for j, row in enumerate(month.grid.cells):
        for stage in row:
            if not _is_served(month, j, stage):
                waiting[stage].append(j)
    promised_to = [up.item.stages for up in month.problem.fixed if not up.published]
    for stage, windows in sorted(waiting.items()):
        suiting = [item.stages for item in month.problem.classes] + promised_to
        if any(stage in stages for stages in suiting):
            yield _waits(month, stage, windows)
        else:
            clients = max(month.grid.need[j][stage] for j in windows)
            yield (
                f"No unpublished class suits {words.stage_name(stage)}: "
                f"outline one to serve {words.count(clients, 'client')}."
            )


def _is_served(month: Month, j: int, stage: Stage) -> bool:
    windows = month.grid.windows
    return any(
        j in windows[i] and stage in month.grid.stages_at(month.choice, i) for i in range(j + 1)
    )


def _waits(month: Month, stage: Stage, windows: list[int]) -> str:
    clients = [month.grid.need[j][stage] for j in windows]
    up_to = "up to " if min(clients) < max(clients) else ""
    on = words.on(month.grid.slots[windows[0]])
    if len(windows) > 1:
        on = f"{words.count(len(windows), 'publish day')}, the first {on},"
    return (
        f"On {on} {up_to}{words.count(max(clients), 'client')} {words.at_stage(stage)} will have "
        f"had nothing for {words.count(month.problem.serve_every_days, 'day')}. "
        f"{_mend_wait(month, stage, windows)}"
    )


def _mend_wait(month: Month, stage: Stage, windows: list[int]) -> str:
    """What would serve them: an unused class that could stand there, or what holds one up."""
    kinds = [
        k for k, kind in enumerate(month.grid.kinds) if stage in kind.stages and month.unused(k)
    ]
    if not kinds:
        return "Every class that suits them is placed already: outline one more."
    inside = [i for i, reach in enumerate(month.grid.windows) if any(j in reach for j in windows)]
    held = [(month.held_by(k, i), month.spare(k)) for k in kinds for i in inside]
    for rules, mend in _MENDS:
        for item in (item for found, item in held if found == rules):
            return f"{words.quoted(item.title)} would serve them, but {mend}."
    # Where hours or dates are against them as well, another day would not help.
    found = [rules for rules, _ in held]
    if all("needed" in rules for rules in found) and {"needed"} in found:
        return "What stands there is needed for its series: add a publish day."
    return "No class that suits them can stand there: keep a finished one for them in hand."


_MENDS: tuple[tuple[set[str], str], ...] = (
    (set(), "would push out more: add a publish day"),
    ({"work"}, "can’t stand in time: free more hours before then"),
    ({"date"}, "can’t stand in time: let it come earlier"),
    ({"series"}, "can’t stand in time: publish the earlier parts of its series sooner"),
)


def _overdue(month: Month) -> Iterator[str]:
    for upload in month.problem.fixed:
        if not upload.stands(month.problem.today):
            yield (
                f"{words.quoted(upload.item.title)} was to go out on {words.on(upload.day)} and is "
                "not published: publish it, or move it."
            )


def _hours(month: Month) -> Iterator[str]:
    """The day by which fixed uploads ask for most beyond what she has, and what is late now."""
    lead, today = timedelta(days=month.problem.lead_days), month.problem.today
    short = [
        (promised(month.problem, day) - capacity(month.problem, day), day)
        for day in checkpoints(month.problem)
        if day - lead > today and _asks(month, day)
    ]
    missing, day = max(short, key=lambda pair: (pair[0], -pair[1].toordinal()), default=(0, today))
    if missing > 0:
        there = words.hours(capacity(month.problem, day)).replace("no time", "none")
        yield (
            f"The uploads that already stand need {words.hours(promised(month.problem, day))} of "
            f"work by {words.on(day - lead)}, and there is time for {there}: find "
            f"{words.hours(missing)} more, or move one of them."
        )
    for up in month.problem.fixed:
        if up.minutes_of_work and up.day - lead <= today <= up.day:
            yield (
                f"{words.quoted(up.item.title)} still needs {words.hours(up.minutes_of_work)} of "
                f"work, and was to be ready by {words.on(up.day - lead)}: move it."
            )


def _asks(month: Month, day: date) -> bool:
    return any(upload.day == day and upload.minutes_of_work for upload in month.problem.fixed)


def _order(month: Month) -> Iterator[str]:
    """Fixed uploads that stand in the way of their series."""
    parts = [(up.item.order, up.day) for up in month.problem.fixed if up.item.order is not None]
    for item in month.problem.classes:
        later = [day for order, day in parts if item.order and order and _after(order, item.order)]
        if later and month.grid.slots and min(later) <= month.grid.slots[0]:
            yield (
                f"{words.quoted(item.title)} is part {item.part} of its series, and a later part "
                f"stands on {words.on(min(later))} already: move that one, or change the parts."
            )
    for order, day in parts:
        for other, earlier in parts:
            if _after(order, other) and day < earlier and earlier > month.problem.today:
                yield (
                    f"Part {order[1]} of a series stands on {words.on(day)}, before part "
                    f"{other[1]} on {words.on(earlier)}: exchange them."
                )


def _after(one: tuple[int, int], other: tuple[int, int]) -> bool:
    return one[0] == other[0] and one[1] > other[1]


def _repeated(month: Month) -> Iterator[str]:
    """Each repeat of a focus, and whether anything else could have stood there."""
    for day, after, focus in repeats(month.problem, month.placed):
        slots = [i for i, slot in enumerate(month.grid.slots) if slot in (day, after)]
        others = any(
            month.could_stand(k, i) and kind.sample.focus != focus
            for k, kind in enumerate(month.grid.kinds)
            for i in slots
            if month.grid.slots[i] in month.placement
        )
        why = (
            "every other class that could stand there costs more than the change is worth. "
            if others
            else "no class with another focus can stand there. "
        )
        yield (
            f"{words.sentence(focus)[:-1]} comes twice running, on {words.on(day)} and "
            f"{words.on(after)}: {why}Outline one with another focus for the same clients."
        )
