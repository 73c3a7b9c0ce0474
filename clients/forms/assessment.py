"""The form of an assessment: short enough for a call. What is left out is "not known"."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.forms.boundfield import BoundField

from clients.forms.fields import RefusableForm, day_field, number_field, radios, text_field
from clients.rules.assessment import (
    ANSWERS,
    LEAST_EFFORT,
    LEAST_MM,
    LONGEST_NOTE,
    MOST_EFFORT,
    MOST_MM,
    SITES,
    WAYS,
    Measures,
)

_SYMPTOMS = {
    "doming": "Doming of the belly on a head lift",
    "leaking": "Leaking",
    "heaviness": "Heaviness or dragging below",
}


def _answer(label: str) -> forms.ChoiceField:
    return radios(label, list(ANSWERS.items()), required=False)


class AssessmentForm(RefusableForm):
    """Day, who measured and how, and the measures: at least one of them."""

    beside = {"measured_by": "by"}

    day = day_field("On", required=True)
    by = text_field("Measured by", longest=120, required=True, missing="Say who measured.")
    how = radios("How", list(WAYS.items()), missing="Say how it was measured.")
    above_mm = number_field("4.5 cm above", least=LEAST_MM, most=MOST_MM)
    at_mm = number_field("At the navel", least=LEAST_MM, most=MOST_MM)
    below_mm = number_field("4.5 cm below", least=LEAST_MM, most=MOST_MM)
    doming = _answer(_SYMPTOMS["doming"])
    leaking = _answer(_SYMPTOMS["leaking"])
    heaviness = _answer(_SYMPTOMS["heaviness"])
    effort = number_field(
        "How hard training feels",
        least=LEAST_EFFORT,
        most=MOST_EFFORT,
        hint="0 is no effort, 10 all she has.",
    )
    note = text_field("Note", longest=LONGEST_NOTE, rows=3)
    origin = text_field(
        "Handed over by", longest=120, hint="Another coach, if the record comes from her."
    )

    def __init__(self, *args: Any, today: date, who: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["day"].initial, self.fields["by"].initial = today, who

    @property
    def distances(self) -> list[BoundField]:
        """Where the distance is measured, from above to below."""
        return [self[name] for name in SITES]

    @property
    def symptoms(self) -> list[BoundField]:
        """What is asked her."""
        return [self[name] for name in _SYMPTOMS]

    @property
    def measures(self) -> Measures:
        """What was written, when the form is valid."""
        names = (*SITES, *_SYMPTOMS, "effort", "note")
        return Measures(**{name: self.cleaned_data[name] for name in names})
