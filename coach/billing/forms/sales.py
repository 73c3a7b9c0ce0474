"""Forms of a sale: sell a package, count a session."""

from __future__ import annotations

from typing import Any

from django import forms

from clients.models import Client
from coach.billing.forms.fields import (
    day_field,
    lines_field,
    seen_field,
    text_field,
    who_field,
)
from coach.billing.forms.shared import BillingForm
from coach.billing.models import Package
from coach.billing.rules.values import Party
from coach.money import Money


class _PackageField(forms.ModelChoiceField):  # type: ignore[type-arg]  # not generic at run time
    def label_from_instance(self, obj: Any) -> str:
        return f"{obj.title}, {Money(obj.price_minor, obj.currency).shown()}"


class PayerForm(BillingForm):
    """Who pays, where that is somebody else, and the address for the bill."""

    payer_name = text_field(
        "Payer’s name", 120, required=False, help_text="Only if somebody else pays."
    )
    payer_email = forms.EmailField(
        label="Payer’s e-mail",
        required=False,
        error_messages={"invalid": "That is no e-mail address."},
        widget=forms.EmailInput(attrs={"autocomplete": "off"}),
    )
    payer_address = lines_field(
        "Address for the bill", 3, help_text="Street, place, country, each on its line."
    )

    def payer_of(self, client: Client) -> Party:
        """Who pays; she herself, with her own e-mail, if nobody else is named."""
        given = self.cleaned_data
        name, email = given["payer_name"].strip(), given["payer_email"]
        if not name:
            name, email = client.name, email or client.email
        return Party(name, address=given["payer_address"].strip(), email=email)

    @staticmethod
    def payer_initial(client: Client | None, payer: Party | None) -> dict[str, str]:
        """Where the fields start: at who paid for her last; her own name stays out."""
        if client is None or payer is None:
            return {}
        herself = payer.name == client.name
        return {
            "payer_name": "" if herself else payer.name,
            "payer_email": "" if herself and payer.email == client.email else payer.email,
            "payer_address": payer.address,
        }


class SellForm(PayerForm):
    """A package, for whom, from when, paid by whom. `seen` is the last sale when it was shown."""

    field_order = ("package", "client", "sold_on", "starts_on")

    package = _PackageField(
        Package.objects.filter(retired=False),
        label="Package",
        empty_label="Choose…",
        error_messages={
            "required": "Choose a package.",
            "invalid_choice": "This package is no longer sold: choose another.",
        },
    )
    client = who_field("For whom")
    sold_on = day_field("Sold on")
    starts_on = day_field("First day", required=False, help_text="If it is another day.")
    seen = seen_field()

    def values(self) -> dict[str, Any]:
        """The arguments of the action."""
        given = self.cleaned_data
        names = ("package", "client", "sold_on", "starts_on")
        return {
            **{name: given[name] for name in names},
            "payer": self.payer_of(given["client"]),
            "seen": given["seen"],
        }


class UseForm(BillingForm):
    """A session given. `seen`: how many were used when the form was shown."""

    on = day_field("Given on")
    seen = seen_field()

    def given(self) -> dict[str, Any]:
        """The arguments of the action."""
        return dict(self.cleaned_data)
