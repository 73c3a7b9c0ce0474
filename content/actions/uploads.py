"""Writes of uploads: place, move, take off, publish; each one transaction and one audit entry.

An upload taken off stays as a cancelled row; placed again, the class gets a new one.
"""

from __future__ import annotations

from datetime import date

from django.db import transaction

from coach import clock
from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.queries import the_practice
from coach.practice.writing import change
from content.models import DayOff, FitnessClass, State, Upload
from content.rules import uploads as rules


class Refused(ValueError):
    """A rule is against it; the message is a sentence fit for the page."""


@transaction.atomic
def place(*, by: Actor, item: FitnessClass, day: date) -> Upload:
    """Give a class a publish day; Refused if a rule is against it."""
    standing = _lock(item)
    refuse_if(rules.against_placing(standing, day=day, today=today_here(), off=_is_off(day)))
    upload = Upload.objects.create(item=item, day=day)
    if item.state == State.EDITED:
        change(item, state=State.SCHEDULED)
    audit.record(by=by, verb="placed", subject=upload, fields=("item", "day"))
    return upload


@transaction.atomic
def move(*, by: Actor, upload: Upload, day: date) -> Upload:
    """Put an upload on another day; the same day changes nothing. Refused as above."""
    standing = _lock_upload(upload)
    refuse_if(rules.against_moving(standing, day=day, today=today_here(), off=_is_off(day)))
    if day != upload.day:
        changed = change(upload, day=day, sequence=upload.sequence + 1)
        audit.record(by=by, verb="moved", subject=upload, fields=changed)
    return upload


@transaction.atomic
def take_off(*, by: Actor, upload: Upload, reason: str = "") -> Upload:
    """Cancel an upload; a class that was only waiting for it is finished and waiting again."""
    refuse_if(rules.against_taking_off(_lock_upload(upload)))
    changed = cancel(upload)
    if upload.item.state == State.SCHEDULED:
        change(upload.item, state=State.EDITED)
    audit.record(by=by, verb="took off", subject=upload, fields=changed, reason=reason)
    return upload


@transaction.atomic
def publish(*, by: Actor, upload: Upload, day: date | None = None) -> Upload:
    """Say that a class is out, since `day`, else since its planned day or today if that's later."""
    standing, today = _lock_upload(upload), today_here()
    day = day or min(upload.day, today)
    refuse_if(rules.against_publishing(standing, day=day, today=today))
    fields = set(change(upload.item, state=State.PUBLISHED, minutes_of_work=0))
    if day != upload.day:
        fields |= set(change(upload, day=day, sequence=upload.sequence + 1))
    audit.record(by=by, verb="published", subject=upload, fields=fields)
    return upload


@transaction.atomic
def publish_unplanned(*, by: Actor, item: FitnessClass, day: date) -> Upload:
    """Say that a class without a planned day has been out since `day`."""
    refuse_if(rules.against_publishing_unplanned(_lock(item), day=day, today=today_here()))
    upload = Upload.objects.create(item=item, day=day)
    changed = change(item, state=State.PUBLISHED, minutes_of_work=0)
    audit.record(by=by, verb="published", subject=upload, fields=("item", "day", *changed))
    return upload


def cancel(upload: Upload) -> list[str]:
    """Mark an upload as cancelled, inside the transaction of what does so."""
    return change(upload, cancelled_at=clock.now(), sequence=upload.sequence + 1)


def today_here() -> date:
    """The date it is where the practice is."""
    return clock.today(the_practice().time_zone)


def _is_off(day: date) -> bool:
    return DayOff.objects.filter(day=day).exists()


def refuse_if(sentence: str) -> None:
    """Refused with the sentence, if there is one."""
    if sentence:
        raise Refused(sentence)


def _lock(item: FitnessClass) -> rules.Standing:
    """The class as it is now, held until the transaction ends, with the day that stands."""
    item.refresh_from_db(from_queryset=FitnessClass.objects.select_for_update())
    standing = item.uploads.filter(cancelled_at__isnull=True).first()
    return rules.Standing(item.title, item.state, standing.day if standing else None)


def _lock_upload(upload: Upload) -> rules.Standing:
    """The same for one upload of a class; a cancelled one has no day."""
    item = upload.item
    item.refresh_from_db(from_queryset=FitnessClass.objects.select_for_update())
    upload.refresh_from_db()
    upload.item = item
    return rules.Standing(item.title, item.state, None if upload.cancelled_at else upload.day)
