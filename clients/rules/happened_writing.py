"""Lines of the time line that are writing: notes, messages, letters out, forms, consents. Pure.

What somebody typed is left out for a quiet client where it says too much; its line stays.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import groupby
from zoneinfo import ZoneInfo

from clients.rules.go_ahead_words import sentence
from clients.rules.happened import HIDDEN, Beneath, Event
from clients.rules.notes import MESSAGE, may_change
from clients.rules.words import short_day_words, unless_quiet

NOBODY = "nobody signed in"
_LETTERS = {"clearance": "Letter to a clinician", "referral": "Referral letter"}


@dataclass(frozen=True, slots=True)
class Written:
    """A note, a message pasted in, or what was added to one, as kept."""

    pk: int
    kind: str
    day: date
    text: str
    channel: str
    by_pk: int | None
    by: str
    written_at: datetime
    adds_to: int | None = None


@dataclass(frozen=True, slots=True)
class Reader:
    """Who reads, when and where: what she wrote within the day she can still change.

    `pk` None: she may change nothing.
    """

    pk: int | None
    now: datetime
    zone: str

    def may_change(self, one: Written) -> bool:
        """Whether she can still put it right."""
        return may_change(one.written_at, now=self.now, written_by=one.by_pk, by=self.pk)

    def hour(self, moment: datetime, beside: date | None = None) -> str:
        """ "3 December 2026 at 18:04" where the practice is; beside its own date "18:04"."""
        there = moment.astimezone(ZoneInfo(self.zone))
        day = "" if there.date() == beside else f"{short_day_words(there.date())} at "
        return f"{day}{there:%H:%M}"


def entry_events(written: Sequence[Written], reader: Reader, *, quiet: bool) -> list[Event]:
    """Notes and messages, each with what was added to it in the order of writing."""
    added: dict[int, list[Written]] = {}
    for one in written:
        if one.adds_to is not None:
            added.setdefault(one.adds_to, []).append(one)
    roots = (one for one in written if one.adds_to is None)
    return [_entry(one, added.get(one.pk, []), reader, quiet) for one in roots]


def _entry(one: Written, added: Iterable[Written], reader: Reader, quiet: bool) -> Event:
    channel = unless_quiet(one.channel, quiet=quiet)
    title = f"Message, {channel}" if one.kind == MESSAGE and channel else sentence(one.kind)
    return Event(
        kind=one.kind,
        pk=one.pk,
        on=one.day,
        title=title,
        detail=f"{one.by}, {reader.hour(one.written_at, one.day)}",
        text=unless_quiet(one.text, quiet=quiet, instead=HIDDEN),
        beneath=tuple(
            Beneath(
                each.pk,
                f"{each.by}, {reader.hour(each.written_at)}",
                unless_quiet(each.text, quiet=quiet, instead=HIDDEN),
                reader.may_change(each),
            )
            for each in added
        ),
        open=reader.may_change(one),
        at=one.written_at,
    )


@dataclass(frozen=True, slots=True)
class Sent:
    """A letter to a clinician as kept."""

    pk: int
    kind: str
    to: str
    made_on: date
    sent_on: date | None = None
    sent_how: str = ""
    chased: Sequence[date] = ()
    answered_on: date | None = None
    at: datetime | None = None


def letter_event(one: Sent, *, quiet: bool) -> Event:
    """A letter out: made, sent, asked for again, answered."""
    how = unless_quiet(one.sent_how, quiet=quiet)
    sent = (
        f"sent on {short_day_words(one.sent_on)}{f', {how}' if how else ''}"
        if (one.sent_on)
        else "not sent yet"
    )
    chased = ", ".join(short_day_words(day) for day in one.chased)
    answered = f"answered on {short_day_words(one.answered_on)}" if one.answered_on else ""
    notes = [sent, f"asked again on {chased}" if chased else "", answered]
    return Event(
        "letter", one.pk, one.made_on, _LETTERS.get(one.kind, "Letter"),
        detail=unless_quiet(one.to, quiet=quiet),
        notes=tuple(sentence(note) for note in notes if note),
        waits=one.answered_on is None and one.sent_on is not None, at=one.at,
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Received:
    """A form that came back. `reviewed_by` empty: nobody has looked at it yet."""

    pk: int
    on: date
    at: datetime
    reviewed_on: date | None = None
    reviewed_by: str = ""
    alarm: str = ""


_ALARMS = {
    "stop": "One of her answers stops her until a clinician answers it.",
    "hold": "One of her answers holds her until a clinician answers it.",
    "minor": "She is under 18.",
}


def form_event(one: Received) -> Event:
    """A form received: whether somebody has looked at it."""
    looked = (
        f"looked through by {one.reviewed_by} on {short_day_words(one.reviewed_on)}"
        if one.reviewed_on
        else "not looked through yet"
    )
    notes = (_ALARMS.get(one.alarm, ""), looked)
    return Event(
        "form", one.pk, one.on, "Form received",
        notes=tuple(sentence(note) for note in notes if note),
        waits=one.reviewed_on is None, at=one.at,
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Agreed:
    """A consent as kept, by the title of its purpose, with the version of its text."""

    pk: int
    on: date
    title: str
    version: str
    how: str
    given_at: datetime
    withdrawn_on: date | None = None


_HOW = {"form": "in her form", "call": "on a call"}


def consent_events(agreed: Iterable[Agreed]) -> list[Event]:
    """One line for what was agreed to on one day; each purpose with the version of its text."""
    rows = sorted(agreed, key=lambda one: (one.on, one.how, one.pk))
    return [_consent(list(some)) for _, some in groupby(rows, lambda one: (one.on, one.how))]


def _consent(some: Sequence[Agreed]) -> Event:
    first = some[0]
    return Event(
        "consent", first.pk, first.on, "Consent",
        detail=_HOW.get(first.how, first.how),
        notes=tuple(_agreed_words(one) for one in some),
        void=all(one.withdrawn_on for one in some), at=first.given_at,
    )  # fmt: skip


def _agreed_words(one: Agreed) -> str:
    back = f"; taken back on {short_day_words(one.withdrawn_on)}" if one.withdrawn_on else ""
    return f"{one.title} (text {one.version}){back}"
