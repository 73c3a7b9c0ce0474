"""What the page of making shows, and what the first page says of it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from coach.scheduling.planner.words import number, on
from coach.scheduling.production import FILM, STEPS, StepDay
from content.models import Rhythm, Upload
from content.queries.making import InMaking, in_making
from content.rules import making as rules
from content.rules.classes import TO_BE_MADE
from content.rules.making import WeekHours
from content.rules.months import WEEKDAYS, Month

WEEKS = 12
WEEK = timedelta(days=7)


@dataclass(frozen=True, slots=True)
class Late:
    """A class of which something is late, or that does not fit the hours: what slips, what to do.

    `offered`: the first free publish day of hers on which it can be out; None where it need not
    move. `act` is empty where no step is late.
    """

    upload: Upload
    act: str
    when: date
    why: str
    what_to_do: str
    offered: date | None

    @property
    def month(self) -> Month:
        """The month in which its publish day stands."""
        return Month.of(self.upload.day)


@dataclass(frozen=True, slots=True)
class DayLine:
    """One thing to do on a day: `act` and the classes it is done for. `first` of that day."""

    day: date
    first: bool
    act: str
    uploads: tuple[Upload, ...]
    filming: bool
    note: str


@dataclass(frozen=True, slots=True)
class Week:
    """An ISO week in which something is to be done."""

    monday: date
    sunday: date
    number: int
    lines: tuple[DayLine, ...]


@dataclass(frozen=True, slots=True)
class HoursLine:
    """A week of the table of hours, as printed. `short`: all hours until its end do not reach."""

    monday: date
    now: bool
    needed: str
    there: str
    over: str
    short: bool


@dataclass(frozen=True, slots=True)
class MakingPage:
    """Everything on the page; `later` counts the steps after the weeks that are shown."""

    late: tuple[Late, ...]
    too_much: tuple[Late, ...]
    weeks: tuple[Week, ...]
    later: int
    hours: tuple[HoursLine, ...]
    hours_unknown: int
    leads: tuple[tuple[str, int], ...]
    filming: str
    classes: int


def making_page(today: date) -> MakingPage:
    """What is to be made, by day. The number of queries is fixed."""
    found = in_making(today)
    last = _monday(today) + WEEKS * WEEK
    lines = list(_day_lines(found, [at for at in found.steps if at.day < last]))
    told = late_classes(found)
    return MakingPage(
        late=tuple(one for one in told if one.act),
        too_much=tuple(one for one in told if not one.act),
        weeks=tuple(_weeks(lines)),
        later=sum(at.day >= last for at in found.steps),
        hours=tuple(_hours(found)),
        hours_unknown=sum(_hours_unknown(upload) for upload in found.uploads.values()),
        leads=tuple((rules.TITLES[step], found.leads.of(step).days) for step in STEPS),
        filming=_filming_in_words(found),
        classes=len({at.making for at in found.steps}),
    )


def late_classes(found: InMaking) -> tuple[Late, ...]:
    """The classes that are late or do not fit the hours, by publish day; each once."""
    told: dict[int, StepDay] = {}
    for at in sorted(found.steps, key=lambda at: STEPS.index(at.step)):
        before = told.get(at.making)
        if (at.late and not (before and before.late)) or (at.note and not before):
            told[at.making] = at
    taken = {upload.day for upload in found.uploads.values()}
    rows = [
        _late(found, upload, told[pk], taken) for pk, upload in found.uploads.items() if pk in told
    ]
    return tuple(rows)


def _late(found: InMaking, upload: Upload, at: StepDay, taken: set[date]) -> Late:
    offered = _offered(found, at.slips_to, taken) if at.slips_to else None
    taken |= {offered} if offered else set()
    return Late(
        upload=upload,
        act=rules.VERBS[at.step] if at.late else "",
        when=at.day,
        why=at.note,
        what_to_do=_what_to_do(upload, at, found.calendar.today),
        offered=offered,
    )


def _offered(found: InMaking, day: date, taken: set[date]) -> date:
    by_weekday = found.wanted.rhythm == Rhythm.WEEKDAYS
    weekdays = found.wanted.weekdays if by_weekday else ()
    return rules.first_free(day, weekdays=weekdays, closed=found.calendar.days_off, taken=taken)


def _what_to_do(upload: Upload, at: StepDay, today: date) -> str:
    if at.slips_to:
        return f"It can be out on {on(at.slips_to)} at the earliest, not on {on(upload.day)}."
    if not at.late:
        return ""
    when = "today" if at.day == today else f"on {on(at.day)}"
    return f"Done {when}, it can still be out on {on(upload.day)}."


def next_filming(found: InMaking) -> DayLine | None:
    """The next filming day with its classes."""
    films = [at for at in found.steps if at.step == FILM]
    return next(_day_lines(found, films), None)


def _day_lines(found: InMaking, steps: Iterable[StepDay]) -> Iterator[DayLine]:
    """One line a day and step, in order."""
    groups: dict[tuple[date, str], list[Upload]] = defaultdict(list)
    for at in steps:
        groups[at.day, at.step].append(found.uploads[at.making])
    before = None
    for (day, step), uploads in groups.items():
        uploads.sort(key=lambda upload: (upload.day, upload.pk))
        yield DayLine(
            day=day,
            first=day != before,
            act=rules.act_in_words(step, len(uploads)),
            uploads=tuple(uploads),
            filming=step == FILM,
            note=rules.days_in_words(upload.day for upload in uploads),
        )
        before = day


def _weeks(lines: Iterable[DayLine]) -> Iterator[Week]:
    by_week: dict[date, list[DayLine]] = defaultdict(list)
    for line in lines:
        by_week[_monday(line.day)].append(line)
    for monday, rows in by_week.items():
        number = monday.isocalendar().week
        yield Week(monday, monday + timedelta(days=6), number, tuple(rows))


def _hours(found: InMaking) -> Iterator[HoursLine]:
    """Work by the week in which a class is to be ready; what is overdue is this week's."""
    this = _monday(found.calendar.today)
    needed: dict[date, int] = defaultdict(int)
    for one in found.makings:
        ready = one.publish - found.leads.of(STEPS[-1])
        needed[max(this, _monday(ready))] += one.minutes_left
    mondays = [this + n * WEEK for n in range(WEEKS)]
    until = [found.calendar.minutes_until(monday - timedelta(days=1)) for monday in mondays]
    until.append(found.calendar.minutes_until(mondays[-1] + timedelta(days=6)))
    there = {monday: until[n + 1] - until[n] for n, monday in enumerate(mondays)}
    return (_hours_line(week, this) for week in rules.week_hours(needed, there))


def _hours_line(week: WeekHours, this: date) -> HoursLine:
    return HoursLine(
        monday=week.monday,
        now=week.monday == this,
        needed=_hours_short(week.needed),
        there=_hours_short(week.there),
        over=_hours_short(abs(week.over)),
        short=week.over < 0,
    )


def _hours_short(minutes: int) -> str:
    """ "8:00": hours and minutes in a table."""
    return f"{minutes // 60}:{minutes % 60:02}"


def _hours_unknown(upload: Upload) -> bool:
    """Unfinished with no hours said: nothing is counted for it."""
    return upload.item.state in TO_BE_MADE and not upload.item.minutes_of_work


def _filming_in_words(found: InMaking) -> str:
    """ "on Wednesdays, at most three a day"; empty where she has not said when she films."""
    calendar = found.calendar
    if not calendar.film_weekdays:
        return ""
    days = " and ".join(f"{WEEKDAYS[n]}s" for n in sorted(calendar.film_weekdays))
    return f"on {days}, at most {number(calendar.films_a_day)} a day"


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())
