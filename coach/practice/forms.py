"""Forms of the practice room."""

from __future__ import annotations

import secrets
from decimal import Decimal
from typing import Any

from django import forms
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError

from coach.practice.models import Practice, User
from coach.practice.models.people import ROLES
from coach.practice.places import country_choices, currency_choices, zone_choices
from coach.scheduling.trimesters import SCHEMES

_CHOOSE = ("", "Choose…")


_KEPT_AS_TYPED = (
    "name",
    "country",
    "time_zone",
    "currency",
    "address",
    "how_to_pay",
    "tax_name",
    "tax_number",
)


class PracticeForm(forms.Form):
    """The business details; the tax rate is typed as a percentage and kept in basis points."""

    name = forms.CharField(label="Name of the business", max_length=120)
    country = forms.ChoiceField(label="Country", choices=[_CHOOSE, *country_choices()])
    time_zone = forms.ChoiceField(label="Time zone", choices=[_CHOOSE, *zone_choices()])
    currency = forms.ChoiceField(label="Currency", choices=[_CHOOSE, *currency_choices()])
    address = forms.CharField(
        label="Address", required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
    how_to_pay = forms.CharField(
        label="How to pay you",
        required=False,
        help_text="Printed on every invoice: the account, or where to pay by card.",
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    tax_name = forms.CharField(
        label="Name of the tax",
        max_length=20,
        required=False,
        help_text="As on an invoice, such as VAT. Empty if you charge none.",
    )
    tax_number = forms.CharField(label="Your tax number", max_length=40, required=False)
    tax_rate = forms.DecimalField(
        label="Usual rate, %", min_value=0, max_value=100, decimal_places=2, initial=0
    )

    @staticmethod
    def initial_from(practice: Practice) -> dict[str, Any]:
        """What the form shows for a practice."""
        rate = Decimal(practice.tax_basis_points) / 100
        return {name: getattr(practice, name) for name in _KEPT_AS_TYPED} | {"tax_rate": rate}

    def practice_values(self) -> dict[str, Any]:
        """The cleaned fields as the model has them."""
        values = {name: self.cleaned_data[name] for name in _KEPT_AS_TYPED}
        return values | {"tax_basis_points": int(self.cleaned_data["tax_rate"] * 100)}


class DetailsForm(PracticeForm):
    """The business details later on, with how the trimesters are cut."""

    trimester_scheme = forms.ChoiceField(
        label="Trimesters begin at",
        choices=[(one.name, f"{one.label} ({one.source})") for one in SCHEMES.values()],
        help_text="Published sources differ. Every stage follows what you choose; who may train "
        "does not depend on it.",
        widget=forms.RadioSelect,
    )

    @staticmethod
    def initial_from(practice: Practice) -> dict[str, Any]:
        """With the scheme."""
        shown = PracticeForm.initial_from(practice)
        return shown | {"trimester_scheme": practice.trimester_scheme}

    def practice_values(self) -> dict[str, Any]:
        """With the scheme."""
        chosen = self.cleaned_data["trimester_scheme"]
        return super().practice_values() | {"trimester_scheme": chosen}


def _letters(code: str) -> str:
    """A code as compared: people type it in either case, with or without its hyphens."""
    return "".join(sign for sign in code.lower() if sign.isalnum())


class BeginForm(PracticeForm):
    """The first page: the code from the terminal, the owner, the business."""

    field_order = ("code", "your_name", "email", "password", "name")

    code = forms.CharField(
        label="Code",
        help_text="The terminal that started this printed it.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "characters"}),
    )
    your_name = forms.CharField(
        label="Your name", max_length=120, widget=forms.TextInput(attrs={"autocomplete": "name"})
    )
    email = forms.EmailField(
        label="Your e-mail", widget=forms.EmailInput(attrs={"autocomplete": "email"})
    )
    password = forms.CharField(
        label="Password",
        strip=False,
        help_text="At least ten characters, and not a common one.",
        widget=forms.PasswordInput(render_value=True, attrs={"autocomplete": "new-password"}),
    )

    def __init__(self, *args: Any, expected_code: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._expected = expected_code

    def clean_code(self) -> str:
        given, wanted = _letters(self.cleaned_data["code"]), _letters(self._expected)
        if not wanted or not secrets.compare_digest(given.encode(), wanted.encode()):
            raise ValidationError("That is not the code in the terminal.")
        return given

    def clean_password(self) -> str:
        password: str = self.cleaned_data["password"]
        person = User(email=self.data.get("email", ""), name=self.data.get("your_name", ""))
        validate_password(password, person)
        return password


class PersonForm(forms.ModelForm):  # type: ignore[type-arg]  # not generic at run time
    """Somebody who signs in: name, e-mail, role."""

    class Meta:
        model = User
        fields: tuple[str, ...] = ("name", "email", "role")
        labels = {"email": "E-mail"}

    role = forms.ChoiceField(label="Role", choices=[_CHOOSE, *ROLES])

    def clean_email(self) -> str:
        email: str = self.cleaned_data["email"].strip().lower()
        if User.objects.filter(email=email).exclude(pk=self.instance.pk).exists():
            raise ValidationError("Somebody with this e-mail is already there.")
        return email


class ChangePersonForm(PersonForm):
    """The same for somebody who is there; without access she is signed out at once."""

    class Meta(PersonForm.Meta):
        fields = ("name", "email", "role", "is_active")
        labels = {**PersonForm.Meta.labels, "is_active": "May sign in"}
