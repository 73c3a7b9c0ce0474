"""The form of where a client trains, and whom to ring there."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from django.core.exceptions import ValidationError

from clients.forms.fields import RefusableForm, day_field, text_field
from clients.rules.place import Place
from clients.rules.where import to_dial
from clients.rules.words import says_too_much

_NUMBERS = ("emergency_number", "away_emergency_number", "emergency_phone")


class PlaceForm(RefusableForm):
    """Her place, and another one until a day.

    What a quiet client's page may not hold is not in the form at all: what is not sent stays.
    """

    trains_at = text_field(
        "Where she is while she trains", longest=300, rows=2,
        hint="The address that an ambulance would need, with the floor or the door.",
    )  # fmt: skip
    emergency_number = text_field(
        "Emergency number there", longest=40, hint="What she would dial herself, such as 112."
    )
    emergency_contact = text_field(
        "Whom to ring", longest=120, hint="Somebody near her, and who that is to her."
    )
    emergency_phone = text_field(
        "Their telephone", longest=40, hint="With the country’s code, so that it works from here."
    )
    away_at = text_field(
        "Where she is while away", longest=300, rows=2,
        hint="Leave it empty while she is at her usual place.",
    )  # fmt: skip
    away_emergency_number = text_field("Emergency number there", longest=40)
    away_until = day_field("Away until", hint="Her last day there.")

    def __init__(self, data: Any = None, *, place: Place, quiet: bool) -> None:
        kept = asdict(place)
        super().__init__(data, initial=kept)
        self.hidden = [
            name for name, value in kept.items() if quiet and says_too_much(str(value or ""))
        ]
        self.hidden_labels = [str(self.fields[name].label) for name in self.hidden]
        for name in self.hidden:
            del self.fields[name]
        for name in _NUMBERS:
            if name in self.fields:
                self.fields[name].widget.input_type = "tel"

    def clean(self) -> dict[str, Any]:
        """Each number is one that a telephone can dial."""
        for name in _NUMBERS:
            value = self.cleaned_data.get(name)
            if value and not to_dial(value):
                self.add_error(name, ValidationError("Write one number, in digits and spaces."))
        return self.cleaned_data
