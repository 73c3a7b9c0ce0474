"""Packages, sales and invoices for tests, made with as little as the test needs to say."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from clients.models import Client
from coach.billing.actions import invoices, payments, sales
from coach.billing.models import Invoice, Package, Payment, Sale
from coach.billing.rules.values import Line
from coach.practice.audit import SYSTEM
from tests import factories

TODAY = date(2026, 12, 3)


def package(title: str = "Ten sessions", **values: Any) -> Package:
    """Ten sessions for €400 with 23 % tax in it, valid for 180 days, unless said otherwise."""
    defaults = {
        "kind": "sessions",
        "count": 10,
        "price_minor": 40_000,
        "currency": "EUR",
        "tax_bp": 2300,
        "validity_days": 180,
    }
    return Package.objects.create(title=title, **{**defaults, **values})


def sale(
    client: Client | None = None,
    *,
    of: Package | None = None,
    sold_on: date = TODAY,
    starts_on: date | None = None,
    **values: Any,
) -> Sale:
    """A sale to a client, of a package of its own unless one is named."""
    return sales.sell(
        by=SYSTEM,
        package=of or package(**values),
        client=client or factories.client(),
        sold_on=sold_on,
        starts_on=starts_on,
    )


def lines(*gross: int, tax_bp: int = 2300) -> list[Line]:
    """Lines of one piece each at these prices."""
    return [Line(f"Session {n}", 1, minor, tax_bp) for n, minor in enumerate(gross, start=1)]


def draft(
    client: Client | None = None, *, of: Sequence[Line] | None = None, **values: Any
) -> Invoice:
    """A draft of one line of €180 with 23 % tax in it, unless said otherwise."""
    wanted = lines(18_000) if of is None else of
    return invoices.draft_invoice(
        by=SYSTEM, client=client or factories.client(), lines=wanted, **values
    )


def issued(client: Client | None = None, *, on: date = TODAY, **values: Any) -> Invoice:
    """An issued invoice; its draft as above."""
    return invoices.issue(by=SYSTEM, invoice=draft(client, **values), today=on)


def credited(of: Invoice, *, on: date = TODAY) -> Invoice:
    """The credit note of an issued invoice."""
    return invoices.credit(by=SYSTEM, invoice=of, reason="billed twice", today=on)


def paid(of: Invoice, minor: int | None = None, *, on: date = TODAY) -> Payment:
    """A payment for an invoice, of the whole unless said otherwise."""
    return payments.record_payment(
        by=SYSTEM,
        invoice=of,
        amount_minor=of.gross_minor if minor is None else minor,
        method="transfer",
        received_on=on,
    )
