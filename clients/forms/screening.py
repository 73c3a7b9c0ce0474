"""Forms of the health questions on a call, and of conditions that a clinician named."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any, NamedTuple

from django import forms
from django.forms.boundfield import BoundField

from clients.forms.fields import RefusableForm, day_field, radios, text_field
from clients.rules.screening import NO, UNSURE, YES, Question
from clients.rules.words import unless_quiet

_ANSWERS = ((YES, "yes"), (NO, "no"), (UNSURE, "doesn’t know"))
_PREFIX = "q-"
_UNNAMED = "a published list that is not named while quiet is on"


class Group(NamedTuple):
    """Questions of one kind, with the number of the first and the source of each."""

    name: str
    questions: list[BoundField]
    first: int
    sources: list[str]


class ScreeningForm(RefusableForm):
    """Every question of a phase, nothing chosen beforehand; what is left open stays open."""

    answered_on = day_field("Answered on", required=True)

    def __init__(
        self, *args: Any, questions: Sequence[Question], quiet: bool, today: date, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.questions, self.quiet = questions, quiet
        self.beside = {one.code: _PREFIX + one.code for one in questions}
        self.fields["answered_on"].initial = today
        for number, one in enumerate(questions, 1):
            words = f"{number}. {one.said(quiet=quiet)}"
            self.fields[_PREFIX + one.code] = radios(words, _ANSWERS, required=False)

    @property
    def groups(self) -> list[Group]:
        """Emergencies, the other signs, conditions: the questions, and where each comes from."""
        named = {
            "emergency": [one for one in self.questions if one.emergency],
            "sign": [one for one in self.questions if one.kind == "sign" and not one.emergency],
            "condition": [one for one in self.questions if one.kind != "sign"],
        }
        return [
            Group(
                name,
                [self[_PREFIX + one.code] for one in some],
                self.questions.index(some[0]) + 1,
                [self._source(one) for one in some],
            )
            for name, some in named.items()
            if some
        ]

    def _source(self, one: Question) -> str:
        """Where a question comes from, without names that a quiet client's page must not hold."""
        told = dict.fromkeys(unless_quiet(name, quiet=self.quiet, instead=_UNNAMED)
                             for name in one.sources)  # fmt: skip
        return "; ".join(told)

    @property
    def answers(self) -> dict[str, str]:
        """The answers by code, when the form is valid; those left open are not among them."""
        found = ((one.code, self.cleaned_data[_PREFIX + one.code]) for one in self.questions)
        return {code: answer for code, answer in found if answer}

    @property
    def still_open(self) -> int:
        """How many questions have no answer, when the form is valid."""
        return len(self.questions) - len(self.answers)


class ConditionForm(RefusableForm):
    """What a clinician named, when, and who said so."""

    code = forms.ChoiceField(
        label="What was named",
        error_messages={"required": "Choose what was named."},
    )
    named_on = day_field("Named on", required=True, missing="Write the day it was named.")
    clinician = text_field(
        "Who named it", longest=200, required=True, missing="Write who named it.",
        hint="Her obstetrician, a midwife by name.",
    )  # fmt: skip
    text = text_field("Note", longest=1000, rows=2, hint="In the clinician’s words.")

    def __init__(self, *args: Any, questions: Iterable[Question], quiet: bool, **kwargs: Any):
        super().__init__(*args, **kwargs)
        named = [(one.code, _large(one.named(quiet=quiet))) for one in questions]
        self.choose_from("code", [("", "Choose…"), *named])


class EndConditionForm(RefusableForm):
    """Who said that it is over, and since when."""

    over_on = day_field("Over since", required=True, missing="Write since when it is over.")
    said_by = text_field(
        "Which clinician said so", longest=200, required=True,
        missing="Write which clinician said so.",
    )  # fmt: skip


def _large(text: str) -> str:
    return text[:1].upper() + text[1:]
