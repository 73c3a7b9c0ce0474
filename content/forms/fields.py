"""Fields that several forms of this room use."""

from __future__ import annotations

from typing import Any

from django import forms


def day_field(label: str, **options: Any) -> forms.DateField:
    """A day, picked with the browser's own calendar."""
    # Without the explicit format a value shown again would not be one a date input accepts.
    widget = forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})
    said = {"invalid": "That is not a day of the calendar.", **options.pop("error_messages", {})}
    return forms.DateField(label=label, widget=widget, error_messages=said, **options)
