"""Notes and pasted messages: until when one can be changed, and what cannot be kept. Pure.

Policy of the practice, no published source: who wrote a note may put it right for a day; from
then on it stands as it is, and what there is to add is added beneath it with its own hour.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta

from clients.rules.pregnancies import LONGEST_AGO_DAYS, Problem

NOTE, MESSAGE = "note", "message"
OPEN_FOR = timedelta(days=1)
LONGEST_TEXT = 20_000  # characters; a long conversation pasted in is about half of that
LONGEST_CHANNEL = 60
CHANNELS = ("text message", "e-mail", "chat message", "voice message", "comment")


def locks_at(written_at: datetime) -> datetime:
    """The moment from which an entry stands as it is: 24 hours after it was written."""
    return written_at + OPEN_FOR


def is_open(written_at: datetime, *, now: datetime) -> bool:
    """Whether an entry can still be put right. At the very moment that it locks it cannot."""
    return now < locks_at(written_at)


def may_change(
    written_at: datetime, *, now: datetime, written_by: int | None, by: int | None
) -> bool:
    """Whether this person may still change it: within the day, and it is hers.

    What nobody signed in has written belongs to nobody.
    """
    return by is not None and written_by == by and is_open(written_at, now=now)


def entry_problems(*, kind: str, day: date, text: str, channel: str, today: date) -> list[Problem]:
    """Everything that speaks against keeping an entry. `today`: the latest date it is anywhere."""
    return [*_against_day(day, today), *_against_text(text), *_against_kind(kind, channel)]


def _against_day(day: date, today: date) -> Iterator[Problem]:
    if day > today:
        yield Problem("day", "That day has not come yet.")
    elif (today - day).days > LONGEST_AGO_DAYS:
        yield Problem("day", "That is over 40 years ago: check the year.")


def _against_text(text: str) -> Iterator[Problem]:
    if not text.strip():
        yield Problem("text", "Write something here.")
    elif len(text) > LONGEST_TEXT:
        yield Problem("text", f"That is over {LONGEST_TEXT} characters: keep it in parts.")


def _against_kind(kind: str, channel: str) -> Iterator[Problem]:
    if kind not in (NOTE, MESSAGE):
        yield Problem("kind", "A note, or a message.")
    elif kind == MESSAGE and not channel.strip():
        yield Problem("channel", "Say how it came, such as a text message or an e-mail.")
