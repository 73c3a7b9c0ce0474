"""From reasons to verdicts: of an exercise, of a class, for a person or a stage. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date

from coach.scheduling.values import Finding, Stage
from content.rules.design import Design
from content.rules.exercises import Exercise
from content.rules.suitability.against import Spoken, spoken
from content.rules.suitability.table import table
from content.rules.suitability.values import (
    ClassJudged,
    Judged,
    Person,
    Verdict,
    person_at_stage,
    worst,
)

_ANY_DAY = date(2000, 1, 1)  # a stage is asked about without a day
NOT_CLEARED = "Her go-ahead says “{word}”: no class is offered until that is mended."


@dataclass(slots=True)
class Judge:
    """Judges exercises for one person, each once, however many classes hold it."""

    person: Person
    library: Mapping[str, Exercise]
    _spoken: dict[str, Spoken] = field(default_factory=dict)
    _judged: dict[str, Judged] = field(default_factory=dict)

    def of(self, code: str) -> Judged:
        """What an exercise comes to. One that nobody knows is not known."""
        if code not in self._judged:
            self._judged[code] = self._judge(code)
        return self._judged[code]

    def _judge(self, code: str) -> Judged:
        exercise = self.library.get(code)
        if exercise is None:
            finding = table().reasons["unknown-exercise"].finding(code=code)
            return Judged(code, Verdict.NOT_KNOWN, "", (finding,), ("the exercise",))
        said = self._said(exercise)
        if said.against:
            option = self.option(exercise)
            verdict = Verdict.EASIER if option else Verdict.LEAVE_OUT
            return Judged(code, verdict, option, said.against + said.unknown, said.missing)
        if said.unknown:
            return Judged(
                code, Verdict.NOT_KNOWN, self.option(exercise), said.unknown, said.missing
            )
        return Judged(code, Verdict.FINE)

    def _said(self, exercise: Exercise) -> Spoken:
        if exercise.code not in self._spoken:
            self._spoken[exercise.code] = spoken(exercise, self.person)
        return self._spoken[exercise.code]

    def option(self, exercise: Exercise) -> str:
        """The nearest easier option with nothing against it, by steps down the chain; "" none."""
        seen, row = {exercise.code}, list(exercise.easier)
        while row:
            for code in row:
                if self.fine(code):
                    return code
            seen |= set(row)
            row = [
                below
                for code in row
                if code in self.library
                for below in self.library[code].easier
                if below not in seen
            ]
        return ""

    def fine(self, code: str) -> bool:
        """Whether nothing is against an exercise, and nothing about it is not known."""
        exercise = self.library.get(code)
        if exercise is None:
            return False
        said = self._said(exercise)
        return not said.against and not said.unknown

    def of_class(self, design: Design) -> ClassJudged:
        """The class as it is designed: the worst of its exercises.

        An easier option counts only if it is shown or cued in the class.
        """
        person = self.person
        if not person.is_stage and not person.word.may_train:
            return ClassJudged(Verdict.LEAVE_OUT, not_cleared=NOT_CLEARED.format(word=person.word))
        judged = [
            self._in_class(item.exercise, item.shows) for item in design.items if item.exercise
        ]
        once = tuple(dict.fromkeys(judged))
        if not once:
            return ClassJudged(Verdict.NOT_KNOWN)
        verdict = worst([one.verdict for one in once])
        reasons: dict[Finding, None] = {}
        for one in once:
            if one.verdict is verdict:
                reasons |= dict.fromkeys(one.reasons)
        return ClassJudged(verdict, once, tuple(reasons))

    def _in_class(self, code: str, shows: Iterable[str]) -> Judged:
        judged = self.of(code)
        if judged.verdict is not Verdict.EASIER:
            return judged
        shown = next((option for option in shows if self._is_easier(code, option)), "")
        if shown:
            return Judged(code, Verdict.EASIER, shown, judged.reasons, judged.missing)
        return Judged(code, Verdict.LEAVE_OUT, judged.option, judged.reasons, judged.missing)

    def _is_easier(self, code: str, option: str) -> bool:
        return option != code and self.fine(option)


def judge(exercise: str, person: Person, library: Mapping[str, Exercise]) -> Judged:
    """What one exercise comes to for a person."""
    return Judge(person, library).of(exercise)


def judge_stage(exercise: str, stage: Stage, library: Mapping[str, Exercise]) -> Judged:
    """What one exercise comes to for a stage alone: the person is still to be checked."""
    return Judge(person_at_stage(stage, _ANY_DAY), library).of(exercise)


def judge_class(design: Design, person: Person, library: Mapping[str, Exercise]) -> ClassJudged:
    """What a class comes to for a person."""
    return Judge(person, library).of_class(design)


def judge_class_stage(design: Design, stage: Stage, library: Mapping[str, Exercise]) -> ClassJudged:
    """What a class comes to for a stage alone."""
    return Judge(person_at_stage(stage, _ANY_DAY), library).of_class(design)


def suits(judged: ClassJudged) -> bool:
    """Whether a class may be offered: nothing against it, or the option is shown in it."""
    return not judged.not_cleared and judged.verdict in {Verdict.FINE, Verdict.EASIER}
