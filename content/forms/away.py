"""The form for days away."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms

from coach.scheduling.away import against_days
from content.forms.fields import day_field
from content.models import Away


class AwayForm(forms.Form):
    """First and last day away; without a last one it is a single day."""

    first = day_field("First day away")
    last = day_field("Last day away", required=False, help_text="Leave it empty for one day.")
    why = forms.CharField(
        label="Why",
        required=False,
        max_length=Away._meta.get_field("why").max_length,
        help_text="Stands on the days off. Like “ill” or “holiday”.",
    )
    seen = forms.CharField(required=False, max_length=16, widget=forms.HiddenInput)

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._today = today

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("first") and "last" in cleaned:
            cleaned["last"] = cleaned["last"] or cleaned["first"]
            wrong = against_days(cleaned["first"], cleaned["last"], today=self._today)
            if wrong:
                self.add_error("last" if self.data.get("last") else "first", wrong)
        return cleaned
