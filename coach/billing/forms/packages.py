"""The form of a package."""

from __future__ import annotations

from typing import Any

from django import forms

from coach.billing.forms.fields import (
    AmountField,
    RateField,
    amount_to_type,
    rate_to_type,
    text_field,
)
from coach.billing.forms.shared import BillingForm
from coach.billing.models import Package, PackageKind
from coach.practice.models import Practice

_WHOLE = dict.fromkeys(("invalid", "min_value", "max_value"), "A whole number from 1 to 500.")


class PackageForm(BillingForm):
    """What is sold: so many sessions or weeks for a price. Fields are named as the action's."""

    title = text_field(
        "Name", 120, help_text="As it stands on the bill.",
        error_messages={"required": "Give it a name."},
    )  # fmt: skip
    kind = forms.ChoiceField(
        label="Counted in",
        choices=PackageKind.choices,
        widget=forms.RadioSelect,
        error_messages={"required": "Sessions or weeks."},
    )
    count = forms.IntegerField(
        label="How many",
        min_value=1,
        max_value=500,
        error_messages={"required": "How many sessions or weeks?", **_WHOLE},
    )
    price_minor = AmountField(
        label="Price of it all", error_messages={"required": "Write the price; 0 for a gift."}
    )
    tax_bp = RateField(label="Tax, %")
    prices_include_tax = forms.BooleanField(
        label="The tax is in the price", required=False, initial=True
    )
    validity_days = forms.IntegerField(
        label="Valid for how many days",
        required=False,
        min_value=1,
        max_value=3660,
        help_text="For sessions: the first day counts. Empty: without an end.",
        error_messages=dict.fromkeys(
            ("invalid", "min_value", "max_value"), "A number of days from 1 to 3,660, or nothing."
        ),
    )

    @staticmethod
    def new_from(practice: Practice) -> dict[str, Any]:
        """Where a new one starts: at the practice's usual rate."""
        return {"tax_bp": rate_to_type(practice.tax_basis_points), "prices_include_tax": True}

    @staticmethod
    def initial_from(package: Package) -> dict[str, Any]:
        """What the form shows for one."""
        names = ("title", "kind", "count", "prices_include_tax", "validity_days")
        return {
            **{name: getattr(package, name) for name in names},
            "price_minor": amount_to_type(package.price_minor, package.currency),
            "tax_bp": rate_to_type(package.tax_bp),
        }
