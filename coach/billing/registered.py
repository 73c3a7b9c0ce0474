"""What this room registers."""

from __future__ import annotations

from django.db import models

from coach.billing import checks
from coach.billing.models import (
    Counter,
    Invoice,
    InvoiceLine,
    Package,
    Payment,
    Sale,
    SessionUse,
)
from coach.practice.permissions import Fact
from coach.practice.registry import Room, Section
from coach.practice.registry import register as _register

_OFFER = (
    "title",
    "kind",
    "count",
    "price_minor",
    "currency",
    "tax_bp",
    "prices_include_tax",
    "validity_days",
)
_SALE = (
    *_OFFER,
    "package",
    "payer_name",
    "payer_email",
    "payer_address",
    "sold_on",
    "starts_on",
    "last_day",
    "cancelled_on",
    "cancel_reason",
)
_INVOICE = (
    "kind",
    "sale",
    "corrects",
    "year",
    "place",
    "number",
    "issued_on",
    "pay_days",
    "pay_by",
    "currency",
    "prices_include_tax",
    "buyer_name",
    "buyer_email",
    "buyer_address",
    "seller_name",
    "seller_address",
    "how_to_pay",
    "tax_name",
    "tax_number",
    "supplied",
    "no_tax_reason",
    "note",
    "reason",
    "net_minor",
    "tax_minor",
    "gross_minor",
)
_LINE = ("invoice", "place", "text", "quantity", "unit_minor", "tax_bp")
_REVERSIBLE = ("reverses", "reason", "recorded_at")
_WHOSE = {"client": Fact.CONTACT}


def _money(*names: str) -> dict[str, Fact]:
    return dict.fromkeys(names, Fact.MONEY)


_FACTS: dict[type[models.Model], dict[str, Fact]] = {
    Package: _money(*_OFFER, "retired"),
    Sale: _money(*_SALE) | _WHOSE,
    SessionUse: _money("sale", "on", "count", *_REVERSIBLE),
    Counter: _money("year", "last"),
    Invoice: _money(*_INVOICE) | _WHOSE,
    InvoiceLine: _money(*_LINE),
    Payment: _money("invoice", "amount_minor", "method", "received_on", *_REVERSIBLE),
}


def register() -> None:
    """Called when the app is ready."""
    _register(
        Room(
            name="billing",
            facts=_FACTS,
            sections=(Section("Accounts", "accounts:index", 60, Fact.MONEY, ("accounts",)),),
            checks=(
                checks.numbers_without_gaps,
                checks.sums_add_up,
                checks.sessions_within_the_sale,
            ),
        )
    )
