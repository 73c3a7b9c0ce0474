"""The part of the time line that is writing: notes, letters out, forms received, consents."""

from __future__ import annotations

from datetime import date, datetime
from zoneinfo import ZoneInfo

from clients.models import Client, Entry
from clients.rules.consents import purposes
from clients.rules.happened import Event
from clients.rules.happened_writing import (
    NOBODY,
    Agreed,
    Reader,
    Received,
    Sent,
    Written,
    consent_events,
    entry_events,
    form_event,
    letter_event,
)


def entries(client: Client, reader: Reader) -> list[Event]:
    """Her notes and messages with what was added to them; one query."""
    rows = client.entries.select_related("by").order_by("written_at", "pk")
    return entry_events([written(row) for row in rows], reader, quiet=bool(client.quiet))


def written(row: Entry) -> Written:
    """A stored entry as the rules want it."""
    return Written(
        pk=row.pk,
        kind=row.kind,
        day=row.day,
        text=row.text,
        channel=row.channel,
        by_pk=row.by_id,
        by=row.by.name if row.by else NOBODY,
        written_at=row.written_at,
        adds_to=row.adds_to_id,
    )


def letters_out(client: Client) -> list[Event]:
    """Letters to her clinicians; one query."""
    return [
        letter_event(
            Sent(
                pk=row.pk,
                kind=row.kind,
                to=", ".join(filter(None, (row.to_kind, row.to_name))),
                made_on=row.made_on,
                sent_on=row.sent_on,
                sent_how=row.sent_how,
                chased=[date.fromisoformat(day) for day in row.chased],
                answered_on=row.answered_on,
                at=row.created_at,
            ),
            quiet=bool(client.quiet),
        )
        for row in client.letters_out.all()
    ]


def forms(client: Client, zone: str) -> list[Event]:
    """Forms that she sent; one query."""
    rows = client.intakes.filter(sent_at__isnull=False).select_related("reviewed_by")
    return [
        form_event(
            Received(
                pk=row.pk,
                on=_day(row.sent_at, zone),
                at=row.sent_at,
                reviewed_on=_day(row.reviewed_at, zone) if row.reviewed_at else None,
                reviewed_by=row.reviewed_by.name if row.reviewed_by else NOBODY,
                alarm=row.alarm,
            )
        )
        for row in rows
        if row.sent_at
    ]


def consents(client: Client, zone: str) -> list[Event]:
    """What she agreed to, and what she took back; one query."""
    return consent_events(
        Agreed(
            pk=row.pk,
            on=_day(row.given_at, zone),
            title=purposes()[row.purpose].title if row.purpose in purposes() else row.purpose,
            version=row.version,
            how=row.how,
            given_at=row.given_at,
            withdrawn_on=_day(row.withdrawn_at, zone) if row.withdrawn_at else None,
        )
        for row in client.consents.all()
    )


def _day(moment: datetime, zone: str) -> date:
    return moment.astimezone(ZoneInfo(zone)).date()
