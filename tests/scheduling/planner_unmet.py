"""Counts anew what a plan says could not be had, and tries whether the advice would mend it."""

from __future__ import annotations

import re
from datetime import date, timedelta

from coach.scheduling.planner import PlanClass, Problem
from tests.scheduling.planner_checker import broken_rules, repeats, value_of
from tests.scheduling.planner_claims import (
    STAGES,
    WORK,
    Check,
    D,
    N,
    Said,
    Scene,
    minutes,
    number,
    read_day,
)
from tests.scheduling.planner_waiting import ALL_HOURS, WAITING


def dates(words: str, today: date) -> list[date]:
    return [read_day(one, today) for one in re.split(r", | and ", words)]


def empty_days(scene: Scene, said: Said) -> list[date]:
    """The days said to be empty, [] when one of them isn't."""
    days = dates(said["days"], scene.problem.today)
    free = [day for day in scene.problem.slots if day not in scene.chosen]
    return days if set(days) <= set(free) else []


def _used_up(scene: Scene, said: Said) -> bool:
    return empty_days(scene, said) != [] and scene.left == []


def _wishes_against(scene: Scene, said: Said) -> bool:
    """Something could stand on each of these days and would make the month worth less."""
    now = value_of(scene.problem, scene.chosen)
    days = empty_days(scene, said)
    return days != [] and all(
        any(
            scene.fits(day, item) and value_of(scene.problem, scene.instead(day, item)) <= now
            for item in scene.left
        )
        for day in days
    )


def _not_ready(scene: Scene, said: Said) -> bool:
    """Nothing left can stand on any of these days; so many minutes more and one could."""
    days = empty_days(scene, said)
    item, day = scene.titled(said["title"]), read_day(said["day"], scene.problem.today)
    by = read_day(said["by"], scene.problem.today)
    return (
        day in days
        and by == day - timedelta(days=scene.problem.lead_days)
        and by > scene.problem.today
        and item in scene.left
        and minutes(said["least"]) == item.minutes_of_work == _least(scene, days)
        and minutes(said["short"]) == shortage(scene, item, day)
        and not any(scene.fits(slot, one) for slot in days for one in scene.left)
    )


def _least(scene: Scene, days: list[date]) -> int:
    """The work of the shortest class that only wants hours to stand on one of these days."""
    return min(
        item.minutes_of_work
        for item in scene.left
        if any(scene.fits(day, item, minutes_a_week=ALL_HOURS, lead_days=0) for day in days)
    )


def shortage(scene: Scene, item: PlanClass, day: date) -> int:
    """Minutes that are wanting for the class on a day, at the tightest day from then on.

    What the uploads that stand want themselves is said in a sentence of its own.
    """
    problem = scene.problem
    unpublished = [up.day for up in problem.fixed if not up.published]
    wanting = []
    for limit in {*problem.slots, *unpublished}:
        there, promised = scene.minutes(limit)
        planned = sum(
            scene.offered[n].minutes_of_work
            for slot, n in scene.instead(day, item).items()
            if slot <= limit
        )
        if limit >= day:
            wanting.append(planned - max(0, there - promised))
    return max(wanting)


def _too_near(scene: Scene, said: Said) -> bool:
    """The lead leaves no day to work for these days, and nothing finished can stand there."""
    days = empty_days(scene, said)
    reach = scene.problem.today + timedelta(days=scene.problem.lead_days)
    return (
        days != []
        and max(days) <= reach
        and not any(scene.fits(day, item) for day in days for item in scene.left)
    )


def _later_part_went_out(scene: Scene, said: Said) -> bool:
    """A higher part stands before or on each of these days, so the lower can't follow."""
    item, days = scene.titled(said["title"]), empty_days(scene, said)
    higher = [
        up.day
        for up in scene.problem.fixed
        if up.item.series == item.series and (up.item.part or 0) > (item.part or 0)
    ]
    return days != [] and item in scene.left and min(higher, default=date.max) <= min(days)


def _too_early(scene: Scene, said: Said) -> bool:
    item, days = scene.titled(said["title"]), empty_days(scene, said)
    earliest = read_day(said["earliest"], scene.problem.today)
    return item in scene.left and item.not_before == earliest > max(days, default=earliest)


def _its_turn(scene: Scene, said: Said) -> bool:
    item, days = scene.titled(said["title"]), empty_days(scene, said)
    return (
        days != []
        and item in scene.left
        and all(
            any(fault.startswith("order") for fault in broken_rules(scene.problem, trial))
            for trial in (scene.instead(day, item) for day in days)
        )
    )


def _promised(scene: Scene, said: Said) -> bool:
    """The work of what stands, on the day its lead begins; advice only for days to come."""
    by = read_day(said["by"], scene.problem.today)
    there, promised = scene.minutes(by + timedelta(days=scene.problem.lead_days))
    counted = (minutes(said["asked"]), minutes(said["there"]), minutes(said["more"]))
    return counted == (promised, there, promised - there) and by > scene.problem.today


def _late_already(scene: Scene, said: Said) -> bool:
    """A fixed upload with work left, whose lead begins today or began before."""
    by = read_day(said["by"], scene.problem.today)
    day = by + timedelta(days=scene.problem.lead_days)
    return by <= scene.problem.today and [
        (up.day, up.published, up.item.minutes_of_work)
        for up in scene.problem.fixed
        if up.item.title == said["title"]
    ] == [(day, False, minutes(said["asked"]))]


def _later_part_stands(scene: Scene, said: Said) -> bool:
    item = scene.titled(said["title"])
    return item.part == number(said["part"]) and any(
        up.day == read_day(said["on"], scene.problem.today)
        and up.item.series == item.series
        and (up.item.part or 0) > item.part
        for up in scene.problem.fixed
    )


def _overdue(scene: Scene, said: Said) -> bool:
    return [(up.day, up.published) for up in scene.problem.fixed if up.item.title == said["title"]
            ] == [(read_day(said["on"], scene.problem.today), False)]  # fmt: skip


def _fixed_out_of_order(scene: Scene, said: Said) -> bool:
    today = scene.problem.today
    one = (read_day(said["on"], today), number(said["part"]))
    other = (read_day(said["then"], today), number(said["lower"]))
    series = [
        {up.item.series for up in scene.problem.fixed if (up.day, up.item.part) == place}
        for place in (one, other)
    ]
    return bool(series[0] & series[1] - {None}) and one[0] <= other[0] and one[1] > other[1]


def _repeat(scene: Scene, said: Said) -> list[date]:
    """The two days said to repeat a focus, [] when they don't."""
    today = scene.problem.today
    days = [read_day(said["one"], today), read_day(said["two"], today)]
    found = [[a.day, b.day] for a, b in repeats(scene.uploads) if a.item.focus == _lower(said)]
    return days if days in found else []


def _lower(said: Said) -> str:
    return said["focus"].lower()


def _others_there(scene: Scene, said: Said) -> list[int]:
    """What the month would be worth with another focus left over on one of the two days."""
    return [
        value_of(scene.problem, scene.instead(day, item))
        for day in _repeat(scene, said)
        for item in scene.left
        if day in scene.chosen and item.focus != _lower(said) and scene.fits(day, item)
    ]


def _repeat_unavoidable(scene: Scene, said: Said) -> bool:
    return _repeat(scene, said) != [] and _others_there(scene, said) == []


def _repeat_cheaper(scene: Scene, said: Said) -> bool:
    worth = _others_there(scene, said)
    return worth != [] and max(worth) <= value_of(scene.problem, scene.chosen)


NOTHING = rf"Nothing for (?P<days>{D}(?:(?:, | and ){D})*): "
UNMET: dict[str, Check] = {
    **WAITING,
    NOTHING + r"it is too near for a class that still needs work, and no finished one can stand "
    r"there\. Keep finished classes in hand\.": _too_near,
    NOTHING + r"“(?P<title>.+)” can’t come after a later part of its series\. "
    r"Change the parts, or outline a class that stands alone\.": _later_part_went_out,
    rf"“(?P<title>.+)” still needs (?P<asked>{WORK}) of work, and was to be ready by (?P<by>{D}): "
    r"move it\.": _late_already,
    NOTHING + r"the backlog is used up\. Outline more classes, or publish on fewer days\.":
        _used_up,
    NOTHING + r"the wishes weigh against every class that could stand there\. "
    r"Let a full month weigh more\.": _wishes_against,
    NOTHING + rf"no class left can be ready in time\. “(?P<title>.+)” needs least, "
    rf"(?P<least>{WORK}): find (?P<short>{WORK}) more by (?P<by>{D}) for (?P<day>{D})\.":
        _not_ready,
    NOTHING + rf"“(?P<title>.+)” is not to come before (?P<earliest>{D})\. "
    r"Let it come earlier, or outline another class\.": _too_early,
    NOTHING + r"“(?P<title>.+)” has to wait for its turn in its series\. "
    r"Finish the earlier parts first, or outline a class that stands alone\.": _its_turn,
    rf"The uploads that already stand need (?P<asked>{WORK}) of work by (?P<by>{D}), and there is "
    rf"time for (?P<there>{WORK}): find (?P<more>{WORK}) more, or move one of them\.": _promised,
    rf"“(?P<title>.+)” is part (?P<part>{N}) of its series, and a later part stands on "
    rf"(?P<on>{D}) already: move that one, or change the parts\.": _later_part_stands,
    rf"“(?P<title>.+)” was to go out on (?P<on>{D}) and is not published: "
    r"publish it, or move it\.": _overdue,
    rf"Part (?P<part>{N}) of a series stands on (?P<on>{D}), before part (?P<lower>{N}) on "
    rf"(?P<then>{D}): exchange them\.": _fixed_out_of_order,
    rf"(?P<focus>\w+) comes twice running, on (?P<one>{D}) and (?P<two>{D}): no class with another "
    r"focus can stand there\. Outline one with another focus for the same clients\.":
        _repeat_unavoidable,
    rf"(?P<focus>\w+) comes twice running, on (?P<one>{D}) and (?P<two>{D}): every other class "
    r"that could stand there costs more than the change is worth\. "
    r"Outline one with another focus for the same clients\.": _repeat_cheaper,
}  # fmt: skip


def unexplained(problem: Problem, scene: Scene, unmet: tuple[str, ...]) -> list[date]:
    """The empty slots that no sentence speaks of."""
    said = [re.match(NOTHING, sentence) for sentence in unmet]
    named = {day for found in said if found for day in dates(found["days"], problem.today)}
    return [day for day in problem.slots if day not in scene.chosen and day not in named]


def unspoken(scene: Scene, unmet: tuple[str, ...]) -> list[str]:
    """The stages with somebody unserved that no sentence speaks of."""
    return [
        words
        for words, stage in STAGES.items()
        if scene.waiting(stage) and not any(words in sentence for sentence in unmet)
    ]
