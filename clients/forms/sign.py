"""Forms around what was recorded: a warning sign in one tap, its follow-up, and a mistake."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import Any

from django import forms

from clients.forms.fields import RefusableForm, day_field, radios, text_field
from clients.rules.pregnancies import Problem
from clients.rules.warning_signs import Sign

TODAY, YESTERDAY, OTHER_DAY = "today", "yesterday", "other"
_DAYS = ((TODAY, "today"), (YESTERDAY, "yesterday"), (OTHER_DAY, "another day"))


class SignForm(RefusableForm):
    """Which sign comes from its button; both days are today unless another is said."""

    code = forms.ChoiceField(
        widget=forms.HiddenInput,
        error_messages={
            "required": "Tap one of the signs.",
            "invalid_choice": "That is none of the signs.",
        },
    )
    happened = radios("When it happened", _DAYS, required=False)
    happened_on = day_field("Which day it happened")
    known = radios("When you learned of it", _DAYS, required=False)
    known_on = day_field("Which day you learned of it")
    text = text_field("Note", longest=1000, hint="What she said, in her words.")

    def __init__(self, data: Any = None, *, signs: Sequence[Sign], today: date) -> None:
        super().__init__(data, initial={"happened": TODAY, "known": TODAY})
        self.today = today
        self.choose_from("code", [(one.code, one.code) for one in signs])

    def clean(self) -> dict[str, Any]:
        """Another day is written; nobody knows of a thing before it happened."""
        data = self.cleaned_data
        for name in ("happened", "known"):
            on = f"{name}_on"
            if data.get(name) == OTHER_DAY and data.get(on) is None and on not in self.errors:
                self.add_error(on, "Write that day.")
        if not self.errors and self._day("known") < self._day("happened") <= self.today:
            self.add_error("known_on", "That is before it happened.")
        return data

    def _day(self, name: str) -> date:
        """A day that was written goes before a choice; neither is today."""
        written: date | None = self.cleaned_data.get(f"{name}_on")
        is_yesterday = self.cleaned_data.get(name) == YESTERDAY
        return written or self.today - timedelta(days=is_yesterday)

    @property
    def facts(self) -> dict[str, Any]:
        """Keywords of the action, when the form is valid."""
        return {
            "code": self.cleaned_data["code"],
            "happened_on": self._day("happened"),
            "known_on": self._day("known"),
            "text": self.cleaned_data["text"],
        }


class FollowUpForm(RefusableForm):
    """Who advised what the next day, and how she goes back."""

    advised_by = text_field(
        "Who advised her", longest=200, required=True, missing="Say who advised her.",
        hint="Her midwife, a doctor by name, a helpline.",
    )  # fmt: skip
    advice = text_field(
        "What she was advised", longest=2000, required=True, rows=3,
        missing="Say what she was advised.",
    )  # fmt: skip
    graded_return = text_field(
        "How she goes back to training", longest=2000, required=True, rows=3,
        missing="Say how she goes back to training, or that she does not yet.",
        hint="Step by step, as she was advised; or that she does not yet.",
    )  # fmt: skip


class WithdrawForm(RefusableForm):
    """Why something was a mistake."""

    reason = text_field(
        "What was wrong with it", longest=500, required=True, missing="Say what was wrong with it."
    )

    def refuse(self, problems: Iterable[Problem]) -> None:
        """There is one field."""
        for problem in problems:
            self.add_error("reason", problem.sentence)
