"""Small forms around assessments: how she was the day after tests, and how wide a finger is."""

from __future__ import annotations

from django import forms

from clients.forms.fields import RefusableForm, day_field, radios
from clients.rules.assessment import LEAST_FINGER_MM, MOST_FINGER_MM
from clients.rules.measuring import NO, YES

_WIDTH = f"From {LEAST_FINGER_MM} to {MOST_FINGER_MM} mm."


class NextDayForm(RefusableForm):
    """Whether she had symptoms, in her own words of no or yes; neither is chosen beforehand."""

    answer = radios(
        "Any leaking, heaviness or dragging, or pain after the tests or the day after",
        ((NO, "no"), (YES, "yes")),
        missing="Say yes or no.",
    )
    on = day_field("Day she told you", required=True, missing="Write the day she told you.")


class FingerForm(RefusableForm):
    """How wide one finger is, and when it was measured."""

    mm = forms.IntegerField(
        label="One finger, in mm",
        min_value=LEAST_FINGER_MM,
        max_value=MOST_FINGER_MM,
        help_text="Across the middle joint of the finger laid on, by calliper or ruler.",
        error_messages={
            "required": "Write how wide it is.",
            "invalid": "Write a whole number of millimetres.",
            "min_value": _WIDTH,
            "max_value": _WIDTH,
        },
    )
    measured_on = day_field("Measured on", required=True, missing="Write when it was measured.")
