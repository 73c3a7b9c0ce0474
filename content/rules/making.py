"""What a class still needs to be made: steps done, the checklist, and all of it in words. Pure."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache
from pathlib import Path

from coach.scheduling.planner.words import number
from coach.scheduling.production import STEPS
from content.rules.classes import EDITED, FILMED, OUTLINED, SCHEDULED

_FILE = Path(__file__).parent.parent / "data" / "checklist.toml"
_CODE = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
CAPTIONS = "captions"
PLACES_APART = 10
LONGEST_CODE = 50

_DONE = {
    OUTLINED: ("outline",),
    FILMED: ("outline", "film"),
    EDITED: ("outline", "film", "edit"),
    SCHEDULED: ("outline", "film", "edit", "schedule"),
}
VERBS = {
    "outline": "Outline",
    "film": "Film",
    "edit": "Edit",
    CAPTIONS: "Caption",
    "schedule": "Schedule",
}
TITLES = {
    "outline": "Outline",
    "film": "Film",
    "edit": "Edit",
    CAPTIONS: "Captions",
    "schedule": "Schedule",
}


@dataclass(frozen=True, slots=True)
class Item:
    """One thing to look at in a step. `own`: hers; `changed`: the table's in her words or place."""

    code: str
    step: str
    words: str
    place: int
    own: bool = False
    changed: bool = False
    retired: bool = False


@cache
def table() -> tuple[Item, ...]:
    """The items of the app's data, in order; ValueError if a code or a step is wrong there."""
    with _FILE.open("rb") as file:
        rows = tomllib.load(file)["item"]
    codes = [row["code"] for row in rows]
    if len(set(codes)) < len(codes) or not all(map(_CODE.fullmatch, codes)):
        raise ValueError("a code of the checklist is there twice, or is no code")
    if not {row["step"] for row in rows} <= set(STEPS):
        raise ValueError("the checklist names a step that there is not")
    items = [Item(place=PLACES_APART * n, **row) for n, row in enumerate(rows, start=1)]
    return in_order(items)


def in_order(items: Iterable[Item]) -> tuple[Item, ...]:
    """By step, place and code."""
    return tuple(sorted(items, key=lambda one: (STEPS.index(one.step), one.place, one.code)))


def merged(hers: Iterable[Item]) -> tuple[Item, ...]:
    """The table with what she changed, retired and added, in order; retired ones stay, marked."""
    found = {one.code: one for one in table()}
    for one in hers:
        before = found.get(one.code)
        same = before and (one.words, one.step) == (before.words, before.step)
        found[one.code] = replace(one, own=before is None, changed=bool(before and not same))
    return in_order(found.values())


def code_for(words: str, taken: Collection[str]) -> str:
    """A code for a new item, from its words, that no other has."""
    plain = re.sub(r"[^a-z0-9]+", "-", words.lower().replace("’", "")).strip("-")
    plain = plain[:LONGEST_CODE].strip("-") or "own"
    codes = (plain if n == 1 else f"{plain}-{n}" for n in range(1, len(taken) + 2))
    return next(code for code in codes if code not in taken)


def swapped(items: Sequence[Item], code: str, *, earlier: bool) -> dict[str, int]:
    """The places after an item has changed with its neighbour in its step, of those that change.

    Nothing for the first one put earlier, the last one put later, or a code that is not there.
    """
    one = next((item for item in items if item.code == code), None)
    row = [item for item in items if one and item.step == one.step and not item.retired]
    if one not in row:
        return {}
    at = row.index(one)
    to = at - 1 if earlier else at + 1
    if not 0 <= to < len(row):
        return {}
    row[at], row[to] = row[to], row[at]
    places = {item.code: PLACES_APART * n for n, item in enumerate(row, start=1)}
    return {item.code: places[item.code] for item in row if item.place != places[item.code]}


def steps_done(state: str, *, captioned: bool) -> frozenset[str]:
    """The steps that are done: by the state, and the captions by themselves."""
    return frozenset((*_DONE.get(state, ()), *((CAPTIONS,) if captioned else ())))


def all_ticked(items: Iterable[Item], step: str, ticked: Collection[str]) -> bool:
    """Whether a step has items and every one of them is ticked."""
    codes = [one.code for one in items if one.step == step and not one.retired]
    return bool(codes) and set(codes) <= set(ticked)


def first_free(
    day: date, *, weekdays: Collection[int], closed: Collection[date], taken: Collection[date]
) -> date:
    """The first publish day from `day` on that is no day off and that no upload has."""
    while day in closed or day in taken or (weekdays and day.weekday() not in weekdays):
        day += timedelta(days=1)
    return day


def act_in_words(step: str, classes: int) -> str:
    """ "Film", "Film three": the beginning of a line that names the classes after it."""
    return VERBS[step] if classes == 1 else f"{VERBS[step]} {number(classes)}"


def days_in_words(days: Iterable[date]) -> str:
    """ "out 19 and 22 December, 3 January": publish days, each month named once."""
    months: dict[tuple[int, int], list[date]] = {}
    for day in sorted(set(days)):
        months.setdefault((day.year, day.month), []).append(day)
    parts = [f"{_and([str(day.day) for day in row])} {row[0]:%B}" for row in months.values()]
    return f"out {', '.join(parts)}" if parts else ""


def _and(words: Sequence[str]) -> str:
    return " and ".join(part for part in (", ".join(words[:-1]), words[-1]) if part)


@dataclass(frozen=True, slots=True)
class WeekHours:
    """A week's work beside the hours there are, in minutes.

    `needed`: of the classes that must be ready in it; `over`: what is left of all hours until its
    end, less than nothing where they do not reach.
    """

    monday: date
    needed: int
    there: int
    over: int


def week_hours(needed: Mapping[date, int], there: Mapping[date, int]) -> tuple[WeekHours, ...]:
    """The weeks of `there` up to the last one in which anything is needed; minutes by Monday."""
    found: list[WeekHours] = []
    over = 0
    last = max((monday for monday, minutes in needed.items() if minutes), default=date.min)
    for monday in sorted(there):
        over += there[monday] - needed.get(monday, 0)
        if monday <= last:
            found.append(WeekHours(monday, needed.get(monday, 0), there[monday], over))
    return tuple(found)
