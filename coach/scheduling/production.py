"""When each step of making a class is due, from its publish day backwards. Pure.

A step's own day is the publish day less its lead, or the last day before that is no day off.
Filming is gathered: only on film weekdays, so many classes a day, the class that is out first
first, on as few days as possible and as late as that allows. Where no film weekday is set, each
class has a film day of its own by the lead.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from coach.scheduling.planner.words import hours, on, past

STEPS = ("outline", "film", "edit", "captions", "schedule")
OUTLINE, FILM = "outline", "film"
DAY = timedelta(days=1)
LONGEST_DAYS = 3660  # ten years; work that hours do not reach by then has no day
LOOKED_BACK_DAYS = 400
NO_FILM_DAY = "No filming day is free in time."
NO_HOURS = "There are no hours a week for it."


@dataclass(frozen=True, slots=True)
class Leads:
    """Days before the publish day by which each step is to be done; ValueError for less than none.

    A step never has a shorter lead than one after it: it counts with the longer one.
    """

    outline: int
    film: int
    edit: int
    captions: int
    schedule: int

    def __post_init__(self) -> None:
        if min(getattr(self, step) for step in STEPS) < 0:
            raise ValueError("A lead can’t be less than no days.")

    def of(self, step: str) -> timedelta:
        """The lead that counts for a step."""
        return timedelta(days=max(getattr(self, one) for one in STEPS[STEPS.index(step) :]))


@dataclass(frozen=True, slots=True)
class Making:
    """A class with a publish day that is not out; `done` are its steps that are done.

    `minutes_left` is the work it still needs; 0 is none, or not known.
    """

    id: int
    title: str
    publish: date
    done: frozenset[str] = frozenset()
    minutes_left: int = 0

    @property
    def left(self) -> tuple[str, ...]:
        """The steps still to do, in order."""
        return tuple(step for step in STEPS if step not in self.done)


@dataclass(frozen=True, slots=True)
class Calendar:
    """Which days there are. Weekdays are 0 (Monday) to 6; no film weekday: not said."""

    today: date
    days_off: frozenset[date] = frozenset()
    film_weekdays: frozenset[int] = frozenset()
    films_a_day: int = 3
    minutes_a_week: int = 480

    def __post_init__(self) -> None:
        if self.films_a_day < 1:
            raise ValueError("A filming day takes at least one class.")
        if self.minutes_a_week < 0:
            raise ValueError("The minutes a week can’t be less than none.")
        if not self.film_weekdays <= set(range(7)):
            raise ValueError("A weekday is 0 to 6.")

    def works(self, day: date) -> bool:
        """Whether it is no day off."""
        return day not in self.days_off

    def films(self, day: date) -> bool:
        """Whether it may be a filming day."""
        return self.works(day) and (not self.film_weekdays or day.weekday() in self.film_weekdays)

    def minutes_until(self, day: date) -> int:
        """Minutes for making from the day after today to `day`, both included, rounded down."""
        span = max(0, (day - self.today).days)
        off = sum(self.today < one <= day for one in self.days_off)
        return self.minutes_a_week * (span - off) // 7

    def day_with(self, minutes: int) -> date | None:
        """The first day until which there are so many minutes; None if not within ten years."""
        if not self.minutes_a_week:
            return None
        days = -(-minutes * 7 // self.minutes_a_week)
        if days > LONGEST_DAYS:
            return None
        day = self.today + timedelta(days=days)
        for off in sorted(one for one in self.days_off if one > self.today):
            day += DAY if off <= day else timedelta()
        return day


@dataclass(frozen=True, slots=True)
class StepDay:
    """A step still to do and the day it stands on.

    `late`: its own day has passed, or it found no filming day in time. `slips_to`: the first day
    on which its class can be out with the lead times of all that is still to do, and with the
    hours there are; None if that is the planned one. `note` says why.
    """

    making: int
    step: str
    day: date
    late: bool
    note: str
    slips_to: date | None


def production(makings: Iterable[Making], calendar: Calendar, leads: Leads) -> tuple[StepDay, ...]:
    """The day of every step still to do, in order of day, step and class.

    A late step stands on the first possible day from today and later ones follow it. What slips
    for want of hours is told, but its steps stay where they are.
    """
    ordered = sorted(makings, key=lambda one: (one.publish, one.id))
    films = _film_days(ordered, calendar, leads)
    short = _short_of_hours(ordered, calendar, leads)
    found = [
        step
        for one in ordered
        if one.left
        for step in _steps(one, films.get(one.id), short.get(one.id), calendar, leads)
    ]
    return tuple(sorted(found, key=lambda at: (at.day, STEPS.index(at.step), at.making)))


def standing_since(
    makings: Sequence[Making], calendar: Calendar, leads: Leads
) -> Mapping[int, date]:
    """Since which day each class's steps stand where they do, of those that time alone moved.

    A class whose days do not depend on today is not in it.
    """
    now = _places(makings, calendar, leads)
    since: dict[int, date] = {}
    free = replace(calendar, today=calendar.today - timedelta(days=LOOKED_BACK_DAYS))
    open_ones = {pk for pk, steps in _places(makings, free, leads).items() if steps != now[pk]}
    day = calendar.today
    while open_ones and day > free.today:
        before = _places(makings, replace(calendar, today=day - DAY), leads)
        moved = {pk for pk in open_ones if before[pk] != now[pk]}
        since |= dict.fromkeys(moved, day)
        open_ones -= moved
        day -= DAY
    return since


def _places(
    makings: Sequence[Making], calendar: Calendar, leads: Leads
) -> dict[int, list[tuple[str, date]]]:
    found: dict[int, list[tuple[str, date]]] = {one.id: [] for one in makings}
    for at in production(makings, calendar, leads):
        found[at.making].append((at.step, at.day))
    return found


def _film_days(ordered: Sequence[Making], calendar: Calendar, leads: Leads) -> dict[int, date]:
    """The filming day of each class still to be filmed.

    Taken in order of deadline and in full days, the fewest days there can be are used; each day is
    the latest that serves the first class filmed on it.
    """
    waiting = [one for one in ordered if FILM not in one.done]
    deadlines = [one.publish - leads.of(FILM) for one in waiting]
    most = calendar.films_a_day
    if not calendar.film_weekdays:
        days = _spread(deadlines, most, calendar)
        return {one.id: day for one, day in zip(waiting, days, strict=True)}
    days = _spread(deadlines[::most], 1, calendar)
    return {one.id: days[n // most] for n, one in enumerate(waiting)}


def _spread(deadlines: Sequence[date], most: int, calendar: Calendar) -> list[date]:
    """Days in the order of the deadlines, at most so many on one day: each the latest day that
    serves its deadline, or else the first from today on."""
    days = list(deadlines)
    for n in reversed(range(len(days))):
        later = [days[n + 1]] if n + 1 < len(days) else []
        full = [days[n + most] - DAY] if n + most < len(days) else []
        days[n] = _latest(min([deadlines[n], *later, *full]), calendar.films)
    for n, day in enumerate(days):
        before = [days[n - 1]] if n else []
        full = [days[n - most] + DAY] if n >= most else []
        days[n] = max(day, _first(max([calendar.today, *before, *full]), calendar.films))
    return days


def _latest(day: date, is_open: Callable[[date], bool]) -> date:
    while not is_open(day):
        day -= DAY
    return day


def _first(day: date, is_open: Callable[[date], bool]) -> date:
    while not is_open(day):
        day += DAY
    return day


def _steps(
    one: Making,
    filmed: date | None,
    short: tuple[date | None, str] | None,
    calendar: Calendar,
    leads: Leads,
) -> Iterator[StepDay]:
    """The steps of one class; `filmed` is its filming day, `short` when its hours are there."""
    soonest = _first(calendar.today, calendar.works)
    kept = _kept_publish_day(one, filmed or soonest, leads)
    ready = max(day for day in (kept, short[0] if short else None) if day)
    slips_to = _first(ready, calendar.works) if ready > one.publish else None
    day = soonest
    for step in one.left:
        is_open = calendar.films if step == FILM else calendar.works
        own = _latest(one.publish - leads.of(step), is_open)
        wanted = _wanted(step, kept, filmed, calendar, leads)
        day = max(day, wanted)
        late = own < calendar.today or (step == FILM and day > own)
        note = _why_late(own, calendar.today) if late else ""
        if short and step == one.left[0]:
            note = f"{note} {short[1]}".strip()
        yield StepDay(one.id, step, day, late, note, slips_to)


def _wanted(
    step: str, publish: date, filmed: date | None, calendar: Calendar, leads: Leads
) -> date:
    """A step's day by the leads. An outline keeps its distance from filming that came forward:
    from the day before the filming day after it."""
    if step == FILM and filmed:
        return filmed
    day = publish - leads.of(step)
    if step == OUTLINE and filmed:
        by_lead = _first(filmed + DAY, calendar.films) - DAY
        day = min(day, filmed, by_lead - (leads.of(OUTLINE) - leads.of(FILM)))
    return _latest(day, calendar.works)


def _kept_publish_day(one: Making, day: date, leads: Leads) -> date:
    """The first publish day with which what follows the filming, or the step in hand, keeps its
    lead; `day` is the one on which that stands."""
    place = one.left.index(FILM) if FILM in one.left else 0
    after = one.left[place + 1 :]
    return max(one.publish, day + (leads.of(after[0]) if after else timedelta()))


def _why_late(own: date, today: date) -> str:
    return f"Its day was {past(own, today)}." if own < today else NO_FILM_DAY


def _short_of_hours(
    ordered: Iterable[Making], calendar: Calendar, leads: Leads
) -> dict[int, tuple[date | None, str]]:
    """Of each class that the hours do not reach: the first publish day they do, and why.

    All work of classes that are out before it comes first.
    """
    found: dict[int, tuple[date | None, str]] = {}
    needed, lead = 0, leads.of(STEPS[-1])
    for one in ordered:
        needed += one.minutes_left
        ready = one.publish - lead
        there = calendar.minutes_until(ready)
        if one.minutes_left and needed > there:
            day = calendar.day_with(needed)
            found[one.id] = (day + lead if day else None, _why_short(ready, needed, there, day))
    return found


def _why_short(ready: date, needed: int, there: int, day: date | None) -> str:
    if day is None:
        return NO_HOURS
    return f"Until {on(ready)} there is {hours(there)} for {hours(needed)} of work."
