"""Reads of making classes: every class with a publish day that is not out, and what it needs.

Each of the public reads takes the same few queries, however many classes there are.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property

from django.db.models import Max, Q

from coach.practice.models import AuditEntry
from coach.scheduling.production import STEPS, Calendar, Leads, Making, StepDay, production
from content.models import (
    Away,
    CheckItem,
    ClassCheck,
    DayOff,
    FilmedTimes,
    FitnessClass,
    State,
    Upload,
    Wishes,
)
from content.queries.planning import wishes
from content.rules import making as rules
from content.rules.classes import work_left
from content.rules.making import Item

_OUT = (State.PUBLISHED, State.WITHDRAWN)
_CLASS = FitnessClass._meta.label_lower
TICKED, UNTICKED = "ticked", "took back a tick"


@dataclass(frozen=True)
class InMaking:
    """Every upload that is not out, by the id of its class, with the steps still to do.

    `items`: the checklist; `ticks`, `captioned`: of these classes and of the one asked for.
    `noted`: when something was last ticked or captioned of each; `ruled`: when what holds for all
    of them was changed.
    """

    uploads: Mapping[int, Upload]
    calendar: Calendar
    wanted: Wishes
    items: tuple[Item, ...]
    ticks: Mapping[int, set[str]]
    captioned: frozenset[int]
    noted: Mapping[int, datetime]
    ruled: tuple[datetime, ...]

    @cached_property
    def leads(self) -> Leads:
        """Her lead times."""
        return Leads(
            outline=self.wanted.lead_outline,
            film=self.wanted.lead_film,
            edit=self.wanted.lead_edit,
            captions=self.wanted.lead_captions,
            schedule=self.wanted.lead_days,
        )

    @cached_property
    def makings(self) -> tuple[Making, ...]:
        """What production is worked out from."""
        return tuple(self._making(upload) for upload in self.uploads.values())

    @cached_property
    def steps(self) -> tuple[StepDay, ...]:
        """The day of every step still to do, in order."""
        return production(self.makings, self.calendar, self.leads)

    def done(self, item: FitnessClass) -> frozenset[str]:
        """The steps of a class that are done: the captions once they are kept, or all ticked."""
        ticked = rules.all_ticked(self.items, rules.CAPTIONS, self.ticks.get(item.pk, ()))
        return rules.steps_done(item.state, captioned=ticked or item.pk in self.captioned)

    def _making(self, upload: Upload) -> Making:
        item = upload.item
        minutes = work_left(item.state, item.minutes_of_work)
        return Making(item.pk, item.title, upload.day, self.done(item), minutes)


def in_making(today: date, *, asked: FitnessClass | None = None) -> InMaking:
    """Everything that production is worked out from, as it stands today; `asked`: a class that
    may have no day."""
    rows = (
        Upload.objects.filter(cancelled_at__isnull=True)
        .exclude(item__state__in=_OUT)
        .select_related("item__series")
    )
    uploads = {row.item_id: row for row in rows.order_by("day", "pk")}
    of, wanted = {*uploads, *([asked.pk] if asked else [])}, wishes()
    off, items = list(DayOff.objects.all()), list(CheckItem.objects.all())
    ticks = list(ClassCheck.objects.filter(item_id__in=of))
    kept = [] if wanted._state.adding else [wanted]
    films = dict(FilmedTimes.objects.filter(item_id__in=of).values_list("item_id", "created_at"))
    return InMaking(
        uploads=uploads,
        calendar=_calendar(today, wanted, off),
        wanted=wanted,
        items=_merged(items),
        ticks=_codes(ticks),
        captioned=frozenset(films),
        noted=_latest([*films.items(), *((one.item_id, one.created_at) for one in ticks)]),
        ruled=tuple(one.changed_at for one in (*kept, *off, *items)),
    )


def _calendar(today: date, wanted: Wishes, off: Iterable[DayOff]) -> Calendar:
    return Calendar(
        today=today,
        days_off=frozenset(one.day for one in off),
        film_weekdays=frozenset(wanted.film_weekdays),
        films_a_day=wanted.films_a_day,
        minutes_a_week=wanted.minutes_a_week,
    )


def checklist() -> tuple[Item, ...]:
    """The practice's checklist in order, retired items too; one query."""
    return _merged(CheckItem.objects.all())


def _merged(rows: Iterable[CheckItem]) -> tuple[Item, ...]:
    return rules.merged(
        Item(row.code, row.step, row.words, row.place, retired=row.retired) for row in rows
    )


def _codes(ticks: Iterable[ClassCheck]) -> Mapping[int, set[str]]:
    found: dict[int, set[str]] = defaultdict(set)
    for one in ticks:
        found[one.item_id].add(one.code)
    return found


def _latest(rows: Iterable[tuple[int, datetime]]) -> dict[int, datetime]:
    found: dict[int, datetime] = {}
    for pk, at in rows:
        found[pk] = max(at, found.get(pk, at))
    return found


def step_of(code: str) -> str:
    """The step that an item of the checklist belongs to; empty for none."""
    return next((one.step for one in checklist() if one.code == code), "")


@dataclass(frozen=True, slots=True)
class Tick:
    """An item of the checklist as it stands for a class."""

    code: str
    words: str
    done: bool


@dataclass(frozen=True, slots=True)
class Section:
    """A step of one class: its day where it has one to come, and its items.

    `next`: the first step that is not done.
    """

    step: str
    title: str
    done: bool
    next: bool
    day: date | None
    late: bool
    note: str
    items: tuple[Tick, ...]

    @property
    def ticked(self) -> int:
        """How many items are ticked."""
        return sum(one.done for one in self.items)


@dataclass(frozen=True, slots=True)
class ClassMaking:
    """How far the making of a class has come; `slips_to` only where its day can't be kept."""

    sections: tuple[Section, ...]
    publish: date | None
    slips_to: date | None


def class_making(item: FitnessClass, *, today: date) -> ClassMaking | None:
    """The steps of one class with their days and ticks; None for what is out or withdrawn."""
    if item.state in _OUT:
        return None
    found = in_making(today, asked=item)
    upload = found.uploads.get(item.pk)
    days = {at.step: at for at in found.steps if at.making == item.pk}
    done, ticks = found.done(item), found.ticks.get(item.pk, set())
    left = [step for step in STEPS if step not in done]
    sections = (
        _section(step, days.get(step), step in done, left[:1] == [step], items)
        for step, items in _by_step(found.items, ticks).items()
    )
    slips = next((at.slips_to for at in days.values()), None)
    return ClassMaking(tuple(sections), upload.day if upload else None, slips)


def _by_step(items: Iterable[Item], ticks: Collection[str]) -> dict[str, tuple[Tick, ...]]:
    asked = [one for one in items if not one.retired]
    return {
        step: tuple(
            Tick(one.code, one.words, one.code in ticks) for one in asked if one.step == step
        )
        for step in STEPS
    }


def _section(
    step: str, at: StepDay | None, done: bool, is_next: bool, items: tuple[Tick, ...]
) -> Section:
    return Section(
        step=step,
        title=rules.TITLES[step],
        done=done,
        next=is_next,
        day=at.day if at else None,
        late=at.late if at else False,
        note=at.note if at else "",
        items=items,
    )


@dataclass(frozen=True, slots=True)
class Changes:
    """When what production rests on last changed: for all classes, and for each one of its own.

    `every` is the latest of all of it, and of the uploads that have left it.
    """

    shared: datetime
    own: Mapping[int, datetime]
    every: datetime


def changes(found: InMaking, uploads: Iterable[Upload], *, since: datetime) -> Changes:
    """When rows last changed; `uploads` are all there ever were, `since` when the practice began.

    What is deleted leaves no row behind: the trail knows when a tick or a day off was taken back.
    """
    own: dict[int, datetime] = {}
    every = since
    for upload in uploads:
        latest = max(upload.changed_at, upload.item.changed_at)
        every = max(every, latest)
        if upload.cancelled_at is None and upload.item_id in found.uploads:
            own[upload.item_id] = max(latest, found.noted.get(upload.item_id, latest))
    away = Away.objects.aggregate(at=Max("changed_at"))["at"]
    shared = max([since, *found.ruled, *(at for at in (away, _taken_back()) if at)])
    return Changes(shared, own, max([every, shared, *own.values()]))


def _taken_back() -> datetime | None:
    gone = Q(subject_kind="content.dayoff") | Q(subject_kind=_CLASS, verb=UNTICKED)
    at: datetime | None = AuditEntry.objects.filter(gone).aggregate(at=Max("at"))["at"]
    return at
