"""Counts anew what a plan says of clients who go unserved, and tries whether the advice helps."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from coach.scheduling.planner import FixedUpload, PlanClass
from tests.scheduling.planner_checker import broken_rules, need_on, value_of
from tests.scheduling.planner_claims import (
    STAGE,
    STAGES,
    Check,
    D,
    N,
    Said,
    Scene,
    number,
    read_day,
)

ALL_HOURS = 7 * 24 * 60


def _nobody_makes_it(scene: Scene, said: Said) -> bool:
    """No unpublished class suits the stage; so many clients are there on some day."""
    stage, problem = STAGES[said["stage"]], scene.problem
    unpublished = [
        *problem.classes,
        *(up.item for up in problem.fixed if not up.published),
    ]
    most = max((need_on(problem, day, stage) for day in scene.waiting(stage)), default=0)
    return number(said["n"]) == most and not any(stage in item.stages for item in unpublished)


def _waiting(scene: Scene, said: Said) -> bool:
    """So many publish days, the first of them, so many clients on each, and the reach back."""
    days = scene.waiting(STAGES[said["stage"]])
    clients = [need_on(scene.problem, day, STAGES[said["stage"]]) for day in days]
    return (
        len(days) == number(said.get("many") or "one")
        and days[0] == read_day(said["first"], scene.problem.today)
        and number(said["n"]) == max(clients)
        and (bool(said["upto"]) or min(clients) == max(clients))
        and number(said["w"]) == scene.problem.serve_every_days
    )


def _all_placed(scene: Scene, said: Said) -> bool:
    stage = STAGES[said["stage"]]
    return _waiting(scene, said) and not any(stage in item.stages for item in scene.left)


def _candidate(scene: Scene, said: Said) -> tuple[PlanClass, list[date]]:
    """The class that would serve them and the slots from which it would, on any of the days."""
    waiting = scene.waiting(STAGES[said["stage"]])
    slots = {slot for day in waiting for slot in scene.window(day)}
    return scene.titled(said["title"]), sorted(slots)


def _pushes_out(scene: Scene, said: Said) -> bool:
    """It could stand there by the rules, and the month would be worth no more."""
    item, slots = _candidate(scene, said)
    worth = [
        value_of(scene.problem, scene.instead(day, item)) for day in slots if scene.fits(day, item)
    ]
    return (
        _waiting(scene, said)
        and STAGES[said["stage"]] in item.stages
        and worth != []
        and max(worth) <= value_of(scene.problem, scene.chosen)
    )


def _blocked(scene: Scene, said: Said) -> bool:
    """It can't stand there, and could if the advice were followed."""
    item, slots = _candidate(scene, said)
    advice = {
        "free more hours before then": _with_hours,
        "let it come earlier": _with_earlier_day,
        "publish the earlier parts of its series sooner": _with_earlier_parts,
    }[said["advice"]]
    return (
        _waiting(scene, said)
        and STAGES[said["stage"]] in item.stages
        and not any(scene.fits(day, item) for day in slots)
        and any(advice(scene, item, day) for day in slots)
    )


def _suiting(scene: Scene, said: Said) -> tuple[list[PlanClass], list[date]]:
    """The classes left that would serve them, and the slots from which they would."""
    stage = STAGES[said["stage"]]
    slots = {slot for day in scene.waiting(stage) for slot in scene.window(day)}
    return [item for item in scene.left if stage in item.stages], sorted(slots)


def _none_can_stand(scene: Scene, said: Said) -> bool:
    """What is left for them fits nowhere in time, as a finished class in no series would."""
    items, slots = _suiting(scene, said)
    return (
        _waiting(scene, said)
        and items != []
        and not any(scene.fits(day, item) for day in slots for item in items)
    )


def _held_by_a_series(scene: Scene, said: Said) -> bool:
    """Nothing left for them fits in place of what stands there, and on a day of its own it would.

    Any free day of the reach back is tried, as if it were a publish day.
    """
    items, slots = _suiting(scene, said)
    stage, problem = STAGES[said["stage"]], scene.problem
    taken = {*problem.slots, *(up.day for up in problem.fixed)}
    back = range(problem.serve_every_days)
    days = {day - timedelta(days=n) for day in scene.waiting(stage) for n in back} - taken
    return (
        _waiting(scene, said)
        and not any(scene.fits(day, item) for day in slots for item in items)
        and any(
            scene.fits(day, item, slots=(*problem.slots, day))
            for day in days
            for item in items
            if day > problem.today
        )
    )


def _with_hours(scene: Scene, item: PlanClass, day: date) -> bool:
    """Her lead stays: with a slot inside it, no number of hours helps."""
    return scene.fits(day, item, minutes_a_week=ALL_HOURS)


def _with_earlier_day(scene: Scene, item: PlanClass, day: date) -> bool:
    classes = tuple(
        replace(one, not_before=None) if one.id == item.id else one for one in scene.problem.classes
    )
    return scene.fits(day, item, classes=classes)


def _with_earlier_parts(scene: Scene, item: PlanClass, day: date) -> bool:
    """Were the lower parts published yesterday, it could stand there."""
    lower = [
        one
        for one in scene.problem.classes
        if one.series == item.series and one.part is not None and one.part < (item.part or 0)
    ]
    yesterday = scene.problem.today - timedelta(days=1)
    done = [FixedUpload(yesterday, one, published=True) for one in lower]
    moved = [
        replace(up, day=yesterday)
        if up.item.series == item.series and (up.item.part or 0) < (item.part or 0)
        else up
        for up in scene.problem.fixed
    ]
    changed = replace(
        scene.problem,
        classes=tuple(one for one in scene.problem.classes if one not in lower),
        fixed=(*moved, *done),
    )
    ids = {one.id for one in lower}
    chosen = {d: n for d, n in scene.instead(day, item).items() if n not in ids}
    return not broken_rules(changed, chosen)


ON = (
    rf"On (?:(?P<many>{N}) publish days, the first )?(?P<first>{D}),? (?P<upto>up to )?"
    rf"(?P<n>{N}) clients? "
    rf"(?:in )?(?P<stage>{STAGE}) will have had nothing for (?P<w>{N}) days?\. "
)
WAITING: dict[str, Check] = {
    rf"No unpublished class suits (?P<stage>{STAGE}): outline one to serve (?P<n>{N}) clients?\.":
        _nobody_makes_it,
    ON + r"Every class that suits them is placed already: outline one more\.": _all_placed,
    ON + r"“(?P<title>.+)” would serve them, but would push out more: add a publish day\.":
        _pushes_out,
    ON + r"“(?P<title>.+)” would serve them, but can’t stand in time: (?P<advice>.+)\.": _blocked,
    ON + r"No class that suits them can stand there: keep a finished one for them in hand\.":
        _none_can_stand,
    ON + r"What stands there is needed for its series: add a publish day\.": _held_by_a_series,
}  # fmt: skip
