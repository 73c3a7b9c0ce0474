"""Taking days away back: which of the moved uploads can return to their old day."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from coach.scheduling.away import Moved, Standing, day_in_words


@dataclass(frozen=True, slots=True)
class Back:
    """What taking the days away back comes to for one upload: `why` not, or empty: it goes back.

    `stands` is its day now, None if it has none.
    """

    id: int
    title: str
    old: date
    stands: date | None
    why: str


def taking_back(
    moved: Iterable[Moved],
    standing: Iterable[Standing],
    without_day: Iterable[Standing] = (),
    *,
    today: date,
    days_off: frozenset[date],
) -> tuple[Back, ...]:
    """Which of the moved uploads go back to their old day.

    One goes back if it still stands where it was moved to and isn't published, and its old day is
    not past, no day off (`days_off`: those that stay) and nobody else's, and if no earlier part of
    its series would then come after it. `without_day`: those for which no day was found and that
    still have none.
    """
    asked, now = list(moved), {one.id: one for one in standing}
    # Without a day, one comes after every part of its series that has one.
    waiting = {one.id: replace(one, publish=date.max) for one in without_day}
    why = {one.id: _against(one, now, waiting, today, days_off) for one in asked}
    going = {one.id: one.old for one in asked if not why[one.id]}
    while stuck := {
        id: said for id in going if (said := _in_the_way(now.get(id) or waiting[id], now, going))
    }:
        why.update(stuck)
        going = {one: old for one, old in going.items() if one not in stuck}
    return tuple(
        Back(
            one.id, one.title, one.old, now[one.id].publish if one.id in now else None, why[one.id]
        )
        for one in asked
    )


def _against(
    one: Moved,
    now: dict[int, Standing],
    waiting: dict[int, Standing],
    today: date,
    days_off: frozenset[date],
) -> str:
    """What of itself keeps an upload from going back."""
    stands = now.get(one.id)
    if stands is None and one.id not in waiting:
        return "It was taken off, or given another day, since."
    if stands and stands.fixed:
        return "It is published."
    if stands and stands.publish != one.new:
        return f"It was moved to {day_in_words(stands.publish)} since."
    if one.old < today:
        return f"{day_in_words(one.old)} is past."
    if one.old in days_off:
        return f"{day_in_words(one.old)} is a day off."
    return ""


def _in_the_way(one: Standing, now: dict[int, Standing], going: dict[int, date]) -> str:
    """What of the others keeps an upload from going back, when these go back."""
    old = going[one.id]
    for other in now.values():
        if other.id not in going and other.publish == old:
            return f"“{other.title}” stands on {day_in_words(old)} now."
        if one.follows(other) and going.get(other.id, other.publish) >= old:
            return f"“{other.title}”, an earlier part of its series, would then come after it."
    return ""
