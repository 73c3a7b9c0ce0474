"""What was told of a client, in few words, made into the facts that the go-ahead rests on."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from clients.rules.facts import (
    ClearanceFact,
    ClearanceWord,
    ClientFacts,
    KnownBy,
    PregnancyFact,
    ScreeningFact,
    SignFact,
)
from clients.rules.go_ahead import go_ahead, letter_until
from clients.rules.words import NEVER_IF_QUIET
from coach.scheduling.dates import Ending
from coach.scheduling.values import Finding, GoAhead, GoAheadWord, Limits

# A letter in force, with limits or without: what it takes beside a letter is given in `facts_of`.
ON_FILE = frozenset((GoAheadWord.YES, GoAheadWord.YES_WITH_LIMITS))
CODES = {
    "bleeding": "blood",
    "dizziness": "dizzy",
    "movement": "movement",
    "cramps": "contractions",
}


def on(text: str) -> date:
    """A date."""
    return date.fromisoformat(text)


def day(text: str | None) -> date | None:
    """A date, if there is one."""
    return on(text) if text else None


@dataclass(frozen=True)
class Sign:
    """A warning sign with the name that a letter answers it by; its last word says which one."""

    name: str
    happened: str
    known: str | None = None


@dataclass(frozen=True)
class Letter:
    """A clearance; `answers` are names of signs."""

    fact: ClearanceFact
    answers: tuple[str, ...] = ()


@dataclass(frozen=True)
class Quiet:
    """She is quiet."""


Told = Sign | Letter | Quiet | PregnancyFact


def carrying(due: str, *, known: str | None = None) -> PregnancyFact:
    """Pregnant with a due date, no end recorded."""
    return PregnancyFact(due=on(due), known_on=day(known))


def not_dated() -> PregnancyFact:
    """Pregnant, nobody knows the due date."""
    return PregnancyFact()


def over_on_a_day_not_known() -> PregnancyFact:
    """It is over; the day was never told."""
    return PregnancyFact(due=on("2026-02-01"), ending=Ending.BIRTH)


def born(text: str, *, due: str, known: str | None = None) -> PregnancyFact:
    """A birth, known at once unless said."""
    return carrying(due).ended_by(Ending.BIRTH, on(text), known_on=on(known or text))


def lost(text: str, *, due: str, known: str | None = None) -> PregnancyFact:
    """A loss, known at once unless said."""
    return carrying(due).ended_by(Ending.LOSS, on(text), known_on=on(known or text))


def letter(
    said: str,
    *,
    known: str | None = None,
    known_by: str = "letter",
    until: str | None = None,
    until_birth: bool = False,
    limits: Limits | None = None,
    answers: Sequence[str] = (),
) -> Letter:
    """A letter that has been seen: go ahead, or go ahead with limits."""
    word = ClearanceWord.GO_AHEAD if limits is None else ClearanceWord.LIMITS
    fact = ClearanceFact(
        said_on=on(said),
        word=word,
        known_by=KnownBy(known_by),
        known_on=on(known or said),
        limits=limits or Limits(),
        until=day(until),
        until_birth=until_birth,
        clinician="Dr Imelda Roe",
        clinician_kind="GP",
        examined="yes",
    )
    return Letter(fact, tuple(answers))


def spoken(said: str, *, limits: Limits | None = None, answers: Sequence[str] = ()) -> Letter:
    """The clinician told the coach herself, by phone."""
    return letter(said, known_by="spoken", limits=limits, answers=answers)


def her_word(said: str, *, answers: Sequence[str] = ()) -> Letter:
    """She says that the clinician said so."""
    return letter(said, known_by="client", answers=answers)


def against(said: str, *, known_by: str = "letter", answers: Sequence[str] = ()) -> Letter:
    """A clinician advised against training."""
    made = letter(said, known_by=known_by, answers=answers)
    return replace(made, fact=replace(made.fact, word=ClearanceWord.AGAINST))


def withdrawn(one: Letter, text: str) -> Letter:
    """The same, withdrawn on a day."""
    return replace(one, fact=replace(one.fact, withdrawn_on=on(text)))


def sign(name: str, happened: str, known: str | None = None) -> Sign:
    """A warning sign, known at once unless said."""
    return Sign(name, happened, known)


def quiet() -> Quiet:
    """Nothing about her may name a baby, a birth or a due date."""
    return Quiet()


def asked_often() -> tuple[ScreeningFact, ...]:
    """The health questions of both phases, each Monday answered with no: nothing waits for them."""
    mondays = [on("2025-12-29") + timedelta(weeks=n) for n in range(80)]
    return tuple(
        ScreeningFact(day, phase=each) for day in mondays for each in ("pregnant", "after")
    )


def facts_of(told: Iterable[Told]) -> ClientFacts:
    """All that was told, as facts; the health questions are asked and answered all along."""
    told = list(told)
    ids = {one.name: n for n, one in enumerate((t for t in told if isinstance(t, Sign)), start=41)}
    signs = [
        SignFact(ids[t.name], CODES[t.name.split()[-1]], on(t.happened), on(t.known or t.happened))
        for t in told
        if isinstance(t, Sign)
    ]
    clearances = [
        replace(t.fact, answers=tuple(ids[name] for name in t.answers), pk=n)
        for n, t in enumerate(told)
        if isinstance(t, Letter)
    ]
    return ClientFacts(
        pregnancies=tuple(t for t in told if isinstance(t, PregnancyFact)),
        clearances=tuple(clearances),
        signs=tuple(signs),
        screenings=asked_often(),
        quiet=any(isinstance(t, Quiet) for t in told),
    )


@dataclass(frozen=True)
class Row:
    """Given what was told, when asked for a day, then one of these words."""

    given: str
    told: tuple[Told, ...]
    asked: date
    words: frozenset[GoAheadWord]
    limits: Limits | None = None
    reasons: int = 1
    until: date | None = None

    @property
    def facts(self) -> ClientFacts:
        """What was told, as facts."""
        return facts_of(self.told)


def row(
    given: str,
    told: Sequence[Told],
    asked: str,
    word: GoAheadWord | Collection[GoAheadWord],
    *,
    limits: Limits | None = None,
    reasons: int = 1,
    until: str | None = None,
) -> Row:
    """A line of the tables."""
    words = frozenset([word] if isinstance(word, GoAheadWord) else word)
    return Row(given, tuple(told), on(asked), words, limits, reasons, day(until))


def texts(answer: GoAhead) -> list[str]:
    """Every text that a page could print of it."""
    found = [text for one in answer.reasons for text in (one.reason, one.source, one.kind)]
    return [*found, answer.mend, str(answer.word)]


def unsourced(reasons: Iterable[Finding]) -> list[Finding]:
    """The reasons without words or without a source."""
    return [one for one in reasons if not one.reason.strip() or not one.source.strip()]


def faults(case: Row) -> list[str]:
    """What is wrong with the answer to a row; nothing, when it is right."""
    answer = go_ahead(case.facts, case.asked)
    until = letter_until(case.facts, case.asked)
    said = " | ".join([*texts(answer)[:-1]])
    wrong = {
        f"{answer.word} instead of {sorted(case.words)}": answer.word not in case.words,
        "lets her train": answer.word.may_train and not case.words & ON_FILE,
        f"{len(answer.reasons)} reasons": len(answer.reasons) < case.reasons,
        "a reason without source": bool(unsourced(answer.reasons)),
        "nothing mends it": not answer.mend.strip(),
        "another day": answer.on != case.asked,
        f"limits {answer.limits}": case.limits is not None and answer.limits != case.limits,
        f"until {until}": case.until is not None and until != case.until,
        f"says yes: {said}": re.search(r"\b(yes|cleared)\b", said, re.IGNORECASE) is not None,
        f"not quiet: {said}": case.facts.quiet and any(w in said.lower() for w in NEVER_IF_QUIET),
    }
    return [fault for fault, is_so in wrong.items() if is_so]
