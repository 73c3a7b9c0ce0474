"""Reads of enquiries: the list, whom to write back to, what to choose from, where she came from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from django.db.models import F

from clients.models import Client, Enquiry, Intake
from clients.rules import enquiries as rules
from clients.rules.enquiries import Enquired
from clients.rules.told_stage import Told, read_told
from clients.rules.words import says_too_much, short_day_words
from coach.practice import registry

# No encrypted field is among these: what she told and the note cost a reading each.
_PLAIN = (
    "pk", "name", "state", "came_on", "email", "phone", "handle", "where_from", "class_uid",
    "class_title", "next_step", "next_on", "closed_why", "client_id",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Due:
    """An enquiry whose next step is due or late, for the first page."""

    pk: int
    name: str
    step: str
    day: date


def enquired() -> list[Enquired]:
    """Every enquiry, in one query."""
    rows = Enquiry.objects.values(*_PLAIN, standing=F("client__standing"), quiet=F("client__quiet"))
    return [
        Enquired(**{**row, "standing": row["standing"] or "", "quiet": bool(row["quiet"])})
        for row in rows
    ]


def as_enquired(row: Enquiry) -> Enquired:
    """A stored enquiry as the rules take it."""
    client = row.client
    return Enquired(
        **{name: getattr(row, name) for name in _PLAIN},
        standing=client.standing if client else "",
        quiet=bool(client and client.quiet),
    )


def follow_ups(today: date) -> list[Due]:
    """Enquiries whose next step is due on a day or overdue, the oldest first; one query."""
    rows = Enquiry.objects.filter(state__in=rules.RUNNING, next_on__lte=today)
    found = rows.order_by("next_on", "name", "pk").values_list("pk", "name", "next_step", "next_on")
    return [Due(pk, name, step, day) for pk, name, step, day in found if day]


def told_by(pks: Iterable[int]) -> dict[int, str]:
    """What each told of her stage, in words; one query, and none for nobody."""
    rows = Enquiry.objects.filter(pk__in=list(pks)).values_list("pk", "told", "told_due")
    return {pk: words for pk, told, due in rows if (words := told_words(told, due))}


def told_stages() -> list[Told]:
    """What each enquiry still open told of her stage, as planning reads it; one query."""
    rows = Enquiry.objects.filter(state__in=rules.RUNNING).order_by("pk")
    found = rows.values_list("told", "told_due", "came_on")
    return [read_told(told, due, came_on) for told, due, came_on in found]


def told_words(told: str, due: date | None) -> str:
    """What she said of her stage, and the due date if she said one."""
    return " · ".join(part for part in (told, f"due {short_day_words(due)}" if due else "") if part)


def places(*, quiet: bool = False) -> list[str]:
    """A few places to choose from: where most came from, then what is usual; one query."""
    former = Enquiry.objects.values_list("where_from", flat=True)
    kept = [place for place in former if not (quiet and says_too_much(place))]
    return rules.learned(kept, rules.FIRST_PLACES, most=rules.PLACES_OFFERED)


def reasons() -> list[str]:
    """Why enquiries were closed before, the commonest first, then what is usual; one query."""
    former = Enquiry.objects.values_list("closed_why", flat=True)
    return rules.learned(former, rules.REASONS, most=2 * rules.PLACES_OFFERED)


def class_titles() -> list[tuple[UUID, str]]:
    """The published classes, the latest first."""
    return registry.titles()


def latest_form(enquiry: Enquiry) -> Intake | None:
    """The form that was last made for her."""
    return enquiry.intakes.first()


def came_from(client: Client) -> str:
    """Where a client came from, for a line of facts on her page; empty when it is not known.

    One query. Without what a quiet client's page may not hold.
    """
    rows = client.enquiries.select_related("client")
    return rules.came_from_words(as_enquired(row) for row in rows)
