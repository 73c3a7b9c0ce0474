"""Fields that several forms of clients have."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from django import forms

from clients.rules.pregnancies import Problem

_FORMATS = ["%Y-%m-%d", "%d/%m/%Y", "%d.%m.%Y", "%d %B %Y", "%d %b %Y"]


class RefusableForm(forms.Form):
    """A form whose action may refuse; `beside` names the field of a problem of another name."""

    beside: Mapping[str, str] = {}

    def refuse(self, problems: Iterable[Problem]) -> None:
        """Each sentence beside its field; above the form where there is none for it."""
        for problem in problems:
            field = self.beside.get(problem.field, problem.field)
            self.add_error(field if field in self.fields else None, problem.sentence)

    def choose_from(self, name: str, choices: Iterable[tuple[Any, str]]) -> None:
        """What can be chosen in a field."""
        self.fields[name].choices = list(choices)  # type: ignore[attr-defined]  # a ChoiceField's


def day_field(
    label: str,
    *,
    required: bool = False,
    missing: str = "",
    hint: str = "",
    attrs: Mapping[str, str] | None = None,
) -> forms.DateField:
    """A day, by the browser's own field or typed; `attrs` are those of its element."""
    return forms.DateField(
        label=label,
        required=required,
        help_text=hint,
        input_formats=_FORMATS,
        error_messages={
            "invalid": "Write a day that there is, like 21/02/2027.",
            "required": missing or "Write that day.",
        },
        widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date", **(attrs or {})}),
    )


def radios(
    label: str, choices: Any, *, required: bool = True, missing: str = "", hint: str = ""
) -> forms.ChoiceField:
    """One of a few; nothing is chosen beforehand."""
    return forms.ChoiceField(
        label=label,
        choices=choices,
        required=required,
        help_text=hint,
        error_messages={"required": missing or "Choose one."},
        widget=forms.RadioSelect,
    )


def text_field(
    label: str, *, longest: int, required: bool = False, missing: str = "", hint: str = "",
    rows: int = 1,
) -> forms.CharField:  # fmt: skip
    """A line of text, or a box of several rows; nothing a browser remembers."""
    attrs = {"autocomplete": "off"}
    widget = forms.Textarea(attrs={**attrs, "rows": rows}) if rows > 1 else forms.TextInput(attrs)
    return forms.CharField(
        label=label,
        required=required,
        max_length=longest,
        help_text=hint,
        error_messages={"required": missing or "Write something here."},
        widget=widget,
    )


def number_field(label: str, *, least: int, most: int, hint: str = "") -> forms.IntegerField:
    """A whole number or nothing; nothing is "not known"."""
    return forms.IntegerField(
        label=label,
        required=False,
        min_value=least,
        max_value=most,
        help_text=hint,
        error_messages={
            "invalid": "Write a whole number.",
            "min_value": f"Not under {least}.",
            "max_value": f"Not over {most}.",
        },
    )
