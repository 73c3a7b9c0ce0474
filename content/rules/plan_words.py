"""What the month page says of a month, a week and a proposal. Pure."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date

from coach.scheduling.planner.words import count, joined, number, on, quoted, sentence
from content.rules.classes import PUBLISHED, WITHDRAWN

# How good a proposal is: what the planner says, and what was done with it since.
OPTIMAL, FEASIBLE, INFEASIBLE, BY_HAND = "optimal", "feasible", "infeasible", "by hand"
_WORTH_TELLING = 1  # per cent; a proof further away than that says nothing

Days = Mapping[int, date]
"""The day of each class of a plan, by its id."""

_POINTS = re.compile(r": [\d,]+ points? less(?=\.$)")


def quality_in_words(status: str, value: int, bound: int) -> str:
    """ "the best for your wishes", "within 1 % of the best": how good a plan is, without figures.

    The per cent are of the proved bound, rounded up: the plan is never worse than is said.
    """
    if status == BY_HAND:
        return "changed by hand"
    if status == OPTIMAL:
        return "the best for your wishes"
    if bound > 0 and (short := -(-100 * (bound - value) // bound)) <= _WORTH_TELLING:
        return f"within {max(1, short)} % of the best"
    return "the best found in the time there was"


def month_in_words(standing: int, proposed: int, *, quality: str) -> str:
    """The line under a month's name: what stands, what is proposed, how good that is."""
    if not proposed:
        return f"{count(standing, 'upload')} planned" if standing else "nothing planned yet"
    said = ", ".join(filter(None, [f"a proposal: {count(proposed, 'upload')}", quality]))
    return f"{said}; {number(standing)} planned before" if standing else said


def week_in_words(there: int, wanted: int) -> str:
    """How many uploads a week has, of how many she wants; empty where she has said nothing."""
    return f"{there} of {wanted}" if wanted else (str(there) if there else "")


def accept_in_words(proposed: int) -> str:
    """The word on the button that accepts a proposal."""
    return {1: "Accept it", 2: "Accept both"}.get(proposed, f"Accept all {number(proposed)}")


_MAKING = ("film", "edit")  # what takes most of a day; the other steps are on a page of their own


def making_in_words(steps: Mapping[str, int]) -> str:
    """ "film two, edit one": what of her classes is made on a day; empty for neither."""
    return ", ".join(f"{step} {number(steps[step])}" for step in _MAKING if steps.get(step))


def changed(before: Days, after: Days, titles: Mapping[int, str]) -> tuple[str, ...]:
    """What is other in a plan than in the one before it, a sentence each: moves by their new day,
    then what is new, then what is left out."""
    moved = sorted((after[pk], pk) for pk in after if pk in before and before[pk] != after[pk])
    new = sorted((after[pk], pk) for pk in after if pk not in before)
    gone = sorted((before[pk], pk) for pk in before if pk not in after)
    return (
        *(f"{_named(titles, pk)} moves from {on(before[pk])} to {on(day)}." for day, pk in moved),
        *(f"{_named(titles, pk)} is new on {on(day)}." for day, pk in new),
        *(f"{_named(titles, pk)}, on {on(day)} before, is left out." for day, pk in gone),
    )


SAME = "Nothing is other than in the plan before."


def not_put_back(day: date, title: str, why: str) -> str:
    """Why a class of an earlier plan could not be placed again."""
    return sentence(f"{quoted(title)} can’t be put back on {on(day)}: {why}")


def put_back(titles: Sequence[str]) -> str:
    """What an acceptance taken back comes to: its classes are proposed again."""
    verb = "is" if len(titles) == 1 else "are"
    return sentence(f"{joined([quoted(one) for one in titles])} {verb} proposed again")


def _named(titles: Mapping[int, str], pk: int) -> str:
    return quoted(titles[pk]) if pk in titles else "A class that was deleted"


def plan_in_words(what: str, uploads: int, *, back: bool) -> str:
    """ "accepted: eight uploads", "made: eight uploads": an earlier plan in the list of them."""
    said = f"{what}: {count(uploads, 'upload')}"
    return f"{said}, taken back since" if back else said


def became(
    state: str, stands: date | None, planned: date, *, proposed: date | None = None
) -> tuple[str, str]:
    """What a class of an earlier plan is now, as a status and in words; state "" was deleted.

    `stands` is the day it has, `proposed` the one on which it is proposed now.
    """
    if not state:
        return "void", "deleted since"
    if state == WITHDRAWN:
        return "withdrawn", "withdrawn"
    if stands is None:
        if proposed is None:
            return "none", "no day now"
        there = "there" if proposed == planned else f"on {on(proposed)}"
        return "proposed", f"proposed {there} now"
    day = "" if stands == planned else f" on {on(stands)}"
    if state == PUBLISHED:
        return "published", f"published{day}"
    return ("fixed", "planned there") if stands == planned else ("moved", f"now{day}")


def without_points(reason: str) -> str:
    """A reason as the page says it: what it would cost in words; points belong in the command."""
    return _POINTS.sub("", reason)
