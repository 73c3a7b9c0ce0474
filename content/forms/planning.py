"""Forms of the month page: what to accept, a day off, a class onto a day, a pin, a move."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms

from content.forms.fields import day_field
from content.models import DayOff, FitnessClass
from content.queries import planning


class DayForm(forms.Form):
    """A day to move something to."""

    day = day_field("Move to")


class DayOffForm(forms.ModelForm):  # type: ignore[type-arg]  # not generic at run time
    """A day off, checked against what stands by the action."""

    day = day_field("Day")

    class Meta:
        model = DayOff
        fields = ("day", "why")
        labels = {"why": "Why"}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        # Two forms on one page have a field "day".
        super().__init__(*args, **{"auto_id": "off_%s", **kwargs})

    def validate_unique(self) -> None:
        """The action says it in a sentence of ours."""


class PlaceForm(forms.Form):
    """Put a class on a day by hand."""

    item = forms.ModelChoiceField(
        label="Class", queryset=FitnessClass.objects.none(), empty_label="Choose…"
    )
    day = day_field("Day")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": "place_%s", **kwargs})
        free = [item.pk for item in planning.placeable()]
        field: Any = self.fields["item"]
        field.queryset = FitnessClass.objects.filter(pk__in=free)


class PinForm(PlaceForm):
    """Keep a class on a day of the proposal."""


class AcceptForm(forms.Form):
    """Which days of a proposal to accept: all, unless `some` is sent; then those ticked."""

    some = forms.BooleanField(required=False)
    day = forms.TypedMultipleChoiceField(
        required=False,
        coerce=date.fromisoformat,
        error_messages={"invalid_choice": "There is nothing proposed on that day any more."},
    )

    def __init__(self, *args: Any, proposed: list[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.proposed = proposed
        field: Any = self.fields["day"]
        field.choices = [(day, day) for day in proposed]

    def clean(self) -> None:
        if self.errors:
            return
        if not self.cleaned_data["day"]:
            if self.cleaned_data["some"]:
                self.add_error("day", "Tick what you accept first.")
            self.cleaned_data["day"] = [date.fromisoformat(day) for day in self.proposed]
