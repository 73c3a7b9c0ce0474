"""Letters to a clinician: how far each has come, and what cannot be recorded of it. Pure.

The sentences name no baby, birth or due date: a quiet client's page shows them too.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from clients.rules.pregnancies import Problem

CLEARANCE, REFERRAL = "clearance", "referral"
TITLES = {CLEARANCE: "Request for clearance", REFERRAL: "Referral"}
CONSENT = "clinician"
"""The purpose of clients/data/consents.toml that a letter of the coach's own needs."""
CHASE_AFTER_DAYS = 7  # common practice, no source
HERSELF = "herself"
WAYS = {
    HERSELF: "given to her to hand over",
    "post": "by post",
    "email": "by e-mail",
    "portal": "through the clinic’s own system",
    "hand": "handed over by me",
}
NO_CONSENT = (
    "She has not agreed that you write to her clinician, or has taken it back: the letter can be "
    "made for her to hand over herself, and goes no other way."
)


class State(StrEnum):
    """How far a letter has come; the value is what a page prints."""

    MADE = "not sent"
    SENT = "sent"
    LATE = "to chase"
    ANSWERED = "answered"

    @property
    def shape(self) -> str:
        """The status whose mark stands beside it."""
        return _SHAPES[self]


_SHAPES = {State.MADE: "draft", State.SENT: "sent", State.LATE: "late", State.ANSWERED: "done"}


@dataclass(frozen=True, slots=True)
class LetterFact:
    """What is recorded of one letter. `chased`: the days on which it was asked for again."""

    kind: str
    made_on: date
    sent_on: date | None = None
    sent_how: str = ""
    chased: tuple[date, ...] = ()
    answered_on: date | None = None

    @property
    def last_asked(self) -> date | None:
        """The day on which an answer was last asked for."""
        return max((self.sent_on, *self.chased)) if self.sent_on else None

    @property
    def chase_from(self) -> date | None:
        """The day from which it should be asked for again; None while nothing is to be chased."""
        if self.last_asked is None or self.answered_on:
            return None
        return self.last_asked + timedelta(days=CHASE_AFTER_DAYS)

    def state(self, today: date) -> State:
        """How far it has come on a day."""
        if self.answered_on:
            return State.ANSWERED
        if self.chase_from is None:
            return State.MADE
        return State.LATE if self.chase_from <= today else State.SENT


def sent_problems(
    letter: LetterFact, *, on: date, how: str, consented: bool, today: date
) -> list[Problem]:
    """Everything that speaks against recording that it was sent.

    `today` is the latest date it is where she or the coach is.
    """
    found = [*_against_day("sent_on", on, letter.made_on, "made", today)]
    if letter.sent_on:
        found.append(Problem("sent_on", "That it was sent is recorded already."))
    if how not in WAYS:
        found.append(Problem("sent_how", "Say how it went."))
    elif how != HERSELF and not consented:
        found.append(Problem("sent_how", NO_CONSENT))
    return found


def chase_problems(letter: LetterFact, *, on: date, today: date) -> list[Problem]:
    """Everything that speaks against recording that an answer was asked for again."""
    if letter.sent_on is None:
        return [Problem("on", "It has not been sent yet.")]
    if letter.answered_on:
        return [Problem("on", "It is answered already.")]
    found = [*_against_day("on", on, letter.sent_on, "sent", today)]
    if on in letter.chased:
        found.append(Problem("on", "That day is recorded already."))
    return found


def answer_problems(letter: LetterFact, *, on: date, today: date) -> list[Problem]:
    """Everything that speaks against recording that it was answered.

    One that was never marked as sent may have been answered: she took it along.
    """
    if letter.answered_on:
        return [Problem("on", "That it was answered is recorded already.")]
    return [*_against_day("on", on, letter.sent_on or letter.made_on, "sent", today)]


def _against_day(field: str, on: date, first: date, what: str, today: date) -> Iterator[Problem]:
    if on > today:
        yield Problem(field, "That day has not come yet.")
    elif on < first:
        yield Problem(field, f"That is before the day it was {what}.")
