"""What would mend a contradiction: every single change that may, in words and as a question."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta

from coach.scheduling.planner import words
from coach.scheduling.planner.clash import (
    Clash,
    broken_bounds,
    in_the_way,
    short_of_filming,
    short_of_time,
)
from coach.scheduling.planner.conflict_words import named
from coach.scheduling.planner.problem import Problem

Mend = tuple[str, Problem, frozenset[str]]
"""What to do in words, and the problem and the groups left out that ask whether it is enough."""


def mends(clash: Clash) -> Iterator[Mend]:
    """Every single change that may mend it, the pins first."""
    for pin in clash.pins:
        kept = tuple(other for other in clash.problem.pins if other != pin)
        yield _off(clash, pin), replace(clash.problem, pins=kept), frozenset()
    for group in clash.groups:
        name, _, which = group.partition(":")
        if name == "closed":
            yield from _opened(clash, date.fromisoformat(which))
        if name == "series":
            yield from _out_of_the_way(clash)
        if words_for := _other(clash, name, which):
            yield words_for, clash.problem, frozenset({group})


def mended(clash: Clash, enough: Sequence[str]) -> str:
    """The last sentence: what is enough, each by itself; or where to begin when nothing is."""
    if enough:
        return words.sentence(f"to mend it, {words.either(enough)}")
    first = words.either([_off(clash, pin) for pin in clash.pins])
    return words.sentence(f"to begin with, {first}: other pins of yours clash as well")


def _off(clash: Clash, pin: tuple[date, int]) -> str:
    return f"take {named(clash, pin[1])} off {words.on(pin[0])}"


def _opened(clash: Clash, day: date) -> Iterator[Mend]:
    """The day made a publish day; where an upload of hers stands, by moving that one."""
    problem = clash.problem
    here = clash.standing_on(day)
    if any(up.published for up in here):
        return
    rest = tuple(up for up in problem.fixed if up not in here)
    changed = replace(problem, fixed=rest, slots=(*problem.slots, day))
    moved = words.joined([words.quoted(up.item.title) for up in here])
    yield (
        f"move {moved} to another day" if here else f"let {words.on(day)} be a publish day",
        changed,
        frozenset(),
    )


def _out_of_the_way(clash: Clash) -> Iterator[Mend]:
    """An upload of the series moved to the other side of what is pinned."""
    for day, item in clash.pinned:
        for up in in_the_way(clash, day, item):
            if not up.published:
                rest = tuple(other for other in clash.problem.fixed if other != up)
                side = "before" if up.day >= day else "after"
                moved = f"move {words.quoted(up.item.title)} to a day {side} {words.on(day)}"
                yield moved, replace(clash.problem, fixed=rest), frozenset()


def _other(clash: Clash, name: str, which: str) -> str:
    """What giving up a rule comes to; empty for one that can't be given up."""
    if name == "days":
        return _other_days(clash, int(which))
    if name == "series":
        return "change the parts of the series"
    if name == "hours":
        return _more_time(clash)
    if name == "filming":
        by = short_of_filming(clash) - timedelta(days=clash.problem.film_lead_days)
        return f"film more by {words.on(by)}" if by > clash.problem.today else ""
    return {"a_week": "publish more in that week", "gap": "let uploads be nearer"}.get(name, "")


def _other_days(clash: Clash, class_id: int) -> str:
    item = clash.offered[class_id]
    broken = broken_bounds(clash, item) or ("before",) * (item.not_before is not None)
    when = " or ".join({"before": "earlier", "after": "later"}[side] for side in broken)
    return f"let {words.quoted(item.title)} come {when or 'later'}"


def _more_time(clash: Clash) -> str:
    """How much more, where that is enough for the other pins too; inside the lead, nothing is."""
    day, short = short_of_time(clash)
    by = day - timedelta(days=clash.problem.lead_days)
    if by <= clash.problem.today:
        return ""
    enough = short > 0 and short_of_time(_with_all_pins(clash)) == (day, short)
    return f"find {words.hours(short) + ' more' if enough else 'more hours'} by {words.on(by)}"


def _with_all_pins(clash: Clash) -> Clash:
    series = {f"series:{item.series}" for item in clash.problem.classes}
    return Clash(clash.problem, (*(f"pin:{day}" for day, _ in clash.problem.pins), *series))
