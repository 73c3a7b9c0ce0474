"""Reads of the first page: what is next and what needs her, from every room below."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.urls import reverse

from clients.rules.roster import Line
from coach.billing.queries.invoices import open_bills
from coach.practice.permissions import Access, Fact, may
from coach.scheduling.planner.words import number
from coach.today.queries import making, told
from coach.today.queries.items import Item
from coach.today.queries.safety import roster_lines, safety
from content.models import Rhythm, State, Upload
from content.queries import planning
from content.queries.making import in_making
from content.queries.month import details_of
from content.queries.pace import pace_page
from content.rules.months import Month, free_places, open_days
from content.rules.uploads import day_in_words

NEXT_UPLOADS = 3
PLAN_AHEAD_DAYS = 21


@dataclass(frozen=True, slots=True)
class TodayPage:
    """All that the first page prints; a part that the reader may not see is empty."""

    uploads: tuple[Item, ...]
    filming: tuple[Item, ...]
    needs: tuple[Item, ...]
    first_steps: tuple[Item, ...]
    in_hand: str
    shows_uploads: bool


def today_page(user: Any, *, today: date) -> TodayPage:
    """What a person may see of today. The number of queries does not depend on the rows."""
    sees_content = may(user, Fact.CONTENT)
    uploads = planning.standing_uploads() if sees_content else []
    to_make = in_making(today) if sees_content else None
    lines = roster_lines(user, today)
    return TodayPage(
        uploads=tuple(_next(uploads, today)),
        filming=tuple(making.filming(to_make)) if to_make else (),
        needs=(
            *safety(user, lines, today),
            *told.enquiries(user, today),
            *_overdue(uploads, today),
            *(making.late(to_make) if to_make else ()),
            *_bills(user, today),
            *_unplanned(user, uploads, today),
        ),
        first_steps=tuple(_first_steps(user, lines, uploads)),
        in_hand=_in_hand(today) if sees_content else "",
        shows_uploads=sees_content,
    )


def _next(uploads: list[Upload], today: date) -> Iterator[Item]:
    coming = [up for up in uploads if up.day >= today and up.item.state != State.PUBLISHED]
    for upload in coming[:NEXT_UPLOADS]:
        url = reverse("classes:detail", args=[upload.item.pk])
        yield Item(upload.day, upload.item.title, url, "open", details_of(upload.item))


def _overdue(uploads: list[Upload], today: date) -> Iterator[Item]:
    for upload in uploads:
        if upload.day < today and upload.item.state != State.PUBLISHED:
            url = reverse("classes:detail", args=[upload.item.pk])
            note = "Its day has passed: say that it is out, or give it another day."
            yield Item(upload.day, upload.item.title, url, "open", note, late=True)


def _bills(user: Any, today: date) -> Iterator[Item]:
    if not may(user, Fact.MONEY):
        return
    for row in open_bills(today):
        if row.days_late and row.pay_by:
            note = f"{row.buyer}; pay by {short(row.pay_by)}, {row.days_late} days ago."
            url = reverse("accounts:invoice", args=[row.uid])
            what = f"Invoice {row.number}, {row.open.shown()} open"
            yield Item(row.pay_by, what, url, "open", note, late=True)


def _unplanned(user: Any, uploads: list[Upload], today: date) -> Iterator[Item]:
    """The first month with free publish days within the next weeks."""
    if not may(user, Fact.CONTENT, Access.CHANGE):
        return
    wanted = planning.wishes()
    weekdays, closed = planning.publish_weekdays(wanted), planning.all_days_off()
    a_week = wanted.a_week if wanted.rhythm == Rhythm.A_WEEK else None
    taken = {upload.day for upload in uploads}
    for month in (Month.of(today), Month.of(today + timedelta(days=PLAN_AHEAD_DAYS))):
        free = open_days(month, today=today, weekdays=weekdays, days_off=closed, taken=taken)
        if places := free_places(free, taken, a_week):
            days = f"{number(places)} publish day{'' if places == 1 else 's'} free"
            note = f"{days.capitalize()}, the first in {(free[0] - today).days} days."
            yield Item(
                free[0],
                f"Plan {month.first:%B}",
                reverse("uploads:month", args=[month]),
                "plan",
                note,
            )
            return


def short(day: date) -> str:
    """ "1 December"."""
    return f"{day.day} {day:%B}"


def _first_steps(user: Any, lines: list[Line], uploads: list[Upload]) -> Iterator[Item]:
    """For a practice that has just begun: what to put in first. Nothing once it is there."""
    if may(user, Fact.CONTACT, Access.CHANGE) and not lines:
        yield Item(
            "first",
            "Add your clients",
            reverse("clients:add"),
            "add",
            "Name and due date are enough to begin with.",
        )
    if not may(user, Fact.CONTENT, Access.CHANGE):
        return
    if not uploads and not planning.placeable():
        yield Item(
            "first",
            "Add your classes",
            reverse("classes:add"),
            "add",
            "Finished ones and ideas: a month is planned from them.",
        )
    if not planning.wishes().target:
        yield Item(
            "first",
            "Say your wishes",
            reverse("uploads:wishes"),
            "say",
            "On which days you publish, and how many hours a week you have.",
        )


def _in_hand(today: date) -> str:
    """How long the finished classes last, in a sentence; empty where no pace can be told."""
    pace = pace_page(today=today)
    if pace is None:
        return ""
    last = pace.figures.in_hand.last_out
    until = f" At this pace the last one goes out on {day_in_words(last)}." if last else ""
    return f"{pace.in_hand.capitalize()} of finished classes.{until} {pace.words}"
