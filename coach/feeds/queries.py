"""Reads of the feeds."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import models
from django.db.models import Max

from clients.models import (
    Assessment,
    Clearance,
    Client,
    Condition,
    GoAheadPolicy,
    GoAheadSpan,
    MeasuringPolicy,
    Pregnancy,
    Rhythm,
    Screening,
    Standing,
    WarningSign,
)
from clients.queries import initials, letters_running_out
from coach.diary.queries import reassessments
from coach.feeds import rules
from coach.feeds.models import FeedAddress, Kind
from coach.practice.models import Practice, User
from coach.practice.permissions import Access, Fact, access, may
from coach.scheduling.production import FILM, standing_since
from content.models import Upload, Wishes
from content.queries.making import InMaking, changes, in_making

EVERY_LETTER_DAYS = 3660  # ten years

_RESTS_ON: tuple[type[models.Model], ...] = (
    Assessment, Clearance, Condition, Pregnancy, Rhythm, Screening, WarningSign,
)  # fmt: skip

# What a feed tells decides who may have it. Who is to be reassessed tells of measurements.
FACT = {Kind.UPLOADS: Fact.CONTENT, Kind.TODO: Fact.HEALTH}


def live_address(person: User, kind: Kind = Kind.UPLOADS) -> FeedAddress | None:
    """Her address for a kind of feed, if one is switched on."""
    return FeedAddress.objects.filter(person=person, kind=kind, withdrawn_at=None).first()


def addresses(person: User) -> list[tuple[Kind, FeedAddress | None]]:
    """Every kind of feed that she may have, with her address where one is switched on."""
    live = {row.kind: row for row in person.feed_addresses.filter(withdrawn_at=None)}
    return [(kind, live.get(kind)) for kind in Kind if may(person, FACT[kind])]


def address_behind(token: str) -> FeedAddress | None:
    """The address with this secret part: live, and its person still here and allowed to see it."""
    found = (
        FeedAddress.objects.select_related("person")
        .filter(token_hash=rules.token_hash(token), withdrawn_at=None, person__is_active=True)
        .first()
    )
    if found is None or access(found.person.role, FACT[Kind(found.kind)]) < Access.SEE:
        return None
    return found


def uploads() -> list[Upload]:
    """Every upload with its class and series, in one query; entries.py says which are shown."""
    return list(Upload.objects.select_related("item__series").order_by("day", "pk"))


@dataclass(frozen=True, slots=True)
class ToMake:
    """One step of one class on its day, or a filming day with all its classes, by publish day.

    `stamp`: when anything last changed that it tells, be it by time alone.
    """

    step: str
    day: date
    uploads: tuple[Upload, ...]
    stamp: datetime


@dataclass(frozen=True, slots=True)
class Making:
    """All steps to come; `stamp`: when something last changed in them, or left them."""

    items: tuple[ToMake, ...]
    stamp: datetime


def making(uploads: Iterable[Upload], *, practice: Practice, today: date) -> Making:
    """Every step to come of the classes that have a day; a constant number of queries."""
    zone = ZoneInfo(practice.time_zone)
    found = in_making(today)
    rows = changes(found, uploads, since=practice.created_at)
    moved = {
        pk: datetime.combine(day, time.min, zone)
        for pk, day in standing_since(found.makings, found.calendar, found.leads).items()
    }
    # Filming is shared out among all that wait for it: what of it changed, changed for each.
    waiting = {one.id for one in found.makings if FILM not in one.done}
    filming = max([rows.every, *(at for pk, at in moved.items() if pk in waiting)])
    stamps = {
        pk: max(
            rows.every if pk in waiting else max(rows.shared, rows.own[pk]),
            moved.get(pk, practice.created_at),
        )
        for pk in found.uploads
    }
    return Making(tuple(_to_make(found, stamps, filming)), max([rows.every, *moved.values()]))


def _to_make(found: InMaking, stamps: dict[int, datetime], filming: datetime) -> Iterator[ToMake]:
    films: dict[date, list[Upload]] = defaultdict(list)
    for at in found.steps:
        upload = found.uploads[at.making]
        if at.step == FILM:
            films[at.day].append(upload)
        else:
            yield ToMake(at.step, at.day, (upload,), stamps[at.making])
    for day, uploads in films.items():
        uploads.sort(key=lambda upload: (upload.day, upload.pk))
        yield ToMake(FILM, day, tuple(uploads), filming)


def wishes() -> Wishes | None:
    """How she wants to publish, if she has said."""
    return Wishes.objects.first()


@dataclass(frozen=True, slots=True)
class ToDo:
    """One thing to do for a client by a day, and nothing of why. `what`: its first words.

    `identity` tells it from everything else to be done for her; `stamp` is when what it rests on
    last changed.
    """

    client_uid: UUID
    client_id: int
    identity: str
    what: str
    day: date
    created: datetime
    stamp: datetime


@dataclass(frozen=True, slots=True)
class ToDos:
    """All that is to be done.

    `stamp`: when a row last changed; `turned`: the last day on which time alone changed something.
    """

    items: tuple[ToDo, ...]
    stamp: datetime | None
    turned: date | None


def todos(today: date) -> ToDos:
    """Reassessments and letters that run out, however far ahead; a constant number of queries."""
    wanted = list(_to_do(today))  # first: whoever is added meanwhile is in what is read next
    clients = Client.objects.in_bulk()
    changed = _changed(clients)
    items = (
        ToDo(
            client_uid=clients[pk].uid,
            client_id=pk,
            identity=identity,
            what=words.format(initials(clients[pk].name)),
            day=day,
            created=clients[pk].created_at,
            stamp=changed[pk],
        )
        for identity, words, pk, day in wanted
    )
    stamps = [*changed.values(), *(_decided() if changed else [])]
    return ToDos(tuple(items), max(stamps, default=None), _turned(today))


def _decided() -> Iterator[datetime]:
    """When the practice last decided who may train, and when somebody is seen again."""
    for model in (GoAheadPolicy, MeasuringPolicy):
        latest = model.objects.aggregate(latest=Max("at"))["latest"]
        if latest:
            yield latest


def _to_do(today: date) -> Iterator[tuple[str, str, int, date]]:
    for one in reassessments(today, within_days=None):
        yield "reassessment", f"{one.verb} {{}}", one.client_id, one.by
    for pk, _, last in letters_running_out(today, within_days=EVERY_LETTER_DAYS):
        yield "letter", "Letter of {} runs out", pk, last


def _changed(clients: dict[int, Client]) -> dict[int, datetime]:
    """When anything last changed that her entries rest on."""
    found = {pk: client.changed_at for pk, client in clients.items()}
    for model in _RESTS_ON:
        latest: Any = model._default_manager.order_by().values("client_id")
        for row in latest.annotate(latest=Max("changed_at")):
            if (pk := row["client_id"]) in found:
                found[pk] = max(found[pk], row["latest"])
    return found


def _turned(today: date) -> date | None:
    """The last day on which an entry may have come or gone though no row changed.

    A letter's last day passed, or a due date with no end recorded; a snooze ended, or a policy of
    measuring began.
    """
    span = GoAheadSpan.objects.filter(first__lte=today).aggregate(latest=Max("first"))["latest"]
    running = Pregnancy.objects.filter(client__standing=Standing.ACTIVE).values_list(
        "due", "ended", "ending"
    )
    passed = [
        due + timedelta(days=1)
        for due, ended, ending in running
        if due and due < today and not ended and not ending
    ]
    begun = MeasuringPolicy.objects.filter(begins__lte=today).aggregate(latest=Max("begins"))
    snoozed = Rhythm.objects.values_list("snoozed_until", flat=True)
    ended = [until for until in snoozed if until and until <= today]
    others = [day for day in (span, begun["latest"]) if day]
    return max([*passed, *ended, *others], default=None)
