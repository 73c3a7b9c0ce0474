"""Writes of money: received, paid back, and either taken back when it was a mistake."""

from __future__ import annotations

from datetime import date

from django.db import transaction

from coach.billing.actions.shared import lock, refuse_if, today_here
from coach.billing.models import Invoice, Payment
from coach.billing.queries.invoices import bill_of
from coach.billing.rules.invoices import against_paying
from coach.billing.rules.values import MOST_MINOR
from coach.money import Money
from coach.practice import audit
from coach.practice.audit import Actor


@transaction.atomic
def record_payment(
    *,
    by: Actor,
    invoice: Invoice,
    amount_minor: int,
    method: str,
    received_on: date,
    more_than_open: bool = False,
) -> Payment:
    """Record money received for an issued invoice, in its currency.

    Refused when it is more than what is open, unless `more_than_open` says that it really is.
    """
    _lock_for(invoice, amount_minor, received_on)
    still = bill_of(invoice).open_minor
    if amount_minor > still and not more_than_open:
        shown = Money(max(0, still), invoice.currency).shown()
        refuse_if(f"That is more than what is open, {shown}.", "amount_minor")
    return _keep(by, "received", invoice, amount_minor, method, received_on)


@transaction.atomic
def record_refund(
    *, by: Actor, invoice: Invoice, amount_minor: int, method: str, paid_on: date
) -> Payment:
    """Record money paid back, a positive amount; Refused when more than was paid."""
    _lock_for(invoice, amount_minor, paid_on, day_field="paid_on")
    paid = bill_of(invoice).paid_minor
    if amount_minor > paid:
        shown = Money(paid, invoice.currency).shown()
        refuse_if(f"That is more than was paid, {shown}.", "amount_minor")
    return _keep(by, "paid back", invoice, -amount_minor, method, paid_on)


@transaction.atomic
def reverse_payment(*, by: Actor, payment: Payment, reason: str) -> Payment:
    """Take a payment or refund back that was a mistake, with a row that reverses it; once only."""
    lock(payment.invoice)
    refuse_if("" if reason.strip() else "Say what was wrong with it.", "reason")
    refuse_if("That row takes one back already." if payment.reverses_id else "")
    again = Payment.objects.filter(reverses=payment).exists()
    refuse_if("That payment is taken back already." if again else "")
    row = Payment.objects.create(
        invoice=payment.invoice,
        amount_minor=-payment.amount_minor,
        method=payment.method,
        received_on=payment.received_on,
        reverses=payment,
        reason=reason.strip(),
    )
    audit.record(
        by=by,
        verb="reversed a payment of",
        subject=payment.invoice,
        fields=("payments",),
        reason=reason,
    )
    return row


def _lock_for(
    invoice: Invoice, amount_minor: int, day: date, day_field: str = "received_on"
) -> None:
    lock(invoice)
    refuse_if("" if amount_minor > 0 else "Write an amount above nothing.", "amount_minor")
    refuse_if("" if amount_minor <= MOST_MINOR else "That is too much.", "amount_minor")
    sentence = against_paying(
        kind=invoice.kind, issued_on=invoice.issued_on, received_on=day, today=today_here()
    )
    refuse_if(sentence, "" if invoice.issued_on is None else day_field)


def _keep(
    by: Actor, verb: str, invoice: Invoice, amount_minor: int, method: str, day: date
) -> Payment:
    row = Payment.objects.create(
        invoice=invoice, amount_minor=amount_minor, method=method, received_on=day
    )
    audit.record(by=by, verb=f"{verb} money for", subject=invoice, fields=("payments",))
    return row
