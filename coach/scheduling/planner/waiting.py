"""Stages with clients that nothing suits, or that wait longer than she wants, and the mends."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from coach.scheduling.planner import words
from coach.scheduling.planner.people import People, people
from coach.scheduling.planner.planned import Month
from coach.scheduling.values import Stage


def waiting(month: Month) -> Iterator[str]:
    """A sentence for each stage that has a window with nothing for it."""
    windows: dict[Stage, list[int]] = defaultdict(list)
    for j, row in enumerate(month.grid.cells):
        for stage in row:
            if not _is_served(month, j, stage):
                windows[stage].append(j)
    promised_to = [up.item.stages for up in month.problem.fixed if not up.published]
    suiting = [item.stages for item in month.problem.classes] + promised_to
    for stage, days in sorted(windows.items()):
        if any(stage in stages for stages in suiting):
            yield f"{_waits(month, stage, days)} {_mend(month, stage, days)}"
        else:
            yield _nothing_suits(month, stage, days)


def _is_served(month: Month, j: int, stage: Stage) -> bool:
    windows = month.grid.windows
    return any(
        j in windows[i] and stage in month.grid.stages_at(month.choice, i) for i in range(j + 1)
    )


def _there(month: Month, stage: Stage, windows: list[int]) -> list[People]:
    return [people(month.problem, month.grid.slots[j], stage) for j in windows]


def _nothing_suits(month: Month, stage: Stage, windows: list[int]) -> str:
    who = max(_there(month, stage, windows), key=lambda there: there.clients)
    return (
        f"No class in the backlog suits {words.stage_name(stage)}: outline one. "
        f"{words.sentence(f'{who.named} will be there{who.with_go_ahead}')}"
    )


def _waits(month: Month, stage: Stage, windows: list[int]) -> str:
    there = _there(month, stage, windows)
    least, most = min(one.clients for one in there), max(one.clients for one in there)
    who = words.count(most, "client") if most else "some who enquired"
    on = words.on(month.grid.slots[windows[0]])
    if len(windows) > 1:
        days = "publish day" if month.problem.a_week is None else "day"
        on = f"{words.count(len(windows), days)}, the first {on},"
    return (
        f"On {on} {'up to ' if least < most else ''}{who} {words.at_stage(stage)} will have "
        f"had nothing for {words.count(month.problem.serve_every_days, 'day')}."
    )


def _mend(month: Month, stage: Stage, windows: list[int]) -> str:
    """What would help: an unused class that could stand there, or what holds one up."""
    kinds = [
        k for k, kind in enumerate(month.grid.kinds) if stage in kind.stages and month.unused(k)
    ]
    if not kinds:
        return "Every class that suits them is placed already: outline one more."
    inside = [i for i, reach in enumerate(month.grid.windows) if any(j in reach for j in windows)]
    held = [(month.held_by(k, i), month.spare(k)) for k in kinds for i in inside]
    for rules, mend in _MENDS:
        for item in (item for found, item in held if found == rules):
            return f"{words.quoted(item.title)} suits them, but {mend}."
    # Where hours or dates are against them as well, that would not help.
    found = [rules for rules, _ in held]
    if all("needed" in rules for rules in found) and {"needed"} in found:
        return "What stands there is needed for its series: let that series wait."
    return "No class that suits them can stand there: keep a finished one for them in hand."


_MENDS: tuple[tuple[set[str], str], ...] = (
    (set(), "would push out more: add a publish day"),
    ({"work"}, "can’t stand in time: free more hours before then"),
    ({"film"}, "can’t stand in time: add a filming day before then"),
    ({"early"}, "can’t stand in time: let it come earlier"),
    ({"late"}, "its last day is too early: let it come later"),
    ({"series"}, "can’t stand in time: publish the earlier parts of its series sooner"),
    ({"pace"}, "the week is full: publish one more"),
    ({"gap"}, "would be too near to another: let uploads be nearer"),
    ({"pin"}, "you put another class there: let that one stand elsewhere"),
)
