"""The same form sent twice is kept once: each of these looks, under the lock, at what a form saw.

A form that writes a new row carries what stood when it was shown (`seen`). If that has changed
meanwhile, nothing is written and `AlreadyKept` says so.
"""

from __future__ import annotations

from datetime import date

from django.db import transaction

from clients.models import Client
from coach.billing.actions.invoices import draft_invoice, issue
from coach.billing.actions.payments import record_payment, record_refund
from coach.billing.actions.sales import sell, use_session
from coach.billing.actions.shared import lock, refuse_if
from coach.billing.models import Invoice, Package, Payment, Sale, SessionUse
from coach.billing.queries.invoices import bill_of
from coach.billing.queries.sales import standing_of
from coach.billing.rules.values import Line, Party
from coach.practice.audit import Actor


class AlreadyKept(ValueError):
    """What a form asks for stands already, or something else came before it; `uid` is whose page
    shows it."""

    def __init__(self, row: Sale | Invoice) -> None:
        super().__init__("kept already")
        self.uid = row.uid


@transaction.atomic
def pay_once(
    *,
    by: Actor,
    invoice: Invoice,
    seen: int,
    amount_minor: int,
    method: str,
    received_on: date,
    more_than_open: bool = False,
) -> Payment:
    """`record_payment`, if as much is paid as the form saw (`seen`, minor units)."""
    _as_seen(invoice, seen)
    return record_payment(
        by=by,
        invoice=invoice,
        amount_minor=amount_minor,
        method=method,
        received_on=received_on,
        more_than_open=more_than_open,
    )


@transaction.atomic
def refund_once(
    *, by: Actor, invoice: Invoice, seen: int, amount_minor: int, method: str, paid_on: date
) -> Payment:
    """`record_refund`, if as much is paid as the form saw (`seen`, minor units)."""
    _as_seen(invoice, seen)
    return record_refund(
        by=by, invoice=invoice, amount_minor=amount_minor, method=method, paid_on=paid_on
    )


def _as_seen(invoice: Invoice, seen: int) -> None:
    lock(invoice)
    if bill_of(invoice).paid_minor != seen:
        raise AlreadyKept(invoice)


@transaction.atomic
def use_once(*, by: Actor, sale: Sale, seen: int, on: date) -> SessionUse:
    """`use_session`, if as many sessions are used as the form saw."""
    lock(sale)
    if standing_of(sale).used != seen:
        raise AlreadyKept(sale)
    return use_session(by=by, sale=sale, on=on)


@transaction.atomic
def sell_once(
    *,
    by: Actor,
    seen: int,
    package: Package,
    client: Client,
    sold_on: date,
    starts_on: date | None,
    payer: Party,
) -> Sale:
    """`sell`, unless the same was sold to her for the same day since the sale numbered `seen`."""
    lock(package)
    same = Sale.objects.filter(
        pk__gt=seen, package=package, client=client, sold_on=sold_on, cancelled_on=None
    ).first()
    if same:
        raise AlreadyKept(same)
    return sell(
        by=by, package=package, client=client, sold_on=sold_on, starts_on=starts_on, payer=payer
    )


@transaction.atomic
def draft_once(
    *, by: Actor, seen: int, client: Client, buyer: Party, prices_include_tax: bool = True
) -> Invoice:
    """`draft_invoice`, unless an empty draft was begun for her since the paper numbered `seen`."""
    lock(client)
    drafts = Invoice.objects.filter(issued_on=None, sale=None, lines=None)
    same = drafts.filter(pk__gt=seen, client=client).first()
    if same:
        raise AlreadyKept(same)
    lines: tuple[Line, ...] = ()
    return draft_invoice(
        by=by, client=client, lines=lines, buyer=buyer, prices_include_tax=prices_include_tax
    )


@transaction.atomic
def issue_as_seen(*, by: Actor, invoice: Invoice, seen: str, today: date) -> Invoice:
    """`issue` just what was looked at: `seen` is the draft's changed_at, in ISO 8601."""
    lock(invoice)
    if not invoice.is_draft:
        raise AlreadyKept(invoice)
    refuse_if(
        ""
        if invoice.changed_at.isoformat() == seen
        else "It has changed since you looked at it: look again."
    )
    return issue(by=by, invoice=invoice, today=today)
