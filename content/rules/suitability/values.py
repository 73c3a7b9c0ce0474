"""The values that suitability is asked with and answers in. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from clients.rules.findings import Answer, OpenFinding
from coach.scheduling.dating import GestationalAge
from coach.scheduling.values import Finding, GoAheadWord, Limits, Stage


class Verdict(StrEnum):
    """What an exercise or a class comes to for somebody, from the best to the worst."""

    FINE = "nothing against it"
    EASIER = "easier option"
    NOT_KNOWN = "not known"
    LEAVE_OUT = "leave out"

    @property
    def weight(self) -> int:
        """The worst has the highest."""
        return list(Verdict).index(self)


def worst(verdicts: list[Verdict]) -> Verdict:
    """The worst of them; of none FINE."""
    return max(verdicts, key=lambda one: one.weight, default=Verdict.FINE)


@dataclass(frozen=True, slots=True)
class Recovery:
    """One end of a pregnancy, `weeks` completed weeks ago on the day asked about.

    `ending`: "birth", "loss" or "" (how is not known); `mode` of a birth and `tear` as recorded,
    "" not known; `surgical` of a loss: "yes", "no" or "".
    """

    weeks: int
    ending: str = "birth"
    mode: str = ""
    tear: str = ""
    surgical: str = ""

    @property
    def operated(self) -> bool:
        """A caesarean, an operation after a loss, or an end of which nobody has said how it was."""
        if self.ending == "loss":
            return self.surgical != "no"
        return self.mode in {"caesarean", ""}


@dataclass(frozen=True, slots=True)
class Person:
    """What is recorded of somebody, for one day.

    `age` while the weeks run; `recoveries`: every end, whatever came after. `answers`: the last
    answer to each question with its day; `findings`: what is open. `conditions`: codes of those
    open, with their words. `readiness_missing`: what is missing for impact, None: not known.
    `is_stage`: only a stage is asked about, and no person.
    """

    on: date
    stage: Stage
    age: GestationalAge | None = None
    recoveries: tuple[Recovery, ...] = ()
    answers: Mapping[str, Answer] = field(default_factory=dict)
    findings: tuple[OpenFinding, ...] = ()
    conditions: Mapping[str, str] = field(default_factory=dict)
    limits: Limits = field(default_factory=Limits)
    word: GoAheadWord = GoAheadWord.WAITING
    readiness_missing: tuple[str, ...] | None = None
    quiet: bool = False
    is_stage: bool = False

    @property
    def latest(self) -> Recovery | None:
        """The latest end."""
        return min(self.recoveries, key=lambda one: one.weeks, default=None)


# The strictest day of each stage: its last, while weeks run; its first, after an end.
_AGES = {
    Stage.TRIMESTER_1: GestationalAge.parse("13w6d"),
    Stage.TRIMESTER_2: GestationalAge.parse("27w6d"),
    Stage.TRIMESTER_3: GestationalAge.parse("39w6d"),
}
_WEEKS = {
    Stage.WEEKS_0_6: 0,
    Stage.WEEKS_6_12: 6,
    Stage.WEEKS_12_26: 12,
    Stage.WEEKS_26_52: 26,
    Stage.WEEKS_52_ON: 52,
}


# What a table by stage may suppose of somebody beside her stage, in the words of a page.
SUPPOSED = {
    "heaviness": "heaviness",
    "leaking": "leaking",
    "pain": "pelvic pain",
    "doming": "doming",
    "bleeding": "bleeding",
    "width": "a wide gap in the middle",
    "girdle": "pelvic-girdle pain",
    "caesarean": "a caesarean",
    "tear": "a third- or fourth-degree tear",
}
_CODES = {"width": "width-supposed"}


def person_at_stage(stage: Stage, on: date, supposed: str = "") -> Person:
    """Somebody of whom the stage alone is asked about: on its strictest day, after a plain birth.

    `supposed`: one of SUPPOSED, found or had as well. What only a person can be asked is left to
    the person: a stage excludes by its weeks alone, and by what is supposed.
    """
    recoveries: tuple[Recovery, ...] = ()
    if stage in _WEEKS:
        mode = "caesarean" if supposed == "caesarean" else "vaginal"
        tear = "third" if supposed == "tear" else "none"
        recoveries = (Recovery(_WEEKS[stage], "birth", mode, tear),)
    findings: tuple[OpenFinding, ...] = ()
    if supposed in SUPPOSED and supposed not in {"caesarean", "tear"}:
        code, words = _CODES.get(supposed, supposed), SUPPOSED[supposed]
        findings = (OpenFinding(code, words, symptom=True, since=on, day=on),)
    return Person(
        on, stage, _AGES.get(stage), recoveries, findings=findings, word=GoAheadWord.YES,
        readiness_missing=(), is_stage=True,
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Judged:
    """What one exercise comes to. `option`: the code of the easier option that has nothing against
    it, "" where there is none. `missing`: facts that are not known, in words.
    """

    exercise: str
    verdict: Verdict
    option: str = ""
    reasons: tuple[Finding, ...] = ()
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ClassJudged:
    """What a class comes to: the worst of its exercises.

    `not_cleared`: why no class is offered at all, "" where her go-ahead lets her train.
    """

    verdict: Verdict
    exercises: tuple[Judged, ...] = ()
    reasons: tuple[Finding, ...] = ()
    not_cleared: str = ""

    @property
    def in_the_way(self) -> tuple[Judged, ...]:
        """The exercises that make it so, the worst first."""
        found = [one for one in self.exercises if one.verdict is not Verdict.FINE]
        return tuple(sorted(found, key=lambda one: -one.verdict.weight))
