"""Counts anew what a plan says could not be had, and tries whether the advice would mend it."""

from __future__ import annotations

from datetime import date, timedelta

from tests.scheduling.planner_checker import repeats, value_of
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
from tests.scheduling.planner_empty import EMPTY, unexplained
from tests.scheduling.planner_waiting import WAITING, minutes_by

__all__ = ["UNMET", "unexplained", "unspoken"]


def _promised(scene: Scene, said: Said) -> bool:
    """The work of what stands, on the day its lead begins; advice only for days to come."""
    by = read_day(said["by"], scene.problem.today)
    there, promised = minutes_by(scene, by + timedelta(days=scene.problem.lead_days))
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


def _films_awaited(scene: Scene, said: Said) -> bool:
    """The filming that what stands still wants by a day to come, and what there is."""
    problem, by = scene.problem, read_day(said["by"], scene.problem.today)
    day = by + timedelta(days=problem.film_lead_days)
    asked = [up for up in problem.fixed if up.needs_filming and up.day <= day]
    there = problem.films_a_day * len([one for one in problem.film_days or () if one <= by])
    counted = (number(said["asked"]), number(said["there"]))
    return counted == (len(asked), there) and there < len(asked) and by > problem.today


def _film_late_already(scene: Scene, said: Said) -> bool:
    by = read_day(said["by"], scene.problem.today)
    day = by + timedelta(days=scene.problem.film_lead_days)
    return by <= scene.problem.today and [
        (up.day, up.needs_filming) for up in scene.problem.fixed if up.item.title == said["title"]
    ] == [(day, True)]


def _pace_against_gap(scene: Scene, said: Said) -> bool:
    """So many a week with such a gap take more than seven days."""
    asked = (number(said["many"]), number(said["apart"]))
    return asked == (scene.problem.a_week, scene.problem.gap_days) and asked[0] * asked[1] > 7


def _beyond_share(scene: Scene, said: Said) -> bool:
    placed = [scene.offered[n].focus for n in scene.chosen.values()]
    focus, most = said["focus"] or "", number(said["most"])
    return (
        number(said["many"]) == placed.count(focus) > most
        and dict(scene.problem.mix)[focus] == most
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


UNMET: dict[str, Check] = {
    **WAITING,
    **EMPTY,
    rf"(?P<asked>{N}) uploads? that stands? (?:is|are) still to be filmed by (?P<by>{D}), and your "
    rf"filming days until then take (?P<there>{N}): add one, or move one of them\.":
        _films_awaited,
    rf"“(?P<title>.+)” is not filmed, and was to be by (?P<by>{D}): move it\.":
        _film_late_already,
    rf"(?P<many>{N}) a week, each (?P<apart>{N}) days? from the next, don’t fit into every week: "
    r"let uploads be nearer, or publish fewer\.": _pace_against_gap,
    rf"(?P<many>{N}) class(?:es)? (?:about (?P<focus>\w+)|without a focus), where you want "
    rf"(?P<most>{N})(?: at most)?: outline classes with another focus\.": _beyond_share,
    rf"“(?P<title>.+)” still needs (?P<asked>{WORK}) of work, and was to be ready by (?P<by>{D}): "
    r"move it\.": _late_already,
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


def unspoken(scene: Scene, unmet: tuple[str, ...]) -> list[str]:
    """The stages with somebody unserved that no sentence speaks of."""
    return [
        words
        for words, stage in STAGES.items()
        if scene.waiting(stage) and not any(words in sentence for sentence in unmet)
    ]
