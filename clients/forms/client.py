"""Forms of a client: who she is and how to reach her; standing and quiet."""

from __future__ import annotations

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from clients.models import Client, Standing
from coach.practice.places import zone_choices

_PHONE = re.compile(r"\+?[0-9 ()./-]{4,39}")


class ClientForm(forms.Form):
    """Name, e-mail, phone, time zone; the note only for those who may change health facts."""

    name = forms.CharField(
        label="Name",
        max_length=120,
        error_messages={"required": "Write her name, or what you call her."},
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    phone = forms.CharField(
        label="Phone",
        max_length=40,
        required=False,
        help_text="With the country’s code, so that it works from anywhere: +353 86 123 4567.",
        widget=forms.TextInput(attrs={"type": "tel", "autocomplete": "off"}),
    )
    email = forms.EmailField(
        label="E-mail", required=False, widget=forms.EmailInput(attrs={"autocomplete": "off"})
    )
    time_zone = forms.ChoiceField(label="Her time zone")
    note = forms.CharField(
        label="Note",
        required=False,
        max_length=4000,
        help_text="What you want to remember. Only those who may see health facts read it.",
        widget=forms.Textarea(attrs={"rows": 4}),
    )

    def __init__(self, *args: Any, here: str, with_note: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["time_zone"].choices = zone_choices(here)  # type: ignore[attr-defined]  # a ChoiceField's
        self.fields["time_zone"].initial = here
        if not with_note:
            del self.fields["note"]

    def clean_name(self) -> str:
        name = " ".join(self.cleaned_data["name"].split())
        if not any(sign.isalpha() for sign in name):
            raise ValidationError("Write her name, or what you call her.")
        return name

    def clean_phone(self) -> str:
        phone = " ".join(self.cleaned_data["phone"].split())
        if phone and not _PHONE.fullmatch(phone):
            raise ValidationError("Write digits and spaces, such as +353 86 123 4567.")
        return phone

    @staticmethod
    def initial_from(client: Client) -> dict[str, Any]:
        """What the form shows for a client."""
        names = ("name", "phone", "email", "time_zone", "note")
        return {name: getattr(client, name) for name in names}


class StandingForm(forms.Form):
    """One of the standings, from a button."""

    standing = forms.TypedChoiceField(choices=Standing.choices, coerce=Standing)


class QuietForm(forms.Form):
    """On or off, from a button."""

    quiet = forms.TypedChoiceField(choices=[("on", ""), ("off", "")], coerce=lambda v: v == "on")
