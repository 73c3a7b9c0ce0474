"""The form of a progress report: for whom, from which day on, what it holds."""

from __future__ import annotations

from django import forms

from clients.actions.report import Wanted
from clients.forms.fields import RefusableForm, day_field, radios, text_field
from clients.rules.report_words import CLIENT, CLINICIAN, PARTS

LONGEST_REMARK = 400


class ReportForm(RefusableForm):
    """For her or for her clinician, since when, which parts, and a sentence of the coach's own."""

    audience = radios(
        "For whom", [(CLIENT, "for her"), (CLINICIAN, "for her clinician")],
        missing="Say for whom it is.",
    )  # fmt: skip
    since = day_field("From", required=True, missing="Write the day it begins with.",
                      hint="Assessments before that day stay out.")  # fmt: skip
    parts = forms.MultipleChoiceField(
        label="What it holds",
        choices=list(PARTS.items()),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Tick at least one part."},
    )
    remark = text_field("A sentence from you", longest=LONGEST_REMARK, rows=3,
                        hint="Printed as you write it.")  # fmt: skip

    @property
    def wanted(self) -> Wanted:
        """What was chosen, when the form is valid."""
        data = self.cleaned_data
        return Wanted(data["audience"], data["since"], tuple(data["parts"]), data["remark"].strip())
