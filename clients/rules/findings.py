"""What her assessments come to on a day: the last answer to each question, with its day. Pure.

"Not asked" is never "no": an answer stands, with its day, until the question is answered again.
An assessment that is not finished counts for its findings and for nothing that puts off the next.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Any

from clients.rules.assessment import (
    NEXT_DAY,
    NEXT_DAY_ON,
    Catalogue,
    Measured,
    width_field,
    widths_of,
)
from clients.rules.impact_tests import SYMPTOM, ImpactTest, Result, grade, impact_tests
from clients.rules.measuring import FINGERS, NO, YES, default_sites, scheme
from coach.scheduling.values import Finding, Severity

SOURCE = "what she said or was measured"
AFTERWARDS = "next-day"
# Sperstad and others 2016 count a width of two fingers and more, palpated.
WIDE_FINGERS = 2


@dataclass(frozen=True, slots=True)
class Answer:
    """The last answer to one question: "yes" or "no", on `day`; the same since `since`."""

    answer: str
    day: date
    since: date


class _Kept(Mapping[str, Answer]):
    """Answers as they are kept; each is read when it is asked for, because lists want few."""

    __slots__ = ("_stored",)

    def __init__(self, stored: Mapping[str, Sequence[str]]) -> None:
        self._stored = stored

    def __getitem__(self, code: str) -> Answer:
        answer, day, since = self._stored[code]
        return Answer(answer, date.fromisoformat(day), date.fromisoformat(since))

    def __iter__(self) -> Iterator[str]:
        return iter(self._stored)

    def __len__(self) -> int:
        return len(self._stored)

    @property
    def said_yes(self) -> set[str]:
        """The questions whose last answer is yes."""
        return {code for code, one in self._stored.items() if one[0] == YES}


@dataclass(frozen=True, slots=True)
class OpenFinding:
    """Something found and not answered otherwise since. `code`: a question ("leaking"), a test
    ("test-hop" not passed, "felt-hop" with symptoms), "next-day" or a width ("width-navel-rest");
    `words` names it on any page; `symptom`: she feels it; `since`: its first day, `day`: the last
    on which it was found.
    """

    code: str
    words: str
    symptom: bool
    since: date
    day: date

    @property
    def finding(self) -> Finding:
        """As lists show it."""
        return Finding(self.code, Severity.CAUTION, self.words, SOURCE)


@dataclass(frozen=True, slots=True)
class Summary:
    """What lists need of all her assessments: the last finished day, and answers by question."""

    last: date | None = None
    answers: Mapping[str, Answer] | None = None

    def answer(self, code: str) -> Answer | None:
        """The last answer to a question; None: it was never asked."""
        return (self.answers or {}).get(code)

    @property
    def open(self) -> tuple[OpenFinding, ...]:
        """Everything whose last answer is yes, in the order of the questions."""
        answers = self.answers or {}
        yes = _said_yes(answers)
        found = ((code, answers[code]) for code in _words() if code in yes) if yes else ()
        return tuple(
            OpenFinding(code, _words()[code], code in _symptoms(), one.since, one.day)
            for code, one in found
        )

    @property
    def stored(self) -> dict[str, Any]:
        """As it is kept beside the client."""
        answers = {code: _stored(one) for code, one in (self.answers or {}).items()}
        return {"last": self.last.isoformat() if self.last else None, "answers": answers}

    @classmethod
    def of(cls, stored: Mapping[str, Any]) -> Summary:
        """From what is kept; an empty mapping is nobody measured."""
        last = stored.get("last")
        return cls(date.fromisoformat(last) if last else None, _Kept(stored.get("answers", {})))


def _said_yes(answers: Mapping[str, Answer]) -> set[str]:
    if isinstance(answers, _Kept):
        return answers.said_yes
    return {code for code, one in answers.items() if one.answer == YES}


def _stored(one: Answer) -> list[str]:
    return [one.answer, one.day.isoformat(), one.since.isoformat()]


@cache
def _words() -> dict[str, str]:
    found = {code: one.finding for code, one in scheme().answers.items()}
    for test in impact_tests().values():
        found[f"felt-{test.code}"] = f"symptoms in a test ({test.words.lower()})"
        found[f"test-{test.code}"] = f"a test not passed ({test.words.lower()})"
    found[AFTERWARDS] = "symptoms the day after the tests"
    for site in scheme().sites.values():
        for state, words in scheme().states.items():
            found[width_field(site.code, state)] = f"two fingers or more {site.words}, {words}"
    return found


@cache
def _symptoms() -> frozenset[str]:
    questions = {code for code, one in scheme().answers.items() if one.symptom}
    return frozenset({*questions, AFTERWARDS, *(f"felt-{code}" for code in impact_tests())})


def summary(measured: Iterable[Measured], known: Catalogue | None = None) -> Summary:
    """What assessments come to, in any order; withdrawn ones are not to be among them.

    Of two answers on one day the yes counts. In one that is not finished a yes counts at once, a no
    only when it is finished.
    """
    every, known = list(measured), known or Catalogue(default_sites())
    told: dict[tuple[date, str], str] = {}
    for one in every:
        for code, (answer, day) in _answered(one, known).items():
            if (one.finished or answer == YES) and told.get((day, code)) != YES:
                told[day, code] = answer
    answers: dict[str, Answer] = {}
    for (day, code), answer in sorted(told.items()):
        before = answers.get(code)
        since = before.since if before and before.answer == answer else day
        answers[code] = Answer(answer, day, since)
    last = max((one.day for one in every if one.finished), default=None)
    return Summary(last, answers)


def _answered(one: Measured, known: Catalogue) -> dict[str, tuple[str, date]]:
    """Each question answered in one assessment, with the day that it speaks of."""
    found = {code: one.answer(code) for code in scheme().answers}
    found |= {f"felt-{code}": one.answer(t.field(SYMPTOM)) for code, t in impact_tests().items()}
    found |= {f"test-{code}": _failed(t, one, known) for code, t in impact_tests().items()}
    found |= {code: _wide(value) for code, value in widths_of(one).items() if one.unit == FINGERS}
    told = {code: (answer, one.day) for code, answer in found.items() if answer}
    if one.answer(NEXT_DAY):
        on = one.values.get(NEXT_DAY_ON)
        told[AFTERWARDS] = (one.answer(NEXT_DAY), date.fromisoformat(on) if on else one.day)
    return told


def _failed(test: ImpactTest, one: Measured, known: Catalogue) -> str:
    """ "yes" for a fail, "no" for a pass, "" where the test says nothing."""
    result = grade(test, one.values, known.amount(test))
    return {Result.FAIL: YES, Result.PASS: NO}.get(result, "")


def _wide(fingers: float) -> str:
    return YES if fingers >= WIDE_FINGERS else NO


def latest(measured: Sequence[Measured]) -> Measured | None:
    """The latest assessment of all."""
    return max(measured, key=lambda one: (one.day, one.pk), default=None)
