"""Rows to calendar values.

Uploads hold classes only, and the days on which they are made: no client, and nothing about one.
What is to be done names clients by
their initials and says nothing of why. The same rows give the same values on the same day, and
stamps come from the rows alone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date, datetime, time, timedelta
from uuid import UUID, uuid5
from zoneinfo import ZoneInfo

from django.urls import reverse

from coach.feeds import queries
from coach.feeds.ical import Calendar, Entry
from coach.feeds.models import Kind
from coach.feeds.queries import Making, ToDo, ToDos, ToMake
from coach.practice.models import Practice
from coach.scheduling.production import FILM
from content.models import FitnessClass, State, Upload, Wishes
from content.rules.classes import hours_in_words, stages_in_words, work_left
from content.rules.making import act_in_words
from content.rules.uploads import day_in_words

CANCELLED_KEPT = timedelta(days=60)
REFRESH = timedelta(hours=1)
_CALENDARS = UUID("6f1d0c8e-4f0a-4a37-9a3f-5f2f0e5f7c21")  # a namespace of our own, RFC 9562

_LEFT_TO_DO = {
    State.IDEA: "outline, film, edit and schedule it",
    State.OUTLINED: "film, edit and schedule it",
    State.FILMED: "edit and schedule it",
    State.EDITED: "schedule it",
    State.SCHEDULED: "nothing, it is scheduled",
}
_FIRST_WORD = {State.PUBLISHED: "Published", State.WITHDRAWN: "Withdrawn"}


def calendar_of(
    kind: Kind, *, practice: Practice, today: date, absolute: Callable[[str], str]
) -> Calendar:
    """A feed as it is today; `absolute` makes a web address of a path on this site."""
    if kind is Kind.TODO:
        return todo_calendar(queries.todos(today), practice=practice, absolute=absolute)
    uploads = queries.uploads()
    making = queries.making(uploads, practice=practice, today=today)
    return uploads_calendar(
        uploads, practice=practice, today=today, absolute=absolute, making=making,
        wishes=queries.wishes(),
    )  # fmt: skip


def uploads_calendar(
    uploads: Iterable[Upload],
    *,
    practice: Practice,
    today: date,
    absolute: Callable[[str], str],
    making: Making | None = None,
    wishes: Wishes | None = None,
) -> Calendar:
    """The feed of upload days, and of the days on which the classes are made.

    Cancelled uploads stay in it, marked, for `CANCELLED_KEPT`, so that every program learns it.
    A step that is done, or is on another filming day, is simply no longer in it.
    """
    zone = ZoneInfo(practice.time_zone)
    entries: list[Entry] = []
    stamps = [practice.created_at, practice.changed_at]
    for upload in uploads:
        until = _shown_until(upload, zone)
        if until is None or today <= until:
            url = absolute(_page(upload.item))
            entries.append(upload_entry(upload, url=url, wishes=wishes, zone=zone))
            stamps.append(entries[-1].stamp)
        else:  # leaving the feed changed it too
            stamps.append(datetime.combine(until + timedelta(days=1), time.min, zone))
    if making:
        stamps.append(making.stamp)
        entries += [step_entry(one, practice=practice, absolute=absolute) for one in making.items]
    return Calendar(
        uid=_calendar_uid(Kind.UPLOADS, practice),
        name=f"Uploads · {practice.name}",
        entries=tuple(entries),
        stamp=max(stamps),
        refresh=REFRESH,
    )


def upload_entry(
    upload: Upload, *, url: str, wishes: Wishes | None = None, zone: ZoneInfo | None = None
) -> Entry:
    """One upload: the whole of its day, with what is still to be done for it.

    The time of day, where she has one, stands in the words: it is when to press the button.
    """
    item = upload.item
    timed = wishes if wishes and wishes.publish_at and _comes_out(upload) else None
    at = [f"At {timed.publish_at:%H:%M}, {zone}."] if timed and zone else []
    return Entry(
        uid=upload.uid,
        summary=f"{_FIRST_WORD.get(State(item.state), 'Publish')}: {item.title}",
        description="\n".join([*_description(item), *at]),
        url=url,
        first=upload.day,
        last=upload.day,
        created=upload.created_at,
        stamp=max(_changed_at(upload), timed.changed_at) if timed else _changed_at(upload),
        sequence=upload.sequence,
        cancelled=upload.cancelled_at is not None,
        categories=("Uploads",),
    )


def _comes_out(upload: Upload) -> bool:
    done = {State.PUBLISHED, State.WITHDRAWN}
    return upload.cancelled_at is None and upload.item.state not in done


def step_entry(one: ToMake, *, practice: Practice, absolute: Callable[[str], str]) -> Entry:
    """One step of a class, or one filming day with its classes: the whole of its day.

    A filming day is known by its date: it never moves, its classes come and go.
    """
    filming, first = one.step == FILM, one.uploads[0]
    name = f"filming {one.day} {practice.created_at.isoformat()}"
    titles = ", ".join(upload.item.title for upload in one.uploads)
    since = practice.created_at if filming else first.created_at
    return Entry(
        uid=uuid5(_CALENDARS, name) if filming else uuid5(first.uid, one.step),
        summary=f"{act_in_words(one.step, len(one.uploads))}: {titles}",
        description="\n".join(_when_out(one.uploads)),
        url=absolute(reverse("uploads:making") if filming else _page(first.item)),
        first=one.day,
        last=one.day,
        created=since,
        stamp=one.stamp,
        sequence=_seconds(since, one.stamp),
        categories=("Making",),
    )


def _when_out(uploads: Iterable[Upload]) -> Iterable[str]:
    for upload in uploads:
        yield f"{upload.item.title}: out on {day_in_words(upload.day)}"


def todo_calendar(found: ToDos, *, practice: Practice, absolute: Callable[[str], str]) -> Calendar:
    """The feed of what is to be done. What is done, or need not be, is simply no longer in it:

    a cancelled entry would tell that something happened.
    """
    zone = ZoneInfo(practice.time_zone)
    stamps = [practice.created_at, practice.changed_at, *([found.stamp] if found.stamp else [])]
    if found.turned:
        stamps.append(datetime.combine(found.turned, time.min, zone))
    return Calendar(
        uid=_calendar_uid(Kind.TODO, practice),
        name=f"To do · {practice.name}",
        entries=tuple(todo_entry(one, absolute=absolute) for one in found.items),
        stamp=max(stamps),
        refresh=REFRESH,
    )


def todo_entry(one: ToDo, *, absolute: Callable[[str], str]) -> Entry:
    """One thing to do: the whole of its day, with a link that asks who is reading."""
    return Entry(
        uid=uuid5(_CALENDARS, f"{one.client_uid} {one.identity}"),
        summary=one.what,
        url=absolute(reverse("clients:client", args=[one.client_id])),
        first=one.day,
        last=one.day,
        created=one.created,
        stamp=one.stamp,
        sequence=_sequence(one),
        categories=("To do",),
    )


def _sequence(one: ToDo) -> int:
    """Seconds from the client's first day here to the last change.

    No number is kept for something worked out. RFC 5546 section 2.1.4 wants one that only rises,
    and rises when the day changes: the day follows from rows, so a change of it has a later stamp.
    """
    return _seconds(one.created, one.stamp)


def _seconds(since: datetime, until: datetime) -> int:
    return max(0, int((until - since).total_seconds()))


def _description(item: FitnessClass) -> Iterable[str]:
    stages = stages_in_words(item.stages)
    yield f"{item.get_focus_display()} · {item.minutes} min · {stages}"
    if item.series is not None:
        yield f"Part {item.part} of {item.series.title}"
    if to_do := _LEFT_TO_DO.get(State(item.state)):
        minutes = work_left(item.state, item.minutes_of_work)
        work = f" (about {hours_in_words(minutes)} of work)" if minutes else ""
        yield f"Still to do: {to_do}{work}."


def _page(item: FitnessClass) -> str:
    return reverse("classes:detail", args=[item.pk])


def _changed_at(upload: Upload) -> datetime:
    """The latest change of anything that its entry tells."""
    item = upload.item
    stamps = [upload.changed_at, item.changed_at]
    return max([*stamps, item.series.changed_at] if item.series else stamps)


def _shown_until(upload: Upload, zone: ZoneInfo) -> date | None:
    if upload.cancelled_at is None:
        return None
    return upload.cancelled_at.astimezone(zone).date() + CANCELLED_KEPT


def _calendar_uid(kind: Kind, practice: Practice) -> UUID:
    """The same for all addresses of a feed for ever, another in another practice."""
    return uuid5(_CALENDARS, f"{kind} {practice.created_at.isoformat()}")
