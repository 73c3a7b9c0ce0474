"""The form that a client fills in from a link: its steps, what her answers do, its state. Pure.

`draft` is what is stored while she fills it in:
"born": her birth date · "at": the step she came to · "steps": for each step what was typed, by
field · "said": each answer that stops or holds her, with its day, whatever became of it ·
"was_yes": those that were changed afterwards, with the times · "ticked": consents with version
and time · "key": that of the sending. Codes are neutral: they stand in addresses and pages.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Any

from clients.rules.warning_signs import AFTER, PREGNANT
from clients.rules.words import CARRYING, DELIVERED, LOST

ADULT_YEARS = 18  # the age of majority nearly everywhere: common practice, no source
LINK_DAYS = 14
NEITHER, TELL = "neither", "tell"
YES, NO, UNSURE = "yes", "no", "unsure"
STOP, HOLD, NOTE, MINOR = "stop", "hold", "note", "minor"
GO_ON, NOT_ON, ASK_AGAIN = "go on", "no", "ask again"
_GRAVEST_FIRST = (STOP, HOLD, MINOR, "")
_PHASES = {CARRYING: PREGNANT, DELIVERED: AFTER, LOST: AFTER}
Draft = Mapping[str, Any]


class Step(StrEnum):
    """One screen of the form, in their order."""

    YOU = "you"
    PLACE = "place"
    NOW = "now"
    DATES = "dates"
    BEFORE = "before"
    SIGNS = "signs"
    HEALTH = "health"
    CONSENT = "consent"
    LETTER = "letter"


def typed(draft: Draft, step: str) -> dict[str, str]:
    """What was typed in a step so far."""
    return dict(draft.get("steps", {}).get(step, {}))


def situation(draft: Draft) -> str:
    """Where she says she is: CARRYING, DELIVERED, LOST, NEITHER, TELL or "" so far."""
    return typed(draft, Step.NOW).get("situation", "")


def steps_for(draft: Draft) -> list[Step]:
    """The steps that her answers so far call for."""
    left_out = set() if situation(draft) == CARRYING else {Step.DATES}
    return [step for step in Step if step not in left_out]


def next_step(draft: Draft, step: str) -> Step | None:
    """The step after; None after the last."""
    return next((one for one in _after(draft, step)), None)


def step_before(draft: Draft, step: str) -> Step | None:
    """The step before; None before the first."""
    names = steps_for(draft)
    at = names.index(Step(step)) if step in names else 0
    return names[at - 1] if at else None


def _after(draft: Draft, step: str) -> list[Step]:
    order = list(Step)
    return [one for one in steps_for(draft) if order.index(one) > order.index(Step(step))]


def resumes_at(draft: Draft) -> Step:
    """The step that the link opens: the one she came to last."""
    wanted = draft.get("at", Step.YOU)
    return Step(wanted) if wanted in steps_for(draft) else Step.YOU


def phase_of(draft: Draft, recorded: str = "") -> str:
    """Which set of questions is hers: PREGNANT, AFTER, or "" for both where she does not say.

    `recorded` is the phase of a known client, for one who would rather tell her coach.
    """
    said = situation(draft)
    return _PHASES.get(said, recorded if said in {TELL, ""} else "")


def is_quiet(draft: Draft, *, recorded: bool) -> bool:
    """Whether the form keeps to a quiet client’s words: on record, or since she told a loss."""
    return recorded or situation(draft) == LOST


def is_minor(born: date, days: Iterable[date]) -> bool:
    """Whether she is under 18 on any of these days: where she is, and where the coach is.

    A person of 29 February comes of age on 1 March, the later of the readings in use.
    """
    on = min(days)
    years = on.year - born.year - ((on.month, on.day) < (born.month, born.day))
    return years < ADULT_YEARS


def is_stopped(draft: Draft, guardian: Mapping[str, Any], days: Iterable[date]) -> bool:
    """Whether she is under 18 on any of these days, and nobody has decided that she goes on."""
    born = draft.get("born")
    if not born or guardian.get("decision") == GO_ON:
        return False
    return is_minor(date.fromisoformat(born), days)


def graver(one: str, two: str) -> str:
    """The graver of two alarms: stop, hold, minor, none."""
    return min(one, two, key=_GRAVEST_FIRST.index)


@dataclass(frozen=True, slots=True)
class Said:
    """An answer that stops or holds her: "yes" or "unsure" to a question, and its effect."""

    code: str
    answer: str
    effect: str


def with_said(draft: Draft, found: Iterable[Said], *, now: datetime, today: date) -> dict[str, Any]:
    """The draft with new answers that stop or hold. What was said before stays, with its day.

    A "yes" takes the place of an "unsure", and a stop of a hold, from its own moment.
    """
    said = dict(draft.get("said", {}))
    for one in found:
        before = said.get(one.code)
        if before and _weight(before["answer"], before["effect"]) >= _weight(
            one.answer, one.effect
        ):
            continue
        said[one.code] = {
            "answer": one.answer,
            "effect": one.effect,
            "at": now.isoformat(),
            "on": today.isoformat(),
        }
    return {**draft, "said": said} if said else dict(draft)


def _weight(answer: str, effect: str) -> tuple[bool, bool]:
    return effect == STOP, answer == YES


def with_changed(draft: Draft, answers: Mapping[str, str], *, now: datetime) -> dict[str, Any]:
    """The draft with a note of every answer that was a yes or unsure and is so no longer."""
    changed = dict(draft.get("was_yes", {}))
    for code, one in draft.get("said", {}).items():
        if code in answers and answers[code] != one["answer"] and code not in changed:
            changed[code] = {"said_at": one["at"], "changed_at": now.isoformat()}
    return {**draft, "was_yes": changed} if changed else dict(draft)


def gravest(draft: Draft) -> str:
    """The gravest of all that she has said, changed or not: stop, hold or none."""
    found = ""
    for one in draft.get("said", {}).values():
        if one["effect"] in _GRAVEST_FIRST:  # what begins at a later week is none yet
            found = graver(found, one["effect"])
    return found


def health_answers(draft: Draft) -> dict[str, str]:
    """Her answers to the health questions as they stand, by code; what is open is left out."""
    both = {**typed(draft, Step.SIGNS), **typed(draft, Step.HEALTH)}
    return {code: answer for code, answer in both.items() if answer in {YES, NO, UNSURE}}


class LinkState(StrEnum):
    """How far a form has come, in words for a list."""

    MADE = "made"
    MAILED = "mailed"
    OPENED = "opened"
    STARTED = "started"
    SENT = "sent"
    REVIEWED = "reviewed"
    WITHDRAWN = "withdrawn"
    RUN_OUT = "run out"


def state_of(
    *,
    now: datetime,
    expires_at: datetime,
    mailed_at: datetime | None,
    opened_at: datetime | None,
    started: bool,
    withdrawn_at: datetime | None,
    sent_at: datetime | None,
    reviewed_at: datetime | None,
) -> LinkState:
    """The state of a form: the first that holds, from the end of its life backwards."""
    states = (
        (reviewed_at, LinkState.REVIEWED),
        (sent_at, LinkState.SENT),
        (withdrawn_at, LinkState.WITHDRAWN),
        (expires_at <= now, LinkState.RUN_OUT),
        (started, LinkState.STARTED),
        (opened_at, LinkState.OPENED),
        (mailed_at, LinkState.MAILED),
    )
    return next((state for holds, state in states if holds), LinkState.MADE)
