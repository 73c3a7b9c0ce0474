"""Forms around what was recorded: a warning sign in one tap, and taking back a mistake."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from django import forms

from clients.forms.fields import day_field, text_field
from clients.rules.pregnancies import Problem
from clients.rules.warning_signs import Sign


class SignForm(forms.Form):
    """Which sign comes from its button; the day is today unless an earlier one is written."""

    code = forms.ChoiceField(
        widget=forms.HiddenInput,
        error_messages={
            "required": "Tap one of the signs.",
            "invalid_choice": "That is none of the signs.",
        },
    )
    happened_on = day_field("On an earlier day", hint="Leave it empty for today.")
    text = text_field("Note", longest=1000, hint="What she said, in her words.")

    def __init__(self, *args: Any, signs: Sequence[Sign], today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.fields["code"].choices = [(one.code, one.code) for one in signs]  # type: ignore[attr-defined]  # a ChoiceField's

    @property
    def facts(self) -> dict[str, Any]:
        """Keywords of the action, when the form is valid."""
        data = self.cleaned_data
        return {**data, "happened_on": data["happened_on"] or self.today}

    def refuse(self, problems: Iterable[Problem]) -> None:
        """Put what the rules found beside the fields that it is about."""
        for problem in problems:
            self.add_error(
                problem.field if problem.field in self.fields else None, problem.sentence
            )


class WithdrawForm(forms.Form):
    """Why something was a mistake."""

    reason = text_field(
        "What was wrong with it", longest=500, required=True, missing="Say what was wrong with it."
    )

    def refuse(self, problems: Iterable[Problem]) -> None:
        """There is one field."""
        for problem in problems:
            self.add_error("reason", problem.sentence)
