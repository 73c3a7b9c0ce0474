"""What the page of one class shows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from coach.practice.queries import the_practice
from content.models import ClassCorrection, FitnessClass, State, Upload
from content.queries.classes import LIVE, Line, classes, line
from content.queries.film import may_be_filmed
from content.rules import classes as rules
from content.rules.months import Month


@dataclass(frozen=True, slots=True)
class ClassPage:
    """One class, every day it has had, and what can be done with it.

    `day_out` is the day that publishing it now offers. `month` holds the day that stands.
    """

    item: FitnessClass
    line: Line
    effort: str
    finished: bool
    upload: Upload | None
    uploads: tuple[Upload, ...]
    others: tuple[Line, ...]
    month: Month | None
    day_out: date
    next_state: str
    deletable: bool
    to_film: bool


def class_page(item: FitnessClass, *, today: date) -> ClassPage:
    """Everything about one class, as `found` gives it."""
    uploads = tuple(item.uploads.order_by("-pk"))
    upload = next((one for one in uploads if one.cancelled_at is None), None)
    return ClassPage(
        item=item,
        line=line(item, today=today),
        effort=rules.effort_in_words(item.effort),
        finished=item.state not in rules.TO_BE_MADE,
        upload=upload,
        uploads=uploads,
        others=_others_in_series(item, today=today),
        month=Month.of(upload.day) if upload else None,
        day_out=min(upload.day, today) if upload else today,
        next_state=rules.next_state(item.state, uploaded=upload is not None),
        deletable=item.state == State.IDEA and not uploads,
        to_film=may_be_filmed(item),
    )


def found(pk: int) -> FitnessClass:
    """One class with its series and the upload that stands; DoesNotExist."""
    return classes().get(pk=pk)


def corrections_of(item: FitnessClass) -> list[tuple[date, ClassCorrection]]:
    """What was put right about a class, the latest first, with its day."""
    zone = ZoneInfo(the_practice().time_zone)
    return [(one.at.astimezone(zone).date(), one) for one in item.corrections.all()]


def live_upload(item: FitnessClass) -> Upload | None:
    """The upload that stands, if the class has a day."""
    return item.uploads.filter(LIVE).first()


def _others_in_series(item: FitnessClass, *, today: date) -> tuple[Line, ...]:
    if item.series_id is None:
        return ()
    others = classes().filter(series_id=item.series_id).exclude(pk=item.pk).order_by("part")
    return tuple(line(other, today=today) for other in others)
