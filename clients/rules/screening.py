"""The health questions, what an answer does, and from which week: read from the app's data. Pure.

The union of the published lists is asked and the strictest counts; each question keeps the lists
that ask it. The warning signs of a phase are questions too, and come first.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Any

from clients.rules.warning_signs import AFTER, OTHER, PREGNANT, Sign, warning_signs
from clients.rules.words import says_too_much
from coach.scheduling.dates import GestationalAge

_FILE = Path(__file__).parent.parent / "data" / "screening.toml"
YES, NO, UNSURE = "yes", "no", "unsure"
SIGN, CONDITION = "sign", "condition"
# Signs that need words of their own are no questions: the last of the questions asks for the rest.
_NOT_ASKED = {OTHER, "condition"}


class Effect(StrEnum):
    """What an answer does: stop and refer, hold until a clinician answers it by name, or note."""

    STOP = "stop"
    HOLD = "hold"
    NOTE = "note"


_STRICTEST = (Effect.STOP, Effect.HOLD, Effect.NOTE)


@dataclass(frozen=True, slots=True)
class Listed:
    """What a yes does by one published list, and from which age of the pregnancy on."""

    list: str
    does: Effect
    begins: GestationalAge | None = None


@dataclass(frozen=True, slots=True)
class Question:
    """One question. `kind`: "sign" (a yes is a warning sign) or "condition".

    `does` is the strictest that a yes can do at any week. `lists` holds identities of published
    lists, `sources` their names. `short` names what a yes says, `asked` is False for what is known
    from other facts.
    """

    code: str
    words: str
    quiet_words: str
    short: str
    quiet_short: str
    phases: frozenset[str]
    by_list: tuple[Listed, ...]
    sources: tuple[str, ...]
    kind: str = CONDITION
    asked: bool = True
    emergency: bool = False

    @property
    def does(self) -> Effect:
        """The strictest that a yes can do."""
        return _strictest(one.does for one in self.by_list)

    @property
    def lists(self) -> tuple[str, ...]:
        """The identities of the lists that ask it."""
        return tuple(dict.fromkeys(one.list for one in self.by_list))

    @property
    def source(self) -> str:
        """All its sources in one line."""
        return "; ".join(self.sources)

    def said(self, *, quiet: bool) -> str:
        """The question as it is asked."""
        return self.quiet_words if quiet else self.words

    def named(self, *, quiet: bool) -> str:
        """What a yes says, in a few words."""
        return self.quiet_short if quiet else self.short

    def begins(self, does: Effect) -> GestationalAge | None:
        """The earliest age from which a yes does this; None: at once, at any week."""
        ages = [one.begins for one in self.by_list if one.does is does]
        return None if not ages or None in ages else min(age for age in ages if age)


@cache
def _data() -> tuple[str, dict[str, Question]]:
    with _FILE.open("rb") as file:
        data = tomllib.load(file)
    return data["version"], read_questions(data)


@cache
def questions() -> dict[str, Question]:
    """Every question by code, the signs first; ValueError if the data are not sound."""
    return {**_sign_questions(), **_data()[1]}


def read_questions(data: Mapping[str, Any]) -> dict[str, Question]:
    """Questions from parsed data; ValueError that names the row for anything that is not sound.

    Sound is: a code once and none of a warning sign, words, known phases, known lists with a known
    effect, and nothing in the quiet words that a quiet client's page must not hold.
    """
    rows = [_question(row, data["source"]) for row in data["question"]]
    found = {one.code: one for one in rows}
    if len(found) < len(rows):
        raise ValueError("two questions have one code")
    if both := set(found) & set(warning_signs()):
        raise ValueError(f"the question {min(both)!r} has the code of a warning sign")
    return found


def _question(row: Mapping[str, Any], sources: Mapping[str, str]) -> Question:
    try:
        made = _read(row, sources)
    except (KeyError, ValueError, TypeError) as wrong:
        raise ValueError(f"the question {row.get('code')!r} is not sound: {wrong}") from None
    quiet = f"{made.code} {made.quiet_words} {made.quiet_short}"
    if not (made.words and made.short and made.by_list) or says_too_much(quiet):
        raise ValueError(f"the question {made.code!r} is not sound")
    if not made.phases or not made.phases <= {PREGNANT, AFTER}:
        raise ValueError(f"the question {made.code!r} has phases that are not known")
    return made


def _read(row: Mapping[str, Any], sources: Mapping[str, str]) -> Question:
    if unknown := set(row) - _COLUMNS:
        raise ValueError(f"what is {min(unknown)!r}?")
    return Question(
        code=row["code"],
        words=row["words"],
        quiet_words=row.get("quiet", row["words"]),
        short=row["short"],
        quiet_short=row.get("quiet_short", row["short"]),
        phases=frozenset(row["phases"]),
        by_list=tuple(_listed(one) for one in row["lists"]),
        sources=tuple(sources[one["list"]] for one in row["lists"]),
        asked=row.get("asked", True),
    )


_COLUMNS = {"code", "words", "quiet", "short", "quiet_short", "phases", "lists", "asked"}


def _listed(row: Mapping[str, str]) -> Listed:
    begins = GestationalAge.parse(row["from"]) if "from" in row else None
    return Listed(row["list"], Effect(row["does"]), begins)


@cache
def _sign_questions() -> dict[str, Question]:
    asked = (sign for sign in warning_signs().values() if sign.code not in _NOT_ASKED)
    return {sign.code: _of_sign(sign) for sign in asked}


def _of_sign(sign: Sign) -> Question:
    return Question(
        code=sign.code,
        words=sign.words,
        quiet_words=sign.quiet_words,
        short=sign.words,
        quiet_short=sign.quiet_words,
        phases=sign.stages,
        by_list=tuple(Listed(name, Effect.STOP) for name in sign.lists),
        sources=sign.sources,
        kind=SIGN,
        emergency=sign.emergency,
    )


SCREENING_VERSION: str = _data()[0]


@cache
def _asked_in(phase: str) -> tuple[Question, ...]:
    return tuple(one for one in questions().values() if one.asked and phase in one.phases)


def questions_for(phase: str, *, quiet: bool = False) -> list[Question]:
    """The set of a phase, "pregnant" or "after": signs first, emergencies before the others.

    `quiet` asks the same questions, in other words (`Question.said`). ValueError for another phase.
    """
    if phase not in {PREGNANT, AFTER}:
        raise ValueError(f"there are no questions for {phase!r}")
    return list(_asked_in(phase))


def effect_on(
    code: str, answer: str, age: GestationalAge | None, *, weeks_count: bool = True
) -> Effect:
    """What an answer does at an age of the pregnancy; an age not known has reached every week.

    "yes": the strictest of the lists that have begun, else a note. "unsure" about what can stop or
    hold is a hold at any week. A code that the data do not have any more is a hold. With
    `weeks_count` False (switched off by the practice) what begins at a week never begins.
    "no" does nothing: ValueError.
    """
    if answer not in {YES, UNSURE}:
        raise ValueError(f"{answer!r} does nothing")
    question = questions().get(code)
    if question is None:
        return Effect.HOLD
    if answer == UNSURE:
        return Effect.NOTE if question.does is Effect.NOTE else Effect.HOLD
    begun = (one.does for one in question.by_list if _has_begun(one, age, weeks_count))
    return _strictest((*begun, Effect.NOTE))


def _has_begun(one: Listed, age: GestationalAge | None, weeks_count: bool) -> bool:
    if one.begins is None:
        return True
    return weeks_count and (age is None or age >= one.begins)


def _strictest(found: Iterable[Effect]) -> Effect:
    return min(found, key=_STRICTEST.index)


def judged(answers: Mapping[str, str], age: GestationalAge | None = None) -> str:
    """The gravest thing that answers do: "stop", "hold", "note", or "" for nothing."""
    found = [effect_on(code, one, age) for code, one in answers.items() if one in {YES, UNSURE}]
    return str(_strictest(found)) if found else ""


def condition_words(code: str, text: str = "", *, quiet: bool) -> str:
    """A condition in words: its own few, or those of the sign that was answered "unsure"."""
    question = questions().get(code)
    words = question.named(quiet=quiet) if question else "something that is not in the list"
    added = "" if quiet and says_too_much(text) else text
    return f"{words} ({added})" if added else words


def condition_source(code: str) -> str:
    """Where it comes from; a code that the list does not have is the practice's own."""
    question = questions().get(code)
    return question.source if question else "policy of the practice"
