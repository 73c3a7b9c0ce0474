"""Forms of money: received, paid back. `seen`: what was paid when the form was shown."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms

from coach.billing.forms.fields import AmountField, amount_to_type, day_field, seen_field
from coach.billing.forms.shared import BillingForm
from coach.billing.models import Method
from coach.billing.queries.invoices import InvoiceRow

_HOW = {"required": "Say how it was paid.", "invalid_choice": "Say how it was paid."}


class PaymentForm(BillingForm):
    """Money received for an invoice; what is open unless another amount is typed."""

    amount_minor = AmountField(
        label="Amount", least=1, error_messages={"required": "Write the amount."}
    )
    received_on = day_field("Received on")
    method = forms.ChoiceField(label="How", choices=Method.choices, error_messages=_HOW)
    more_than_open = forms.BooleanField(label="It really is more than what is open", required=False)
    seen = seen_field()

    @staticmethod
    def initial_from(row: InvoiceRow, today: date) -> dict[str, Any]:
        """What is open, today, by bank."""
        return {
            "amount_minor": amount_to_type(max(0, row.open.minor), row.open.currency),
            "received_on": today,
            "method": Method.TRANSFER,
            "seen": row.paid.minor,
        }

    @property
    def asks_whether_more(self) -> bool:
        """Whether the tick is shown: once an amount was more than what is open."""
        said = str(self.errors.get("amount_minor", ""))
        return bool(self.data.get("more_than_open")) or "more than what is open" in said


class RefundForm(BillingForm):
    """Money paid back."""

    amount_minor = AmountField(
        label="Amount", least=1, error_messages={"required": "Write the amount."}
    )
    paid_on = day_field("Paid back on")
    method = forms.ChoiceField(label="How", choices=Method.choices, error_messages=_HOW)
    seen = seen_field()

    @staticmethod
    def initial_from(row: InvoiceRow, today: date) -> dict[str, Any]:
        """What is to be paid back, today, by bank."""
        return {
            "amount_minor": amount_to_type(max(0, -row.open.minor), row.open.currency),
            "paid_on": today,
            "method": Method.TRANSFER,
            "seen": row.paid.minor,
        }
