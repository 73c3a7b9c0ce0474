"""Fields that several forms of this room use."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from clients.models import Client
from coach.billing.rules.values import MOST_MINOR
from coach.money import BadAmount, minor_digits, parse

_TYPED = {"autocomplete": "off"}


def day_field(label: str, **options: Any) -> forms.DateField:
    """A day, picked with the browser's own calendar."""
    # Without the explicit format a value shown again would not be one a date input accepts.
    widget = forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})
    said = {
        "invalid": "That is not a day of the calendar.",
        "required": "Choose a day.",
        **options.pop("error_messages", {}),
    }
    return forms.DateField(label=label, widget=widget, error_messages=said, **options)


def text_field(label: str, longest: int, **options: Any) -> forms.CharField:
    """One line of text that the browser does not fill in by itself."""
    widget = forms.TextInput(attrs={**_TYPED, **options.pop("attrs", {})})
    return forms.CharField(label=label, max_length=longest, widget=widget, **options)


def lines_field(label: str, rows: int, **options: Any) -> forms.CharField:
    """Some lines of text."""
    widget = forms.Textarea(attrs={**_TYPED, "rows": rows})
    return forms.CharField(label=label, max_length=1000, widget=widget, required=False, **options)


# Choosing her brings who paid for her last.
_BRINGS_PAYER = {
    "hx-get": "",
    "hx-target": "#payer",
    "hx-swap": "outerHTML",
    "hx-trigger": "change",
}


def who_field(label: str, **options: Any) -> forms.ModelChoiceField[Client]:
    """One of the clients, by name; of the rows only the names are read."""
    said = {"required": "Choose a client.", "invalid_choice": "Choose one of the clients."}
    names = Client.objects.order_by("name", "pk").only("pk", "name", "email")
    return forms.ModelChoiceField(
        names,
        label=label,
        empty_label="Choose…",
        error_messages=said,
        widget=forms.Select(attrs=_BRINGS_PAYER),
        **options,
    )


def seen_field() -> forms.IntegerField:
    """What stood when the form was shown, so that sending it twice is once."""
    said = dict.fromkeys(("required", "invalid"), "The page is too old. Load it again.")
    return forms.IntegerField(widget=forms.HiddenInput, error_messages=said)


class AmountField(forms.CharField):
    """An amount as typed, cleaned to whole minor units of the currency that its form sets.

    `least` is the smallest that is taken, in minor units.
    """

    def __init__(self, *, least: int = 0, **options: Any) -> None:
        widget = forms.TextInput(attrs={**_TYPED, "inputmode": "decimal"})
        super().__init__(max_length=30, widget=widget, **options)
        self.least = least
        self.currency = ""

    def set_currency(self, currency: str) -> None:
        """Say which currency it is in; the label says so too."""
        self.currency = currency
        self.label = f"{self.label}, {currency}"

    def clean(self, value: Any) -> Any:
        typed = super().clean(value)
        return None if typed in self.empty_values else self._minor(str(typed))

    def _minor(self, typed: str) -> int:
        try:
            minor = parse(typed, self.currency).minor
        except BadAmount as wrong:
            raise ValidationError(str(wrong)) from wrong
        if minor < self.least:
            raise ValidationError(
                "Write an amount above nothing." if self.least else "Not less than nothing."
            )
        if minor > MOST_MINOR:
            raise ValidationError("That is too much.")
        return minor


def amount_to_type(minor: int, currency: str) -> str:
    """An amount as the field takes it: 14634 cents are "146.34"."""
    digits = minor_digits(currency)
    return f"{Decimal(minor).scaleb(-digits):.{digits}f}"


class RateField(forms.DecimalField):
    """A tax rate typed as a percentage, cleaned to basis points (hundredths of a percent)."""

    def __init__(self, **options: Any) -> None:
        said = {
            "invalid": "Write the rate like 23 or 13.5.",
            "required": "Write the rate; 0 for none.",
            "min_value": "Not less than 0 %%.",
            "max_value": "At most 100 %%.",
            **dict.fromkeys(
                ("max_digits", "max_decimal_places", "max_whole_digits"),
                "At most two digits after the point.",
            ),
        }
        widget = forms.TextInput(attrs={**_TYPED, "inputmode": "decimal"})
        super().__init__(
            min_value=0, max_value=100, decimal_places=2, widget=widget, error_messages=said,
            **options,
        )  # fmt: skip

    def clean(self, value: Any) -> Any:
        typed = super().clean(value)
        return None if typed is None else int(typed * 100)


def rate_to_type(basis_points: int) -> str:
    """Basis points as the field takes them: 2300 is "23", 1350 is "13.5"."""
    return f"{(Decimal(basis_points) / 100).normalize():f}"
