"""Counts anew what a plan says of days and weeks that lack a class, and tries the advice."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta

from coach.scheduling.planner import PlanClass, Problem
from tests.scheduling.planner_checker import broken_rules, value_of
from tests.scheduling.planner_claims import (
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
from tests.scheduling.planner_waiting import ALL_HOURS, every_film_day, minutes_by

Lack = list[date]
"""What is said to be empty: one publish day, or the free days of a week with too few classes."""


def dates(words: str, today: date) -> list[date]:
    return [read_day(one, today) for one in re.split(r", | and ", words)]


def lacks(scene: Scene, said: Said) -> list[Lack]:
    """What is said to be empty, [] when a day isn't, or a week has as many as she wants."""
    found = [
        _lack(scene, day) for day in dates(said["days"].replace(WEEK, ""), scene.problem.today)
    ]
    return found if all(found) else []


def _lack(scene: Scene, day: date) -> Lack:
    problem = scene.problem
    if problem.a_week is None:
        return [day] if day in problem.slots and day not in scene.chosen else []
    week = [slot for slot in problem.slots if slot.isocalendar()[:2] == day.isocalendar()[:2]]
    there = [up for up in scene.uploads if up.day.isocalendar()[:2] == day.isocalendar()[:2]]
    free = [slot for slot in week if slot not in scene.chosen]
    return free if len(there) < problem.a_week and day.weekday() == 0 else []


def empty_days(scene: Scene, said: Said) -> list[date]:
    """All the days of what is said to be empty."""
    return [day for lack in lacks(scene, said) for day in lack]


def _used_up(scene: Scene, said: Said) -> bool:
    return empty_days(scene, said) != [] and scene.left == []


def _wishes_against(scene: Scene, said: Said) -> bool:
    """Something could stand on each of these days and would make the month worth less."""
    now = value_of(scene.problem, scene.chosen)
    found = lacks(scene, said)
    return found != [] and all(
        any(
            scene.fits(day, item) and value_of(scene.problem, scene.instead(day, item)) <= now
            for item in scene.left
            for day in lack
        )
        for lack in found
    )


def _none_fits(scene: Scene, said: Said) -> bool:
    days = empty_days(scene, said)
    return days != [] and not any(scene.fits(day, item) for day in days for item in scene.left)


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
        and _none_fits(scene, said)
    )


def _least(scene: Scene, days: list[date]) -> int:
    """The work of the shortest class that only wants hours to stand on one of these days."""
    return min(
        item.minutes_of_work
        for item in scene.left
        if any(scene.fits(day, item, minutes_a_week=ALL_HOURS) for day in days)
    )


def shortage(scene: Scene, item: PlanClass, day: date) -> int:
    """Minutes that are wanting for the class on a day, at the tightest day from then on.

    What the uploads that stand want themselves is said in a sentence of its own.
    """
    problem = scene.problem
    unpublished = [up.day for up in problem.fixed if not up.published]
    wanting = []
    for limit in {*problem.slots, *unpublished}:
        there, promised = minutes_by(scene, limit)
        planned = sum(
            scene.offered[n].minutes_of_work
            for slot, n in scene.instead(day, item).items()
            if slot <= limit
        )
        if limit >= day:
            wanting.append(planned - max(0, there - promised))
    return max(wanting)


def _too_near(scene: Scene, said: Said) -> bool:
    """No hours and no filming day could make one ready, and nothing finished can stand there."""
    found = lacks(scene, said)
    return _none_fits(scene, said) and all(
        any(_only_too_late(scene, day, item) for day in lack for item in scene.left)
        for lack in found
    )


def _only_too_late(scene: Scene, day: date, item: PlanClass) -> bool:
    """Finished it could stand there, and all the time from tomorrow on would not help it."""
    finished = replace(item, minutes_of_work=0, needs_filming=False)
    classes = tuple(finished if one.id == item.id else one for one in scene.problem.classes)
    every = every_film_day(scene)
    given = {"film_days": every, "films_a_day": 999} if every is not None else {}
    return scene.fits(day, item, classes=classes) and not scene.fits(
        day, item, minutes_a_week=ALL_HOURS, **given
    )


def _not_filmed(scene: Scene, said: Said) -> bool:
    """One filming day more, on that day, and the class can stand there."""
    problem, days = scene.problem, empty_days(scene, said)
    item, day = scene.titled(said["title"]), read_day(said["day"], problem.today)
    by = read_day(said["by"], problem.today)
    return (
        day in days
        and by == day - timedelta(days=problem.film_lead_days)
        and by > problem.today
        and item in scene.left
        and _none_fits(scene, said)
        and scene.fits(day, item, film_days=(*(problem.film_days or ()), by), films_a_day=99)
    )


def _no_time_at_all(scene: Scene, said: Said) -> bool:
    """Hours and filming days are both too few for every class that could stand there else."""
    every = every_film_day(scene)
    more = {"film_days": every, "films_a_day": 999}
    return _none_fits(scene, said) and not any(
        scene.fits(day, item, **given)
        for given in ({"minutes_a_week": ALL_HOURS}, more)
        for day in empty_days(scene, said)
        for item in scene.left
    )


def _gap_too_small(scene: Scene, said: Said) -> bool:
    """On each of these days any class would be too near to another."""
    return number(said["apart"]) == scene.problem.gap_days and all(
        any(fault.startswith("gap") for fault in broken_rules(scene.problem, trial))
        for day in empty_days(scene, said)
        for trial in (scene.instead(day, item) for item in scene.left)
    )


def _later_part_went_out(scene: Scene, said: Said) -> bool:
    """A higher part stands before or on each of these days, so the lower can't follow."""
    item, days = scene.titled(said["title"]), empty_days(scene, said)
    higher = [
        up.day
        for up in scene.problem.fixed
        if up.item.series == item.series and (up.item.part or 0) > (item.part or 0)
    ]
    first = min(higher, default=date.max)
    return (
        days != [] and item in scene.left and all(first <= max(lack) for lack in lacks(scene, said))
    )


def _too_early(scene: Scene, said: Said) -> bool:
    item = scene.titled(said["title"])
    earliest = read_day(said["earliest"], scene.problem.today)
    first = [min(lack) < earliest for lack in lacks(scene, said)]
    return item in scene.left and item.not_before == earliest and first != [] and all(first)


def _too_late(scene: Scene, said: Said) -> bool:
    item = scene.titled(said["title"])
    latest = read_day(said["latest"], scene.problem.today)
    last = [max(lack) > latest for lack in lacks(scene, said)]
    return item in scene.left and item.not_after == latest and last != [] and all(last)


def _its_turn(scene: Scene, said: Said) -> bool:
    item, found = scene.titled(said["title"]), lacks(scene, said)
    return (
        found != []
        and item in scene.left
        and all(any(_out_of_order(scene, day, item) for day in lack) for lack in found)
    )


def _out_of_order(scene: Scene, day: date, item: PlanClass) -> bool:
    faults = broken_rules(scene.problem, scene.instead(day, item))
    return any(fault.startswith("order") for fault in faults)


WEEK = "the week of "
PLACES = rf"(?:{WEEK})?{D}(?:(?:, | and )(?:{WEEK})?{D})*"
NOTHING = rf"(?:Nothing for|Too few classes in) (?P<days>{PLACES}): "
EMPTY: dict[str, Check] = {
    NOTHING + r"it is too near for a class that still needs work, and no finished one can stand "
    r"there\. Keep finished classes in hand\.": _too_near,
    NOTHING + r"no class left can be filmed and ready in time\. "
    r"Keep finished classes in hand, or free hours and filming days\.": _no_time_at_all,
    NOTHING + rf"your filming days take no more\. Add one by (?P<by>{D}) and “(?P<title>.+)” "
    rf"can stand on (?P<day>{D})\.": _not_filmed,
    NOTHING + rf"every class there would be nearer than (?P<apart>{N}) days? to another\. "
    r"Let uploads be nearer\.": _gap_too_small,
    NOTHING + rf"“(?P<title>.+)” is not to come after (?P<latest>{D})\. "
    r"Let it come later, or outline another class\.": _too_late,
    NOTHING + r"“(?P<title>.+)” can’t come after a later part of its series\. "
    r"Change the parts, or outline a class that stands alone\.": _later_part_went_out,
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
}  # fmt: skip


def unexplained(problem: Problem, scene: Scene, unmet: tuple[str, ...]) -> list[date]:
    """The empty slots that no sentence speaks of; with a pace, one for each week that lacks."""
    found = [re.match(NOTHING, sentence) for sentence in unmet]
    named = {day for said in found if said for day in empty_days(scene, said.groupdict())}
    silent = [day for day in problem.slots if day not in scene.chosen and day not in named]
    if problem.a_week is None:
        return silent
    mondays = sorted({day - timedelta(days=day.weekday()) for day in silent})
    return [monday for monday in mondays if _could_hold_more(scene, monday)]


def _could_hold_more(scene: Scene, monday: date) -> bool:
    """A week that wants classes and has a day that is near to none."""
    return any(
        not any(abs((day - up.day).days) < scene.problem.gap_days for up in scene.uploads)
        for day in _lack(scene, monday)
    )
