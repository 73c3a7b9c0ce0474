"""Writes of notes and pasted messages: new, put right within the day, added to afterwards."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.db import transaction

from clients.actions.shared import Refused, days_of, lock, refuse_if
from clients.models import Client, Entry
from clients.rules.notes import entry_problems, may_change
from clients.rules.pregnancies import Problem
from coach import clock
from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.writing import change

_LOCKED = "This stands as it is now: add to it instead."
_OPEN = "You can still change it itself."


@transaction.atomic
def write_entry(
    *, by: Actor, client: Client, kind: str, day: date, text: str, channel: str = ""
) -> Entry:
    """Keep a note, or a message pasted in. The same words sent twice by one hand are kept once.

    `kind`: "note" or "message"; a message says by which `channel` it came. Refused otherwise, and
    for a day that cannot be.
    """
    lock(client)
    values: dict[str, Any] = {
        "kind": kind, "day": day, "text": _plain(text), "channel": channel.strip()
    }  # fmt: skip
    refuse_if(entry_problems(**values, today=days_of(client).later))
    again = _written_already(by, client, values)
    if again:
        return again
    row = Entry.objects.create(client=client, by=by.user, written_at=clock.now(), **values)
    fields = {name for name, value in values.items() if value}
    audit.record(by=by, verb="wrote", subject=row, fields=fields)
    return row


@transaction.atomic
def change_entry(*, by: Actor, entry: Entry, day: date, text: str, channel: str = "") -> Entry:
    """Put right what one wrote oneself less than a day ago; Refused once it is locked."""
    lock(entry.client)
    entry.refresh_from_db()
    if not _may_change(by, entry):
        raise Refused([Problem("text", _LOCKED)])
    values: dict[str, Any] = {"day": day, "text": _plain(text), "channel": channel.strip()}
    found = entry_problems(kind=entry.kind, **values, today=days_of(entry.client).later)
    refuse_if(found)
    audit.record(by=by, verb="changed", subject=entry, fields=change(entry, **values))
    return entry


@transaction.atomic
def add_to_entry(*, by: Actor, entry: Entry, text: str) -> Entry:
    """Add to what stands as it is: the first words stay, the addendum has its own hour and hand.

    An addendum to an addendum stands beneath the same entry. Refused while the writer can still
    change the entry itself.
    """
    lock(entry.client)
    root = entry.adds_to or entry
    if _may_change(by, root):
        raise Refused([Problem("text", _OPEN)])
    days = days_of(entry.client)
    values: dict[str, Any] = {"kind": root.kind, "day": days.earlier, "text": _plain(text)}
    refuse_if(entry_problems(**values, channel=root.channel, today=days.later))
    again = _written_already(by, entry.client, {**values, "adds_to_id": root.pk})
    if again:
        return again
    row = Entry.objects.create(
        client=entry.client, by=by.user, written_at=clock.now(), adds_to=root, **values
    )
    audit.record(by=by, verb="added to", subject=root, fields={"text"})
    return row


def _may_change(by: Actor, entry: Entry) -> bool:
    hand = by.user.pk if by.user else None
    return may_change(entry.written_at, now=clock.now(), written_by=entry.by_id, by=hand)


def _written_already(by: Actor, client: Client, values: dict[str, Any]) -> Entry | None:
    """The same words by the same hand within the day: a form sent twice is one."""
    wanted = {"adds_to_id": None, **values}
    return next(
        (
            row
            for row in client.entries.all()
            if all(getattr(row, name) == value for name, value in wanted.items())
            if _may_change(by, row)
        ),
        None,
    )


def _plain(text: str) -> str:
    return text.replace("\r\n", "\n").strip()
