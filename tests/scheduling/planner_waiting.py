"""Counts anew what a plan says of clients who go unserved, and tries whether the advice helps."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from coach.scheduling.planner import FixedUpload, PlanClass
from coach.scheduling.values import Stage
from tests.scheduling.planner_checker import Chosen, broken_rules, need_on, value_of
from tests.scheduling.planner_claims import (
    STAGE,
    STAGES,
    WORDS,
    Check,
    D,
    N,
    Said,
    Scene,
    number,
    read_day,
)

ALL_HOURS = 7 * 24 * 60


def told(scene: Scene, day: date, stage: Stage) -> tuple[int, int | None]:
    """The clients that are to be spoken of, and how many of them have a go-ahead."""
    problem = scene.problem
    need = replace(problem, need=problem.need if problem.clients is None else problem.clients)
    clients = need_on(need, day, stage)
    if problem.ready is None:
        return clients, None
    return clients, min(clients, need_on(replace(problem, need=problem.ready), day, stage))


def people(words: str) -> int:
    """ "seven clients"; "some who enquired" are none."""
    return 0 if words.lower() == ENQUIRED else number(words.split()[0])


def go_ahead(clients: int, ready: int | None) -> str:
    """The words for how many have a go-ahead."""
    if ready is None or not clients:
        return ""
    lasts = "a go-ahead that lasts until then"
    if clients == 1:
        return f", {'with' if ready else 'without'} {lasts}"
    if ready in (0, clients):
        return f", {'all of them with' if ready else 'and none of them has'} {lasts}"
    return f", {WORDS[ready] if ready < len(WORDS) else ready} of them with {lasts}"


def _nobody_makes_it(scene: Scene, said: Said) -> bool:
    """No unpublished class suits the stage; so many clients are there on some day."""
    stage, problem = STAGES[said["stage"]], scene.problem
    unpublished = [
        *problem.classes,
        *(up.item for up in problem.fixed if not up.published),
    ]
    there = [told(scene, day, stage) for day in scene.waiting(stage)]
    most = max((clients for clients, _ in there), default=0)
    return (
        people(said["who"]) == most
        and said["ready"] in [go_ahead(*one) for one in there if one[0] == most]
        and not any(stage in item.stages for item in unpublished)
    )


def _waiting(scene: Scene, said: Said) -> bool:
    """So many publish days, the first of them, so many clients on each, and the reach back."""
    days = scene.waiting(STAGES[said["stage"]])
    clients = [told(scene, day, STAGES[said["stage"]])[0] for day in days]
    return (
        len(days) == number(said.get("many") or "one")
        and days[0] == read_day(said["first"], scene.problem.today)
        and people(said["who"]) == max(clients)
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
        "can’t stand in time: free more hours before then": _with_hours,
        "can’t stand in time: add a filming day before then": _with_filming_days,
        "can’t stand in time: let it come earlier": _on_any_day,
        "its last day is too early: let it come later": _on_any_day,
        "can’t stand in time: publish the earlier parts of its series sooner": _with_earlier_parts,
        "the week is full: publish one more": _with_one_more,
        "would be too near to another: let uploads be nearer": _with_less_gap,
        "you put another class there: let that one stand elsewhere": _without_pins,
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
    """Nothing left for them fits in place of what stands there; were its series put off, it would.

    The parts from the one that stands there on are taken away.
    """
    items, slots = _suiting(scene, said)
    return (
        _waiting(scene, said)
        and not any(scene.fits(day, item) for day in slots for item in items)
        and any(
            replace(scene, chosen=_without_series(scene, day)).fits(day, item)
            for day in slots
            for item in items
            if day in scene.chosen
        )
    )


def _without_series(scene: Scene, day: date) -> Chosen:
    there = scene.offered[scene.chosen[day]]
    parts = [
        item.id
        for item in scene.problem.classes
        if item.series == there.series and (item.part or 0) >= (there.part or 0)
    ]
    return {on: n for on, n in scene.chosen.items() if n not in parts or there.series is None}


def _with_hours(scene: Scene, item: PlanClass, day: date) -> bool:
    """Her lead stays: with a slot inside it, no number of hours helps."""
    return scene.fits(day, item, minutes_a_week=ALL_HOURS)


def minutes_by(scene: Scene, day: date) -> tuple[int, int]:
    """Minutes that there are by a day, and minutes promised by it."""
    problem = scene.problem
    ahead = (problem.today + timedelta(days=n) for n in range(1, 400))
    until = day - timedelta(days=problem.lead_days)
    days = [one for one in ahead if one <= until and one not in problem.days_off]
    promised = [up.minutes_of_work for up in problem.fixed if not up.published and up.day <= day]
    return problem.minutes_a_week * len(days) // 7, sum(promised)


def every_film_day(scene: Scene) -> tuple[date, ...] | None:
    """Every day from tomorrow on to film; None where she hasn't said when she films."""
    if scene.problem.film_days is None:
        return None
    return tuple(scene.problem.today + timedelta(days=n) for n in range(1, 90))


def _with_filming_days(scene: Scene, item: PlanClass, day: date) -> bool:
    return scene.fits(day, item, film_days=every_film_day(scene), films_a_day=999)


def _with_one_more(scene: Scene, item: PlanClass, day: date) -> bool:
    return scene.fits(day, item, a_week=7)


def _with_less_gap(scene: Scene, item: PlanClass, day: date) -> bool:
    return scene.fits(day, item, gap_days=1)


def _without_pins(scene: Scene, item: PlanClass, day: date) -> bool:
    pinned = {on for on, _ in scene.problem.pins}
    return day in pinned and scene.fits(day, item, pins=())


def _on_any_day(scene: Scene, item: PlanClass, day: date) -> bool:
    classes = tuple(
        replace(one, not_before=None, not_after=None) if one.id == item.id else one
        for one in scene.problem.classes
    )
    return scene.fits(day, item, classes=classes)


def _with_earlier_parts(scene: Scene, item: PlanClass, day: date) -> bool:
    """Were the lower parts published long ago, it could stand there."""
    lower = [
        one
        for one in scene.problem.classes
        if one.series == item.series and one.part is not None and one.part < (item.part or 0)
    ]
    long_ago = scene.problem.today - timedelta(days=99)
    done = [FixedUpload(long_ago, one, published=True) for one in lower]
    moved = [
        replace(up, day=long_ago, published=True)
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


ENQUIRED = "some who enquired"
WHO = rf"(?P<who>{N} clients?|{ENQUIRED}|{ENQUIRED.capitalize()})"
ON = (
    rf"On (?:(?P<many>{N}) (?:publish )?days, the first )?(?P<first>{D}),? (?P<upto>up to )?"
    rf"{WHO} (?:in )?(?P<stage>{STAGE}) will have had nothing for (?P<w>{N}) days?\. "
)
WAITING: dict[str, Check] = {
    rf"No class in the backlog suits (?P<stage>{STAGE}): outline one\. "
    rf"{WHO} will be there(?P<ready>.*)\.": _nobody_makes_it,
    ON + r"Every class that suits them is placed already: outline one more\.": _all_placed,
    ON + r"“(?P<title>.+)” suits them, but would push out more: add a publish day\.":
        _pushes_out,
    ON + r"“(?P<title>.+)” suits them, but (?P<advice>.+)\.": _blocked,
    ON + r"No class that suits them can stand there: keep a finished one for them in hand\.":
        _none_can_stand,
    ON + r"What stands there is needed for its series: let that series wait\.": _held_by_a_series,
}  # fmt: skip
