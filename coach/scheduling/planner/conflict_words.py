"""Wishes that contradict each other, as a coach would say them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, timedelta

from coach.scheduling.planner import measure, words
from coach.scheduling.planner.clash import (
    Clash,
    broken_bounds,
    goes_before,
    hopeless,
    in_the_way,
    short_of_filming,
    short_of_time,
)
from coach.scheduling.planner.measure import (
    awaited,
    capacity,
    left_in_week,
    promised,
    takes,
    week_of,
)
from coach.scheduling.planner.problem import PlanClass


def sentences(clash: Clash) -> tuple[str, ...]:
    """Each wish of the clash in a sentence: first the pins, then what stands against them."""
    if days := [day for day in hopeless(clash.problem) if f"pin:{day}" in clash.groups]:
        return tuple(map(words.sentence, _hopeless(clash, days[0])))
    said = [*_pins(clash)]
    for group in clash.groups:
        name, _, which = group.partition(":")
        if name in _RULES:
            said += _RULES[name](clash, which)
    return tuple(map(words.sentence, said))


# --- the pins --------------------------------------------------------------------------------


def named(clash: Clash, class_id: int) -> str:
    """The title of a class that is offered or has an upload; "that class" for any other."""
    titles = {item.id: item.title for item in clash.problem.classes}
    titles |= {up.item.id: up.item.title for up in clash.problem.fixed}
    return words.quoted(titles[class_id]) if class_id in titles else "that class"


def _pins(clash: Clash) -> Iterator[str]:
    for day, item in clash.pinned:
        yield f"you put {words.quoted(item.title)} on {words.on(day)}"


def _hopeless(clash: Clash, day: date) -> Iterator[str]:
    here = [class_id for on, class_id in clash.pins if on == day]
    titles = [named(clash, class_id) for class_id in here]
    if len(here) > 1:
        yield f"you put {words.joined(titles)} on {words.on(day)}"
        yield "a day holds one class"
    elif day <= clash.problem.today:
        yield f"you put {titles[0]} on {words.on(day)}"
        yield "only days after today can be planned"
    else:
        yield from _not_offered(clash, day, here[0])


def _not_offered(clash: Clash, day: date, class_id: int) -> Iterator[str]:
    kept = [up for up in clash.problem.fixed if up.item.id == class_id]
    if kept:
        went = "went out" if kept[0].published else "has its upload"
        yield f"you put {words.quoted(kept[0].item.title)} on {words.on(day)}"
        yield f"it {went} on {words.on(kept[0].day)} already, and a class goes out once"
    else:
        yield f"you put a class on {words.on(day)} that is not to be planned any more"
        yield "a class that was withdrawn, or whose hours are not known, can’t be planned"


# --- the rules -------------------------------------------------------------------------------


def _closed(clash: Clash, which: str) -> Iterator[str]:
    day = date.fromisoformat(which)
    why = dict(clash.problem.closed).get(day, "")
    if kept := clash.standing_on(day):
        yield f"{words.quoted(kept[0].item.title)} stands on {words.on(day)} already"
    elif why.startswith(("a ", "an ", "no ")):
        yield f"{words.on(day)} is {why}"
    elif why:
        yield f"nothing can go out on {words.on(day)}: {why}"
    else:
        yield f"{words.on(day)} is none of the days to plan"


def _once(clash: Clash, which: str) -> Iterator[str]:
    yield "a class goes out once"


def _days(clash: Clash, which: str) -> Iterator[str]:
    item = clash.offered[int(which)]
    bounds = {"before": item.not_before, "after": item.not_after}
    broken = broken_bounds(clash, item) or tuple(bounds)
    said = [f"{side} {words.on(day)}" for side in broken if (day := bounds[side]) is not None]
    yield f"{words.quoted(item.title)} is not to go out {' nor '.join(said)}"


def _series(clash: Clash, which: str) -> Iterator[str]:
    members = [(day, item) for day, item in clash.pinned if str(item.series) == which]
    members = [(day, item) for day, item in members if item.order is not None]
    title = words.quoted(next((item.series_title for _, item in members), "") or "a series")
    said = [*_out_of_order(members, title), *_against_fixed(clash, members, title)]
    yield from said[:1] or _parts_first(clash, members, title)


def _out_of_order(members: list[tuple[date, PlanClass]], title: str) -> Iterator[str]:
    for day, item in members:
        for other_day, other in members:
            if goes_before(item, other) and day >= other_day:
                yield (
                    f"the parts of {title} go out in order, part {item.part} before "
                    f"part {other.part}"
                )


def _against_fixed(
    clash: Clash, members: list[tuple[date, PlanClass]], title: str
) -> Iterator[str]:
    for day, item in members:
        for up in in_the_way(clash, day, item):
            goes = "goes before" if goes_before(item, up.item) else "comes after"
            yield (
                f"part {up.item.part} of {title} has {words.on(up.day)}, and "
                f"part {item.part} {goes} it"
            )


def _parts_first(clash: Clash, members: list[tuple[date, PlanClass]], title: str) -> Iterator[str]:
    """Earlier parts have to go out before a pinned one, and can't all."""
    day, item = max(members, key=lambda pair: pair[1].order or (0, 0))
    missing = clash.earlier(item)
    named = words.joined([words.quoted(other.title) for other in missing])
    before = sum(slot < day for slot in clash.problem.slots)
    room = ""
    if before < len(missing):
        verb = "is" if before == 1 else "are"
        room = f", and there {verb} {words.count(before, 'publish day')} before then"
    yield f"before part {item.part} of {title} {words.goes(len(missing))} {named}{room}"


def _hours(clash: Clash, which: str) -> Iterator[str]:
    problem = clash.problem
    day, _ = short_of_time(clash)
    by = words.on(day - timedelta(days=problem.lead_days))
    taken = promised(problem, day)
    asked = _asked(clash, day)
    if not measure.working(problem, day):
        yield f"{asked} by {by}, and there is no day to work until then"
    elif taken:
        yield (
            f"by {by} there is time for {_time(capacity(problem, day))}, {words.hours(taken)} of "
            f"it promised to uploads that stand; {asked}"
        )
    else:
        yield f"by {by} there is time for {_time(capacity(problem, day))}; {asked}"


def _time(minutes: int) -> str:
    return f"{words.hours(minutes)} of work" if minutes else "no work"


def _asked(clash: Clash, day: date) -> str:
    """What is forced by a day and the work that it needs."""
    working = [item for on, item in clash.forced if on <= day and item.minutes_of_work]
    named = words.joined([words.quoted(item.title) for item in working]) or "what you put there"
    need = "needs" if len(working) < 2 else "need"
    total = sum(item.minutes_of_work for item in working)
    together = " together" if len(working) > 1 else ""
    return f"{named} {need} {words.hours(total)}{together}"


def _filming(clash: Clash, which: str) -> Iterator[str]:
    day = short_of_filming(clash)
    by = words.on(day - timedelta(days=clash.problem.film_lead_days))
    waiting = [item for on, item in clash.forced if on <= day and item.needs_filming]
    named = words.joined([words.quoted(item.title) for item in waiting]) or "what you put there"
    still = f"{named} still {'has' if len(waiting) < 2 else 'have'} to be filmed"
    there, taken = takes(clash.problem, day), awaited(clash.problem, day)
    if not there:
        yield f"{still} by {by}, and there is no filming day until then"
        return
    places = words.count(there, "class", "classes")
    need = "stands needs" if taken == 1 else "stand need"
    spoken = f", and {words.count(taken, 'upload')} that {need} filming too" if taken else ""
    yield f"{still} by {by}; your filming days until then take {places}{spoken}"


def _a_week(clash: Clash, which: str) -> Iterator[str]:
    problem = clash.problem
    weeks = [week_of(day) for day, _ in clash.pins]
    week = max(weeks, key=lambda one: (weeks.count(one) - left_in_week(problem, one), one))
    monday = date.fromisocalendar(*week, 1)
    standing = sum(week_of(up.day) == week for up in measure.standing(problem))
    there = f", and {words.count(standing, 'upload')} {'stands' if standing == 1 else 'stand'}"
    said = f"you publish at most {words.number(problem.a_week or 0)} a week"
    yield f"{said}{there} in the week of {words.on(monday)}" if standing else said


def _gap(clash: Clash, which: str) -> Iterator[str]:
    gap = clash.problem.gap_days
    near = [
        f", and {words.quoted(up.item.title)} has {words.on(up.day)}"
        for up in measure.standing(clash.problem)
        for day, _ in clash.pins
        if abs((up.day - day).days) < gap
    ]
    beside = near[0] if near and len(clash.pins) == 1 else ""
    yield f"two uploads are at least {words.count(gap, 'day')} apart{beside}"


_RULES: dict[str, Callable[[Clash, str], Iterator[str]]] = {
    "closed": _closed,
    "once": _once,
    "days": _days,
    "series": _series,
    "hours": _hours,
    "filming": _filming,
    "a_week": _a_week,
    "gap": _gap,
}
