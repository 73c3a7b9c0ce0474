"""What every form of this room can do."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms

from coach.billing.forms.fields import AmountField
from coach.billing.rules.values import Problem


class BillingForm(forms.Form):
    """Knows the currency of its amounts, and puts an action’s sentences beside its fields."""

    def __init__(self, *args: Any, currency: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for field in self.fields.values():
            if isinstance(field, AmountField):
                field.set_currency(currency)

    def refuse(self, problems: Iterable[Problem]) -> None:
        """Each sentence beside its field; above the form where there is no such field."""
        for problem in problems:
            named = problem.field if problem.field in self.fields else None
            self.add_error(named, problem.sentence)

    @property
    def all_said(self) -> str:
        """What is wrong with it, all in one line."""
        return " ".join(str(error) for errors in self.errors.values() for error in errors)


class ReasonForm(BillingForm):
    """Why something is taken back."""

    reason = forms.CharField(
        label="Why",
        max_length=300,
        help_text="Kept with it, and never printed.",
        error_messages={"required": "Say why, in a few words."},
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
