"""The form’s health questions: which are asked, what an answer does, what she is told. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from clients.rules.intake import HOLD, NO, STOP, UNSURE, YES, Draft, Said, Step, typed
from clients.rules.intake_words import SAID_TO_HER
from clients.rules.screening import SIGN, Question, effect_on, questions, questions_for
from clients.rules.warning_signs import AFTER, PREGNANT
from coach.scheduling.dates import GestationalAge, gestational_age


def asked_in(step: str, phase: str) -> dict[str, Question]:
    """The questions of a step by code; where the phase is not known those of both."""
    phases = [phase] if phase else [PREGNANT, AFTER]
    every = {one.code: one for each in phases for one in questions_for(each)}
    return {code: one for code, one in every.items() if (one.kind == SIGN) == (step == Step.SIGNS)}


def of_step(step: str) -> list[str]:
    """The codes of all questions that a step asks of anybody."""
    return list(asked_in(step, ""))


def in_words(question: Question, *, quiet: bool) -> str:
    """The question as she reads it herself."""
    return SAID_TO_HER.get(question.code) or question.said(quiet=quiet)


def heard(answers: Mapping[str, str], age: GestationalAge | None) -> list[Said]:
    """Which of these answers stop or hold her, or will from a week on; others say nothing here.

    `age` None is "not known": what begins at a week then counts at once.
    """
    found = []
    for code, answer in answers.items():
        question = questions().get(code)
        if question and question.does in {STOP, HOLD} and answer in {YES, UNSURE}:
            found.append(Said(code, answer, str(effect_on(code, answer, age))))
    return found


def counted(values: Mapping[str, str]) -> dict[str, str]:
    """What the number expected says to the questions that nobody is asked; {} for no number."""
    text = values.get("how_many", "").strip()
    if not (text.isascii() and text.isdigit()):
        return {}
    number = int(text)
    return {TWINS: YES if number == 2 else NO, TRIPLETS: YES if number > 2 else NO}


def age_of(draft: Draft, today: date) -> GestationalAge | None:
    """How far she is by the day that she typed, if it reads as one."""
    try:
        day = date.fromisoformat(typed(draft, Step.DATES).get("day", ""))
    except ValueError:
        return None
    return gestational_age(day, today)


_HOLDING = (STOP, HOLD)
# Known from the number expected: the pregnancy itself carries it once it is on record.
TWINS, TRIPLETS = "twins", "triplets"
NUMBERS = {TWINS: 2, TRIPLETS: 3}


@dataclass(frozen=True, slots=True)
class Advice:
    """What she is told to do at once. `number` is the emergency number where she is, or empty.

    `emergency`: it is rung first; `stops`: no training at all, else none until it is answered.
    """

    emergency: bool
    stops: bool
    number: str


def advice_for(draft: Draft, *, recorded_number: str = "") -> Advice | None:
    """What all that she has said so far comes to; None where nothing stops or holds her.

    An answer that she has changed counts on: only a clinician takes it away.
    """
    said = {code: one for code, one in draft.get("said", {}).items() if one["effect"] in _HOLDING}
    if not said:
        return None
    number = typed(draft, Step.PLACE).get("emergency_number", "") or recorded_number
    return Advice(
        emergency=any(_is_emergency(code, one["answer"]) for code, one in said.items()),
        stops=any(one["effect"] == STOP for one in said.values()),
        number=number,
    )


def _is_emergency(code: str, answer: str) -> bool:
    question = questions().get(code)
    return bool(question and question.emergency and answer in {YES, UNSURE})


def is_open(questions: Iterable[str], answers: Mapping[str, str]) -> list[str]:
    """The questions without an answer."""
    return [code for code in questions if answers.get(code) not in {YES, NO, UNSURE}]


def by_day(draft: Draft) -> dict[date, dict[str, str]]:
    """Every answer that stops or holds, by the day that it was given, the earliest first."""
    found: dict[date, dict[str, str]] = {}
    for code, one in draft.get("said", {}).items():
        found.setdefault(date.fromisoformat(one["on"]), {})[code] = one["answer"]
    return dict(sorted(found.items()))
