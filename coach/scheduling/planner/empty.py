"""Publish days that hold nothing, and weeks that have too few: why, and what would mend it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from coach.scheduling.planner import words
from coach.scheduling.planner.planned import Month, film_by, ready_by
from coach.scheduling.planner.problem import PlanClass

Why = tuple[str, PlanClass | None]
"""A reason by its name, and the class that comes nearest to filling the slot."""


@dataclass(frozen=True, slots=True)
class _Lack:
    """Something that is empty: how it is called, and its slots that could still be filled."""

    name: str
    slots: tuple[int, ...]


def empty(month: Month) -> Iterator[str]:
    """One sentence for all that is empty for the same reason."""
    pace = month.problem.a_week is not None
    alike: dict[Why, list[tuple[str, int]]] = defaultdict(list)
    for lack in _weeks(month) if pace else _days(month):
        reason, i = _why(month, lack)
        alike[reason].append((lack.name, i))
    for (why, item), lacks in alike.items():
        named = words.joined([name for name, _ in lacks])
        lead = "Too few classes in" if pace else "Nothing for"
        said = _ALL_ALIKE[why](month) if item is None else _NEAREST[why](month, item, lacks[-1][1])
        yield f"{lead} {named}: {said}."


def _days(month: Month) -> Iterator[_Lack]:
    for i, day in enumerate(month.grid.slots):
        if day not in month.placement:
            yield _Lack(words.on(day), (i,))


def _weeks(month: Month) -> Iterator[_Lack]:
    """Weeks with fewer classes than she wants; of those at the edges, only if a day is open."""
    slots = month.grid.slots
    for week, most in month.grid.weeks:
        free = [i for i in week if month.choice[i] is None]
        if len(week) - len(free) >= most:
            continue
        monday = slots[week[0]] - timedelta(days=slots[week[0]].weekday())
        whole = slots[0] <= monday and monday + timedelta(days=6) <= slots[-1]
        apart = [i for i in free if not month.too_near(i)]
        if apart or (free and whole):
            yield _Lack(f"the week of {words.on(monday)}", tuple(apart or free))


def _why(month: Month, lack: _Lack) -> tuple[Why, int]:
    """The most hopeful reason of all its slots, and the slot."""
    found = [(_why_empty(month, i), i) for i in lack.slots]
    order = [*_ALL_ALIKE, *_NEAREST]
    return min(found, key=lambda pair: (order.index(pair[0][0]), pair[1]))


def _why_empty(month: Month, i: int) -> Why:
    """What keeps a slot empty, and the class that comes nearest to filling it."""
    kinds = [k for k in range(len(month.grid.kinds)) if month.unused(k)]
    if not kinds:
        return "used up", None
    held = [(month.held_by(k, i), month.spare(k)) for k in kinds]
    if any(not rules for rules, _ in held):
        return "wishes", None
    if month.too_near(i):
        return "gap", None
    if any("near" in rules and rules <= {"near", "work", "film"} for rules, _ in held):
        return "near", None
    if short := [item for rules, item in held if rules == {"work"}]:
        return "work", min(short, key=lambda item: (item.minutes_of_work, item.id))
    for why, fits in _LACKING:
        if found := [item for rules, item in held if fits(rules)]:
            return why, min(found, key=_NEARER[why])
    return "both", None


_LACKING: tuple[tuple[str, Callable[[set[str]], bool]], ...] = (
    ("film", lambda rules: rules == {"film"}),
    ("early", lambda rules: "early" in rules),
    ("late", lambda rules: "late" in rules),
    ("series", lambda rules: "series" in rules),
    ("passed", lambda rules: "passed" in rules),
)
_NEARER: dict[str, Callable[[PlanClass], tuple[int, int]]] = {
    "film": lambda item: (0, item.id),
    "early": lambda item: ((item.not_before or date.min).toordinal(), item.id),
    "late": lambda item: (-(item.not_after or date.max).toordinal(), item.id),
    "series": lambda item: (0, item.id),
    "passed": lambda item: (0, item.id),
}


def _no_time(month: Month, item: PlanClass, i: int) -> str:
    missing = item.minutes_of_work - max(0, month.slack[i])
    day = month.grid.slots[i]
    return (
        f"no class left can be ready in time. {words.quoted(item.title)} needs least, "
        f"{words.hours(item.minutes_of_work)}: find {words.hours(missing)} more by "
        f"{words.on(ready_by(month.problem, day))} for {words.on(day)}"
    )


def _not_filmed(month: Month, item: PlanClass, i: int) -> str:
    day = month.grid.slots[i]
    return (
        f"your filming days take no more. Add one by {words.on(film_by(month.problem, day))} and "
        f"{words.quoted(item.title)} can stand on {words.on(day)}"
    )


def _too_early(month: Month, item: PlanClass, i: int) -> str:
    return (
        f"{words.quoted(item.title)} is not to come before "
        f"{words.on(item.not_before or month.grid.slots[i])}. "
        "Let it come earlier, or outline another class"
    )


def _too_late(month: Month, item: PlanClass, i: int) -> str:
    return (
        f"{words.quoted(item.title)} is not to come after "
        f"{words.on(item.not_after or month.grid.slots[i])}. "
        "Let it come later, or outline another class"
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


def _too_near(month: Month) -> str:
    apart = words.count(month.problem.gap_days, "day")
    return f"every class there would be nearer than {apart} to another. Let uploads be nearer"


_ALL_ALIKE: dict[str, Callable[[Month], str]] = {
    "wishes": lambda _: (
        "the wishes weigh against every class that could stand there. Let a full month weigh more"
    ),
    "used up": lambda _: "the backlog is used up. Outline more classes, or publish on fewer days",
    "near": lambda _: (
        "it is too near for a class that still needs work, and no finished one can "
        "stand there. Keep finished classes in hand"
    ),
    "both": lambda _: (
        "no class left can be filmed and ready in time. Keep finished classes in "
        "hand, or free hours and filming days"
    ),
    "gap": _too_near,
}
_NEAREST: dict[str, Callable[[Month, PlanClass, int], str]] = {
    "work": _no_time,
    "film": _not_filmed,
    "early": _too_early,
    "late": _too_late,
    "series": _out_of_turn,
    "passed": _passed,
}
