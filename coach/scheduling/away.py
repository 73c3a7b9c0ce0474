"""Days away, planned or not: which uploads slip, to where, and why.

Days are walked in order. The uploads whose day is lost wait in line; on every open publish day the
first in line that can be made by then goes out, and what stood there joins the line behind it. So
the order stays, nothing moves earlier, and the first empty publish day ends the shift. One that
waits to be made lets the ones behind it pass, never those of its own series.

What counts as made in time. A class has two last days: the last filming day by its film lead before
publishing, and the last working day by its ready lead. Where a lead has passed without its being
done, it has shrunk to the days from today on, and the upload keeps what is left of it wherever it
goes. An upload after the days away is held up only if such a last day falls into the days away and
it can't be done before them: for filming, if the filming days from today on hold fewer films than
are waited for until then; for getting ready, if the working days from today on are fewer than the
work until then takes, at her hours a week. Neither asks more than the upload had without the days
away, so what was late already is no later for it. Where a last day lies behind the days away, the
days left are fewer, and the upload stays. The same is asked of every day that an upload moves to.

Working days are days that are no day off, today with them. Where she hasn't said on which weekdays
she films, every working day can be a filming day. Films are counted, not hours of filming.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from enum import StrEnum

DAY = timedelta(days=1)
LONGEST = 60  # days away
FURTHEST_AHEAD = 730  # days from today to the last day away
FARTHEST = 180  # days after the last day away in which a new day is looked for


class Step(StrEnum):
    """What has to be done before a class is published."""

    FILM = "film"
    READY = "ready"


@dataclass(frozen=True, slots=True)
class Standing:
    """A class on its publish day; `fixed`: it is published and never moves.

    `ready`: finished, so filmed too. `minutes_left`: work still to do, 0 where not known.
    """

    id: int
    title: str
    publish: date
    fixed: bool = False
    series: int | None = None
    part: int | None = None
    filmed: bool = True
    ready: bool = True
    minutes_left: int = 0
    not_after: date | None = None

    @property
    def undone(self) -> tuple[Step, ...]:
        """The steps still to be done."""
        if self.fixed or self.ready:
            return ()
        return (Step.READY,) if self.filmed else (Step.FILM, Step.READY)

    def follows(self, other: Standing) -> bool:
        """Whether it is a later part of the same series, and stands after it."""
        if self.series is None or self.series != other.series:
            return False
        return (other.part or 0) < (self.part or 0) and other.publish < self.publish


@dataclass(frozen=True, slots=True)
class OpenDays:
    """Which days she publishes on (0 is Monday); `a_week` and `gap_days` only where she says so
    many an ISO week instead of weekdays: then a moved upload keeps both."""

    weekdays: frozenset[int]
    days_off: frozenset[date] = frozenset()
    a_week: int | None = None
    gap_days: int = 1


@dataclass(frozen=True, slots=True)
class Work:
    """How she makes classes: leads in days before publishing, filming weekdays (none: not said)."""

    film_lead: int
    ready_lead: int
    film_weekdays: frozenset[int] = frozenset()
    films_a_day: int = 1
    minutes_a_week: int = 480

    def lead(self, step: Step) -> int:
        """The lead of a step."""
        return self.film_lead if step is Step.FILM else self.ready_lead


@dataclass(frozen=True, slots=True)
class Moved:
    """An upload that slips; `new` is None where no day was found, and she decides."""

    id: int
    title: str
    old: date
    new: date | None
    why: str


def away(
    first: date,
    last: date,
    uploads: Iterable[Standing],
    *,
    today: date,
    open_days: OpenDays,
    work: Work,
) -> tuple[Moved, ...]:
    """What slips, in the order of the old days. ValueError with a sentence for days that aren't.

    A new day is after the days away, a publish day, no day off, nobody else's, and at most
    `FARTHEST` days after the last one; where there is none, or only after the class's own
    `not_after`, it is None.
    """
    if sentence := against_days(first, last, today=today):
        raise ValueError(sentence)
    making = _Making(first, last, today, open_days.days_off, work)
    return _Walk(making, open_days, sorted(uploads, key=_in_order)).moved()


def against_days(first: date, last: date, *, today: date) -> str:
    """Why these can't be days away, in a sentence; empty if they can."""
    if last < first:
        return "The last day away comes before the first."
    if (last - first).days >= LONGEST:
        return f"That is more than {LONGEST} days: mark it in parts."
    if last < today:
        return "These days are over: choose a last day that is today or later."
    if (last - today).days > FURTHEST_AHEAD:
        return "That is more than two years ahead."
    return ""


def days_between(first: date, last: date) -> list[date]:
    """Every day from the first to the last, both with them."""
    return [first + DAY * n for n in range((last - first).days + 1)]


def day_in_words(day: date) -> str:
    """ "Wednesday 9 December"."""
    return f"{day:%A} {day.day} {day:%B}"


def _in_order(upload: Standing) -> tuple[date, int, int]:
    return upload.publish, upload.part or 0, upload.id


@dataclass(frozen=True, slots=True)
class _Making:
    """Whether an upload can be made by a day, with the days away and without them."""

    first: date
    last: date
    today: date
    days_off: frozenset[date]
    work: Work

    def lost(self, day: date) -> bool:
        return self.first <= day <= self.last

    def lead(self, of: Standing, step: Step) -> int:
        """The days between a step and publishing: of a late one those that were left."""
        return max(0, min(self.work.lead(step), (of.publish - self.today).days))

    def hindered(self, of: Standing, before: Sequence[Standing]) -> Step | None:
        """The step that the days away make impossible for one that stands after them."""
        for step in of.undone:
            by = self.last_day(of, step)
            if by and self.lost(by) and not self._in_time(of, step, of.publish, before):
                return step
        return None

    def last_day(self, of: Standing, step: Step) -> date | None:
        """The last day for a step where the upload stands, as if she weren't away."""
        days = self._days(step, of.publish - timedelta(days=self.lead(of, step)))
        return max(days, default=None)

    def missing(self, of: Standing, day: date, before: Sequence[Standing]) -> Step | None:
        """The step that can't be done in time for publishing on `day`, behind those before."""
        waiting = (step for step in of.undone if not self._in_time(of, step, day, before))
        return next(waiting, None)

    def _in_time(self, of: Standing, step: Step, day: date, before: Sequence[Standing]) -> bool:
        lead = timedelta(days=self.lead(of, step))
        had = self._room(step, of.publish - lead, away=False)
        need = self._asked(step, [*before, of])
        return self._room(step, day - lead, away=True) >= max(1, min(had, need))

    def _room(self, step: Step, until: date, *, away: bool) -> int:
        """Working days from today until a day; for filming, films that fit on filming days."""
        days = [day for day in self._days(step, until) if not (away and self.lost(day))]
        return len(days) * (self.work.films_a_day if step is Step.FILM else 1)

    def _days(self, step: Step, until: date) -> list[date]:
        """The days from today until a day on which a step can be done, away or not."""
        every = frozenset(range(7))
        weekdays = (self.work.film_weekdays or every) if step is Step.FILM else every
        days = days_between(self.today, until)
        return [day for day in days if day not in self.days_off and day.weekday() in weekdays]

    def _asked(self, step: Step, of: Iterable[Standing]) -> int:
        """Films waited for, or working days that the work takes (all of them without hours)."""
        undone = [one for one in of if step in one.undone]
        if step is Step.FILM:
            return len(undone)
        minutes = sum(one.minutes_left for one in undone)
        if not self.work.minutes_a_week:
            return FARTHEST if minutes else 1
        return -(-minutes * 7 // self.work.minutes_a_week)


@dataclass(slots=True)
class _Walk:
    """The walk from the first day away on: who waits in line, who has a day, why one moved."""

    making: _Making
    rule: OpenDays
    uploads: list[Standing]
    line: list[Standing] = field(default_factory=list)
    given: list[tuple[date, Standing]] = field(default_factory=list)
    why: dict[int, str] = field(default_factory=dict)
    held: dict[int, Step] = field(default_factory=dict)
    ended: list[Moved] = field(default_factory=list)

    def moved(self) -> tuple[Moved, ...]:
        by_day: dict[date, list[Standing]] = {}
        for one in self.uploads:
            if one.fixed or one.publish < self.making.first:
                self.given.append((one.publish, one))
            else:
                by_day.setdefault(one.publish, []).append(one)
        for day in days_between(self.making.first, self.making.last + DAY * FARTHEST):
            self._day(day, by_day.get(day, []))
        for one in self.line:
            self._end(one, None, f"No publish day is open for it within {FARTHEST} days.")
        order = {one.id: place for place, one in enumerate(self.uploads)}
        return tuple(sorted(self.ended, key=lambda one: order[one.id]))

    def _day(self, day: date, standing: list[Standing]) -> None:
        if self.making.lost(day):
            self._wait(standing, "You are away on that day.")
            return
        self._run_out(day)
        stays = [one for one in standing if not self._displaced(one)]
        next_one = self._next(day, [one for one in self.line if one not in standing])
        if next_one is None:
            self.given += [(day, one) for one in stays]
            return
        self.line.remove(next_one)
        self.given.append((day, next_one))
        self._end(next_one, day, self._sooner(next_one))
        self._wait(stays, f"“{next_one.title}” takes its day.")

    def _wait(self, uploads: Iterable[Standing], why: str) -> None:
        for one in uploads:
            self.line.append(one)
            self.why[one.id] = why

    def _end(self, one: Standing, new: date | None, more: str) -> None:
        why = f"{self.why[one.id]} {more}".strip()
        self.ended.append(Moved(one.id, one.title, one.publish, new, why))

    def _run_out(self, day: date) -> None:
        """Those in line whose own last day is past find none any more."""
        for one in [one for one in self.line if one.not_after and one.not_after < day]:
            self.line.remove(one)
            until = day_in_words(one.not_after or day)
            self._end(one, None, f"It may come out until {until}, and no day is open until then.")

    def _displaced(self, one: Standing) -> bool:
        """Whether one can't stay on its own day; if so it joins the line, with the reason."""
        why = self._order(one) or self._crowded(one) or self._hindered(one)
        if why:
            self._wait([one], why)
        return bool(why)

    def _order(self, one: Standing) -> str:
        earlier = next((other for other in self.line if one.follows(other)), None)
        if earlier is None:
            return ""
        return f"“{earlier.title}”, an earlier part of its series, has to come first."

    def _crowded(self, one: Standing) -> str:
        """Where a moved upload now stands too near, or fills the week."""
        if self.rule.a_week is None:
            return ""
        new = {ended.id for ended in self.ended if ended.new}
        moved = [(day, other) for day, other in self.given if other.id in new]
        for day, other in moved:
            if (one.publish - day).days < self.rule.gap_days:
                return f"“{other.title}” now stands too close before it."
        full = self._in_week(one.publish) >= self.rule.a_week
        there = [other for day, other in moved if _week(day) == _week(one.publish)]
        return f"“{there[0].title}” now fills its week." if full and there else ""

    def _hindered(self, one: Standing) -> str:
        step = self.making.hindered(one, self._made())
        if step is None:
            return ""
        by = day_in_words(self.making.last_day(one, step) or one.publish)
        to_do = "filmed" if step is Step.FILM else "ready"
        doing = "film it" if step is Step.FILM else "get it ready"
        return f"It isn’t {to_do} yet, and the last day to {doing}, {by}, falls into the days away."

    def _next(self, day: date, line: list[Standing]) -> Standing | None:
        """The first in line that can go out on an open day."""
        if not self._open(day):
            return None
        made = self._made()
        for one in line:
            step = self.making.missing(one, day, made)
            if step:
                self.held[one.id] = step
            elif not self._order(one):
                return one
        return None

    def _open(self, day: date) -> bool:
        rule, taken = self.rule, [given for given, _ in self.given]
        if day in rule.days_off or day.weekday() not in rule.weekdays or day in taken:
            return False
        if rule.a_week is None:
            return True
        near = any(abs((day - other).days) < rule.gap_days for other in taken)
        return not near and self._in_week(day) < rule.a_week

    def _in_week(self, day: date) -> int:
        return sum(_week(given) == _week(day) for given, _ in self.given)

    def _made(self) -> list[Standing]:
        return [one for _, one in self.given]

    def _sooner(self, one: Standing) -> str:
        step = self.held.get(one.id)
        if step is None:
            return ""
        return f"No sooner: it has to be {'filmed' if step is Step.FILM else 'made ready'} first."


def _week(day: date) -> tuple[int, int]:
    year, number, _ = day.isocalendar()
    return year, number
