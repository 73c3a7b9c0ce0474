"""Forms of the month page: wishes, a day off, a class onto a day, a move."""

from __future__ import annotations

from typing import Any

from django import forms

from content.forms.fields import day_field
from content.models import DayOff, FitnessClass, Preference, Wishes
from content.queries import planning
from content.rules.classes import hours_to_type, minutes_from_hours
from content.rules.months import WEEKDAYS

_DAYS = [(str(number), name) for number, name in enumerate(WEEKDAYS)]
_MOST_MINUTES_A_WEEK = 100 * 60


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


class WishesForm(forms.Form):
    """How she wants to publish."""

    weekdays = forms.MultipleChoiceField(
        label="Publish on",
        choices=_DAYS,
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Choose at least one day of the week."},
    )
    hours_a_week = forms.CharField(
        label="Hours a week for making classes",
        max_length=10,
        help_text="Outlining, filming and editing together. Like 8 or 7:30.",
    )
    lead_days = forms.IntegerField(
        label="Days between finished and published",
        min_value=0,
        max_value=60,
        help_text="For captions, the description and a second look.",
    )
    preference = forms.ChoiceField(
        label="What matters more", choices=Preference.choices, widget=forms.RadioSelect
    )

    @staticmethod
    def initial_from(wishes: Wishes) -> dict[str, Any]:
        """What the form shows for her wishes so far."""
        return {
            "weekdays": [str(day) for day in wishes.weekdays],
            "hours_a_week": hours_to_type(wishes.minutes_a_week),
            "lead_days": wishes.lead_days,
            "preference": wishes.preference,
        }

    def clean_weekdays(self) -> list[int]:
        return sorted(int(day) for day in self.cleaned_data["weekdays"])

    def clean_hours_a_week(self) -> int:
        try:
            minutes = minutes_from_hours(self.cleaned_data["hours_a_week"])
        except ValueError as error:
            raise forms.ValidationError(str(error)) from None
        if minutes > _MOST_MINUTES_A_WEEK:
            raise forms.ValidationError("At most 100 hours.")
        return minutes

    def values(self) -> dict[str, Any]:
        """The cleaned fields as the model has them."""
        kept = dict(self.cleaned_data)
        return {"minutes_a_week": kept.pop("hours_a_week"), **kept}
