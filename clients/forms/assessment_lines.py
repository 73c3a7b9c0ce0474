"""The lines of the page of an assessment: one measure or question each, with what was last."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from django.http import QueryDict

from clients.rules.impact_tests import ImpactTest
from clients.rules.measuring import CLINICIAN, NO, YES
from clients.rules.plausible import Question
from clients.rules.pregnancies import Problem

NOT_ASKED = ("", "not asked")
YES_NO = ((YES, "yes"), (NO, "no"), NOT_ASKED)
_NOT_TYPED = ("csrfmiddlewaretoken", "sure")


def typed_of(data: QueryDict) -> dict[str, str]:
    """What of a request was typed into an assessment, by code.

    The width of a finger is asked of a clinician alone: the coach's and a client's are kept.
    """
    typed = {name: str(data[name]) for name in data if name not in _NOT_TYPED}
    if typed.get("who") != CLINICIAN and "who" in typed:
        typed.pop("finger_mm", None)
    return typed


@dataclass(frozen=True, slots=True)
class Line:
    """One field: its code and words, what stands in it, what was last and can be taken over.

    `take`: last time's value, "" where there is none to take; `was`: the same in words. `told`:
    what the value comes to. `question`: an unlikely value to look at once more.
    """

    code: str
    words: str
    value: str = ""
    unit: str = ""
    take: str = ""
    was: str = ""
    told: str = ""
    hint: str = ""
    problems: tuple[str, ...] = ()
    question: Question | None = None
    choices: Sequence[tuple[str, str]] = ()
    hidden: bool = False

    @property
    def id(self) -> str:
        """The id of its element."""
        return f"id_{self.code}"

    @property
    def said(self) -> str:
        """The words of what is chosen."""
        return dict(self.choices).get(self.value, "")

    @property
    def wants_a_look(self) -> bool:
        """Whether something is wrong or unlikely about it."""
        return bool(self.problems or self.question)


@dataclass(frozen=True, slots=True)
class TestLine:
    """One test: its legs, whether it brought symptoms, and whether it was left out on purpose."""

    __test__ = False  # a test of hers, none of ours

    test: ImpactTest
    asks: str
    legs: tuple[Line, ...]
    symptom: Line
    offered: Line
    told: str


@dataclass(frozen=True, slots=True)
class Beside:
    """What stands beside fields: problems and questions by code."""

    problems: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    questions: Mapping[str, Question] = field(default_factory=dict)

    @classmethod
    def of(cls, problems: Sequence[Problem], asked: Sequence[Question] = ()) -> Beside:
        """From what an action told."""
        found: dict[str, tuple[str, ...]] = {}
        for one in problems:
            found[one.field] = (*found.get(one.field, ()), one.sentence)
        return cls(found, {one.field: one for one in asked})

    def within(self, codes: Sequence[str]) -> bool:
        """Whether any of some fields wants a look."""
        return any(code in self.problems or code in self.questions for code in codes)
