"""More lines of the time line: warning signs, screenings, conditions, exceptions. Pure.

Nothing here names a baby, a birth or a due date for a quiet client.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from clients.rules.facts import SignFact
from clients.rules.go_ahead_words import sentence
from clients.rules.happened import HIDDEN, Event, mistake_words
from clients.rules.words import short_day_words, unless_quiet

_HOW = {"form": "in her form", "call": "on a call"}
_PHASES = {"pregnant": "in pregnancy", "after": "after it ended"}
_ANSWERS = {"yes": "yes", "unsure": "not sure"}


@dataclass(frozen=True, slots=True)
class Noticed:
    """A warning sign with its words (`label`), where it came from, and what followed.

    `waits`: no clinician has answered it. `advice` is what was advised, by whom, and how she goes
    back, where the follow-up is closed.
    """

    fact: SignFact
    label: str
    waits: bool = False
    from_form: bool = False
    followed_up_on: date | None = None
    advised_by: str = ""
    advice: str = ""
    graded_return: str = ""
    withdrawn_reason: str = ""
    at: datetime | None = None


def sign_event(one: Noticed, *, quiet: bool) -> Event:
    """A warning sign: whether a clinician has answered it, and what was advised the next day."""
    notes = _withdrawn(one, quiet) if one.fact.withdrawn_on else _of_sign(one, quiet)
    return Event(
        "sign", one.fact.pk, one.fact.happened_on, f"Warning sign: {one.label}",
        detail="said in her form" if one.from_form else "",
        notes=tuple(sentence(note) for note in notes if note),
        waits=one.waits, void=one.fact.withdrawn_on is not None, at=one.at,
    )  # fmt: skip


def _withdrawn(one: Noticed, quiet: bool) -> list[str]:
    day = one.fact.withdrawn_on
    return [mistake_words(day, one.withdrawn_reason, quiet=quiet)] if day else []


def _of_sign(one: Noticed, quiet: bool) -> list[str]:
    known = one.fact.known_on
    known_words = f"known since {short_day_words(known)}." if known else ""
    return [
        "Not answered by a clinician yet: on hold." if one.waits else "Answered by a clinician.",
        known_words if known != one.fact.happened_on else "",
        _follow_up(one, quiet),
    ]


def _follow_up(one: Noticed, quiet: bool) -> str:
    if one.followed_up_on is None:
        return "Not followed up yet: who advised what?"
    by, advice, back = (
        unless_quiet(text, quiet=quiet, instead="not shown while quiet is on").rstrip(" .")
        for text in (one.advised_by, one.advice, one.graded_return)
    )
    return f"followed up on {short_day_words(one.followed_up_on)}. {by}: {advice}. Back: {back}"


@dataclass(frozen=True, slots=True)
class Asked:
    """A screening as kept. `said`: the words of what was answered "yes" or "unsure", by answer."""

    pk: int
    on: date
    phase: str
    how: str
    complete: bool
    said: Sequence[tuple[str, str]] = ()
    at: datetime | None = None


def screening_event(one: Asked, *, quiet: bool) -> Event:
    """A set of health questions, answered: what was not answered with "no"."""
    told = [f"{_ANSWERS[answer]}: {words}" for answer, words in one.said]
    if one.complete and not told:
        told = ["every question answered with no"]
    if not one.complete:
        told.append("not every question is answered: it counts for what was said yes to alone")
    phase = "" if quiet else _PHASES.get(one.phase, "")
    return Event(
        "screening", one.pk, one.on, "Screening",
        detail=", ".join(filter(None, (phase, _HOW.get(one.how, "")))),
        notes=tuple(sentence(note) for note in told), waits=not one.complete, at=one.at,
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Condition:
    """A condition with its words (`label`). `does`: what it does today, "stop", "hold" or ""."""

    pk: int
    label: str
    named_on: date
    known_on: date
    answer: str = "yes"
    origin: str = "clinician"
    clinician: str = ""
    does: str = ""
    over_on: date | None = None
    over_said_by: str = ""
    at: datetime | None = None


_DOES = {
    "stop": "On hold until a clinician answers this by name.",
    "hold": "Waiting until a clinician answers this by name.",
}


def condition_event(one: Condition, *, quiet: bool) -> Event:
    """What a clinician named, or an answer said: whether it is answered, and whether it is over."""
    who = unless_quiet(one.clinician, quiet=quiet) or "a clinician"
    of_answer = f"she answered {_ANSWERS.get(one.answer, one.answer)}"
    notes = [_DOES.get(one.does, "")]
    if one.known_on != one.named_on:
        notes.append(f"known since {short_day_words(one.known_on)}")
    if one.over_on:
        said_by = unless_quiet(one.over_said_by, quiet=quiet, instead="a clinician")
        notes.append(f"over since {short_day_words(one.over_on)}, as {said_by} said")
    return Event(
        "condition", one.pk, one.named_on, f"Condition: {one.label}",
        detail=of_answer if one.origin == "screening" else f"named by {who}",
        notes=tuple(sentence(note) for note in notes if note),
        waits=bool(one.does), open=one.over_on is None, at=one.at,
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Excepted:
    """A day on which she was trained although paperwork was stale; `over`: which."""

    pk: int
    day: date
    reason: str
    over: Sequence[str] = ()
    by: str = ""
    at: datetime | None = None


# What an exception may be made over, in words; the kinds of rules.go_ahead.may_except.
STALE: Mapping[str, str] = {
    "own-end": "a letter past its own last day",
    "policy-end": "a letter past the weeks that it counts",
    "screening-old": "answers to the health questions that are too old",
}


def exception_event(one: Excepted, *, quiet: bool) -> Event:
    """One session trained by exception: why, over what, by whom."""
    over = ", ".join(STALE.get(kind, kind) for kind in one.over)
    notes = [unless_quiet(one.reason, quiet=quiet, instead=HIDDEN), f"over {over}" if over else ""]
    return Event(
        "exception", one.pk, one.day, "Trained by exception", detail=one.by,
        notes=tuple(sentence(note) for note in notes if note), at=one.at,
    )  # fmt: skip
