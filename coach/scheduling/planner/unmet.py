"""What a plan could not have, why, and what would mend it, in sentences."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from coach.scheduling.planner import words
from coach.scheduling.planner.empty import empty
from coach.scheduling.planner.measure import (
    awaited,
    capacity,
    checkpoints,
    promised,
    repeats,
    takes,
)
from coach.scheduling.planner.planned import Month, film_by
from coach.scheduling.planner.waiting import waiting

DAYS_A_WEEK = 7


def unmet(month: Month) -> tuple[str, ...]:
    """Everything the plan leaves unmet, each once: empty slots, stages, hours, filming, order, the
    mix.
    """
    said = (
        *_nothing_to_plan(month),
        *empty(month),
        *waiting(month),
        *_overdue(month),
        *_hours(month),
        *_filming(month),
        *_order(month),
        *_repeated(month),
        *_shares(month),
    )
    return tuple(dict.fromkeys(said))


def _nothing_to_plan(month: Month) -> Iterator[str]:
    if not month.grid.slots:
        yield (
            "There is no publish day left to plan: choose more publish days, "
            "or take fewer days off."
        )
    a_week, gap = month.problem.a_week or 0, month.problem.gap_days
    if month.grid.slots and a_week * gap > DAYS_A_WEEK:
        yield (
            f"{words.sentence(words.number(a_week))[:-1]} a week, each {words.count(gap, 'day')} "
            "from the next, don’t fit into every week: let uploads be nearer, or publish fewer."
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


def _filming(month: Month) -> Iterator[str]:
    """The day by which uploads that stand want most filming, and what is late now."""
    problem = month.problem
    if problem.film_days is None:
        return
    short = [
        (awaited(problem, up.day) - takes(problem, up.day), -up.day.toordinal(), up.day)
        for up in problem.fixed
        if up.needs_filming and film_by(problem, up.day) > problem.today
    ]
    missing, _, day = max(short, default=(0, 0, problem.today))
    if missing > 0:
        asked = words.count(awaited(problem, day), "upload")
        stand, verb = ("stands", "is") if awaited(problem, day) == 1 else ("stand", "are")
        yield words.sentence(
            f"{asked} that {stand} {verb} still to be filmed by "
            f"{words.on(film_by(problem, day))}, and your filming days until then take "
            f"{words.number(takes(problem, day)) if takes(problem, day) else 'none'}: add one, or "
            "move one of them"
        )
    for up in problem.fixed:
        if up.needs_filming and film_by(problem, up.day) <= problem.today <= up.day:
            yield (
                f"{words.quoted(up.item.title)} is not filmed, and was to be by "
                f"{words.on(film_by(problem, up.day))}: move it."
            )


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
            f"{words.sentence(str(focus))[:-1]} comes twice running, on {words.on(day)} and "
            f"{words.on(after)}: {why}Outline one with another focus for the same clients."
        )


def _shares(month: Month) -> Iterator[str]:
    """Each focus that has more classes than its share."""
    foci = [item.focus for item in month.placed.values()]
    for focus, most in month.problem.mix:
        many = foci.count(focus)
        if many > most:
            limit = (
                f"where you want {words.number(most)} at most" if most else "where you want none"
            )
            about = f"about {focus}" if focus else "without a focus"
            yield words.sentence(
                f"{words.count(many, 'class', 'classes')} {about}, {limit}: outline classes with "
                "another focus"
            )
