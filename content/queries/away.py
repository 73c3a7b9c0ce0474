"""Reads for days away: what would slip, and the times away there were."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from coach.scheduling.away import Moved, OpenDays, Standing, Work, away, days_between
from coach.scheduling.production import StepDay, production
from content.models import Away, FitnessClass, Rhythm, State, Upload, Wishes
from content.queries import planning
from content.queries.making import InMaking, in_making
from content.rules.away_words import slips_in_words
from content.rules.classes import work_left

_READY = {State.EDITED, State.SCHEDULED, State.PUBLISHED}
_EVERY_DAY = frozenset(range(7))


@dataclass(frozen=True, slots=True)
class Slip:
    """An upload that slips, with its class for a link."""

    moved: Moved
    item: FitnessClass


@dataclass(frozen=True, slots=True)
class StepShift:
    """A step of making a class whose day shifts; `late`: it has no day in time any more."""

    step: str
    old: date
    new: date
    late: bool


@dataclass(frozen=True, slots=True)
class Shift:
    """A class of which steps shift."""

    item: FitnessClass
    steps: tuple[StepShift, ...]


@dataclass(frozen=True, slots=True)
class Slipping:
    """What days away come to, before anything is done.

    `new_days` are those not off yet; `filming` those on which she would have filmed; `shifts`: what
    making the classes comes to; `any_day`: she hasn't said on which days she publishes, so every
    day counts as open.
    """

    first: date
    last: date
    new_days: tuple[date, ...]
    slips: tuple[Slip, ...]
    filming: tuple[date, ...]
    shifts: tuple[Shift, ...]
    any_day: bool

    @property
    def moved(self) -> tuple[Moved, ...]:
        return tuple(slip.moved for slip in self.slips)

    @property
    def homeless(self) -> tuple[Slip, ...]:
        """Those for which no day was found."""
        return tuple(slip for slip in self.slips if slip.moved.new is None)

    @property
    def summary(self) -> str:
        """How much slips."""
        return slips_in_words(len(self.slips), len(self.homeless))

    @property
    def nothing(self) -> bool:
        """Whether doing it would change nothing."""
        return not (self.new_days or self.slips)

    @property
    def seen(self) -> str:
        """The same for the same moves: tells whether what was looked at is still so."""
        lines = [f"{one.id} {one.old} {one.new}" for one in self.moved]
        return hashlib.sha256("\n".join(lines).encode()).hexdigest()[:16]


@dataclass(frozen=True, slots=True)
class Line:
    """A class that was moved for days away; `kept`: why it did not go back, if it did not."""

    title: str
    item_id: int | None
    old: date
    new: date | None
    kept: str


@dataclass(frozen=True, slots=True)
class TimeAway:
    """One time away with what was moved for it."""

    row: Away
    lines: tuple[Line, ...]
    over: bool

    @property
    def days(self) -> int:
        """How many days it is."""
        return (self.row.last - self.row.first).days + 1

    @property
    def kept(self) -> tuple[Line, ...]:
        """What did not go back when it was taken back."""
        return tuple(line for line in self.lines if line.kept)


def slipping(first: date, last: date, *, today: date) -> Slipping:
    """What slips for these days away. ValueError if they can't be any. Constant queries."""
    wanted, off = planning.wishes(), frozenset(planning.all_days_off())
    uploads = {upload.pk: upload for upload in planning.standing_uploads()}
    moved = away(
        first,
        last,
        [standing(upload) for upload in uploads.values()],
        today=today,
        open_days=open_days(wanted, off),
        work=work(wanted),
    )
    days = days_between(first, last)
    return Slipping(
        first=first,
        last=last,
        new_days=tuple(day for day in days if day not in off),
        slips=tuple(Slip(one, uploads[one.id].item) for one in moved),
        filming=tuple(
            day
            for day in days
            if day.weekday() in wanted.film_weekdays and day not in off and day >= today
        ),
        shifts=_shifts(in_making(today), moved, days),
        any_day=not wanted.target,
    )


def _shifts(making: InMaking, moved: Iterable[Moved], days: Iterable[date]) -> tuple[Shift, ...]:
    """The steps that get another day, by class in the order of publish days."""
    new = {one.id: one.new for one in moved}
    uploads = making.uploads
    makings = [
        replace(one, publish=day)
        for one in making.makings
        if (day := new.get(uploads[one.id].pk, one.publish))
    ]
    off = making.calendar.days_off | set(days)
    later = production(makings, replace(making.calendar, days_off=off), making.leads)
    before = {(at.making, at.step): at for at in making.steps}
    found: dict[int, list[StepShift]] = {}
    for at in later:
        was = before[at.making, at.step]
        if was.day != at.day:
            found.setdefault(at.making, []).append(_step_shift(was, at))
    return tuple(
        Shift(upload.item, tuple(found[pk])) for pk, upload in uploads.items() if pk in found
    )


def _step_shift(was: StepDay, now: StepDay) -> StepShift:
    return StepShift(now.step, was.day, now.day, now.late)


def standing(upload: Upload) -> Standing:
    """An upload as the rules for days away see it."""
    item = upload.item
    return Standing(
        id=upload.pk,
        title=item.title,
        publish=upload.day,
        fixed=item.state == State.PUBLISHED,
        series=item.series_id,
        part=item.part,
        filmed=item.state in _READY or item.state == State.FILMED,
        ready=item.state in _READY,
        minutes_left=work_left(item.state, item.minutes_of_work),
        not_after=item.not_after,
    )


def open_days(wanted: Wishes, off: frozenset[date]) -> OpenDays:
    """Her publish days; before she has said any, every day."""
    if wanted.rhythm == Rhythm.A_WEEK:
        return OpenDays(_EVERY_DAY, off, wanted.a_week, wanted.gap_days)
    return OpenDays(frozenset(wanted.weekdays) or _EVERY_DAY, off)


def work(wanted: Wishes) -> Work:
    """How she makes classes."""
    return Work(
        film_lead=wanted.lead_film,
        ready_lead=wanted.lead_days,
        film_weekdays=frozenset(wanted.film_weekdays),
        films_a_day=wanted.films_a_day,
        minutes_a_week=wanted.minutes_a_week,
    )


def moved_of(row: Away) -> tuple[Moved, ...]:
    """What was moved for a time away, as kept."""
    uploads = _uploads([row])
    return tuple(
        Moved(
            id=kept["upload"],
            title=uploads[kept["upload"]].item.title,
            old=date.fromisoformat(kept["from"]),
            new=date.fromisoformat(kept["to"]) if kept["to"] else None,
            why="",
        )
        for kept in row.moved
        if kept["upload"] in uploads
    )


def without_day(row: Away) -> dict[int, Upload]:
    """Of those taken off for want of a day, the ones whose class still waits for one."""
    ids = [kept["upload"] for kept in row.moved if kept["to"] is None]
    free = {item.pk for item in planning.placeable()}
    found = Upload.objects.select_related("item").in_bulk(ids)
    return {pk: upload for pk, upload in found.items() if upload.item_id in free}


def times_away(*, today: date) -> list[TimeAway]:
    """Every time away, the latest first. Two queries, whatever there is."""
    rows = list(Away.objects.all())
    uploads = _uploads(rows)
    return [TimeAway(row, _lines(row, uploads), row.last < today) for row in rows]


def others_need(row: Away) -> list[Away]:
    """Other times away, not taken back, that share days with this one."""
    found = Away.objects.filter(taken_back_at__isnull=True, first__lte=row.last)
    return list(found.filter(last__gte=row.first).exclude(pk=row.pk).order_by("pk"))


def _uploads(rows: Iterable[Away]) -> dict[int, Upload]:
    ids = {kept["upload"] for row in rows for kept in row.moved}
    return Upload.objects.select_related("item").in_bulk(ids)


def _lines(row: Away, uploads: dict[int, Upload]) -> tuple[Line, ...]:
    return tuple(
        Line(
            title=uploads[kept["upload"]].item.title,
            item_id=uploads[kept["upload"]].item_id,
            old=date.fromisoformat(kept["from"]),
            new=date.fromisoformat(kept["to"]) if kept["to"] else None,
            kept=kept.get("kept", ""),
        )
        for kept in row.moved
        if kept["upload"] in uploads
    )
