"""Counts anew what the reasons of a plan say: people, go-aheads, filming, days, the next best."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta

from coach.scheduling.planner import PlanClass
from tests.scheduling.planner_checker import Upload, need_on, value_of, wishes
from tests.scheduling.planner_claims import (
    REASONS,
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
from tests.scheduling.planner_claims import minutes as minutes_said
from tests.scheduling.planner_waiting import WHO, go_ahead, people, told


def _seen_by(scene: Scene, said: Said) -> bool:
    """So many at the stage, so many of them ready, and the last class for them on that day."""
    stage = STAGES[said["stage"]]
    clients, ready = told(scene, scene.day, stage)
    day = said["last"] or said["later"]
    last = read_day(day, scene.problem.today) if day else None
    return (
        stage in scene.here.stages
        and people(said["who"]) == clients
        and said["ready"] == go_ahead(clients, ready)
        and scene.last_for(stage) == last
    )


def _others(scene: Scene, said: Said) -> bool:
    """All but the two stages that have waited longest; of equal ones those with most need."""
    problem, day = scene.problem, scene.day
    stages = [
        stage
        for stage in STAGES.values()
        if stage in scene.here.stages and need_on(problem, day, stage)
    ]
    stages.sort(key=lambda one: (scene.last_for(one) or date.min, -need_on(problem, day, one), one))
    there = [told(scene, day, stage) for stage in stages[2:]]
    clients = sum(many for many, _ in there)
    ready = None if problem.ready is None else sum(some or 0 for _, some in there)
    return (number(said["n"]), said["ready"]) == (clients, go_ahead(clients, ready))


def _pinned(scene: Scene, said: Said) -> bool:
    return (scene.day, scene.here.id) in scene.problem.pins


def _wanted(scene: Scene, said: Said) -> bool:
    return scene.here.wanted_soon


def _days(scene: Scene, said: Said) -> bool:
    """Its first day where that is after the first publish day, and its last."""
    today, slots = scene.problem.today, scene.problem.slots
    first, last = (read_day(said[name], today) if said.get(name) else None
                   for name in ("first", "final"))  # fmt: skip
    asked = scene.here.not_before
    if asked is not None and asked <= slots[0]:
        asked = None
    return (asked, scene.here.not_after) == (first, last) != (None, None)


def _to_film(scene: Scene, said: Said) -> bool:
    by = read_day(said["by"], scene.problem.today)
    lead = timedelta(days=scene.problem.film_lead_days)
    return scene.here.needs_filming and by == scene.day - lead


def _filmed(scene: Scene, said: Said) -> bool:
    return not scene.here.needs_filming and scene.here.minutes_of_work > 0


def _finished(scene: Scene, said: Said) -> bool:
    return not scene.here.needs_filming and scene.here.minutes_of_work == 0


def _before(scene: Scene) -> Upload:
    uploads = scene.uploads
    return uploads[[up.placed and up.day == scene.day for up in uploads].index(True) - 1]


def _mix(scene: Scene, said: Said) -> bool:
    """The focus and the effort of the upload before, and whether that repeats."""
    before, here = _before(scene), scene.here
    again = said["again"] is not None
    return (
        here.focus == said["this"].lower()
        and before.item.focus == (here.focus if again else said["that"])
        and (not again or before.day == read_day(said["again"], scene.problem.today))
        and _effort(here, before.item, said)
    )


def _effort(here: PlanClass, before: PlanClass, said: Said) -> bool:
    efforts = (here.effort, before.effort)
    if said["band"]:
        known = [effort for effort in efforts if effort is not None]
        hard, easy = [effort >= 7 for effort in known], [effort <= 3 for effort in known]
        return len(known) == 2 and all(hard if said["band"] == "hard" else easy)
    if said["now"]:
        return efforts == (number(said["now"]), number(said["then"]))
    return None in efforts or efforts[0] == efforts[1]


def _family(scene: Scene, said: Said) -> bool:
    before = _before(scene).item
    return before.title == said["title"] and before.family == scene.here.family is not None


def _next_best(scene: Scene, said: Said) -> bool:
    """It can stand there, nothing left is worth more, and it costs so many points, for that."""
    other, now = scene.titled(said["title"]), value_of(scene.problem, scene.chosen)
    worth = {
        item.id: value_of(scene.problem, scene.instead(scene.day, item))
        for item in scene.left
        if scene.fits(scene.day, item)
    }
    if other.id not in worth or worth[other.id] != max(worth.values()):
        return False
    less = now - worth[other.id]
    if found := re.fullmatch(r"(?P<costs>.+): (?P<less>[\w,]+) points? less", said["costs"]):
        costs = re.split(r" and (?=(?:suits|leaves|repeats|needs|is|has|goes|takes) )", found[1])
        return number(found[2].replace(",", "")) == less > 0 and all(
            cost == "adds less" or _costs(scene, other, cost) for cost in costs
        )
    return said["costs"] == "would do as well" and less == 0


def _costs(scene: Scene, other: PlanClass, words: str) -> bool:
    """Whether one cost is as it is said; each lowers the wish that it belongs to."""
    after = replace(scene, chosen=scene.instead(scene.day, other))
    before, then = (wishes(scene.problem, one.chosen) for one in (scene, after))
    here = scene.here
    if words == "leaves out what you want soon":
        return then["soon"] < before["soon"] and here.wanted_soon
    if said := re.fullmatch(r"leaves (.+) (?:waiting (\w+) days? more|without a class until .+)",
                            words):  # fmt: skip
        stage = STAGES[said[1]]
        days = [up.day for up in after.uploads if up.day >= scene.day and stage in up.item.stages]
        wait = (min(days) - scene.day).days if days else None
        return stage in here.stages and wait == (number(said[2]) if said[2] else None)
    if said := re.fullmatch(r"suits (\w+) clients? fewer", words):
        return number(said[1]) == sum(
            told(scene, scene.day, stage)[0] * ((stage in here.stages) - (stage in other.stages))
            for stage in STAGES.values()
        )
    if said := re.fullmatch(r"needs (.+) more of work", words):
        return minutes_said(said[1]) == other.minutes_of_work - here.minutes_of_work
    return _lowers(scene, after, other, words)


def _lowers(scene: Scene, after: Scene, other: PlanClass, words: str) -> bool:
    """Costs that are told without a number: what stands beside it, its share, its filming."""
    uploads = after.uploads
    at = [up.item.id for up in uploads].index(other.id)
    beside = [up.item for up in uploads[max(0, at - 1) : at + 2] if up.item.id != other.id]
    placed = [after.offered[n].focus for n in after.chosen.values()]
    most = dict(scene.problem.mix).get(other.focus, 99)
    return {
        f"repeats {other.focus}": any(one.focus == other.focus for one in beside),
        f"is {other.band} again": any(one.band == other.band for one in beside),
        "has much the same exercises as the one beside it": any(
            one.family == other.family for one in beside
        ),
        f"goes beyond the share of {other.focus}": placed.count(other.focus) > most,
        "takes a filming day more": other.needs_filming and not scene.here.needs_filming,
    }.get(words, False)


EFFORT = rf"(?:, effort (?P<now>{N}) after (?P<then>{N})|, (?P<band>hard|easy) again)?"
TOLD: dict[str, Check] = {
    r"You put it here\.": _pinned,
    rf"{WHO} will be (?:in )?(?P<stage>{STAGE})(?P<ready>(?:, .+?)?); (?:nothing for them "
    rf"(?:yet|since (?P<last>\d+ \w+))|the last for them is on (?P<later>{D}))\.":
        _seen_by,
    rf"It also suits (?P<n>{N}) clients? at other stages(?P<ready>(?:, .+)?)\.": _others,
    rf"(?P<this>\w+) (?:after (?P<that>\w+)|again, as on (?P<again>{D})){EFFORT}\.": _mix,
    r"Much the same exercises as “(?P<title>.+)” before it\.": _family,
    r"You want it soon\.": _wanted,
    rf"Its days are (?:from (?P<first>{D})(?: on)?)?(?: to |up to )?(?P<final>{D})?\.": _days,
    rf"It is to be filmed by (?P<by>{D})\.": _to_film,
    r"It is filmed\.": _filmed,
    r"It is finished\.": _finished,
    r"Next best: (?P<title>.+?), which (?P<costs>.+)\.": _next_best,
}  # fmt: skip
ALL_REASONS = TOLD | {said: check for said, check in REASONS.items() if said not in TOLD}
