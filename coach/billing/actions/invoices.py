"""Writes of invoices: draft, change, discard; issue and credit, each of which takes a number."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import Any

from django.db import transaction

from clients.models import Client
from coach import clock
from coach.billing import numbering
from coach.billing.actions.shared import lock, refuse_any, refuse_if
from coach.billing.models import Invoice, InvoiceLine, Kind, Sale
from coach.billing.queries.invoices import draft_of, last_day_of_issue, lines_of
from coach.billing.queries.sales import billed_as
from coach.billing.rules import invoices as rules
from coach.billing.rules.packages import supplied_words
from coach.billing.rules.totals import totals
from coach.billing.rules.values import PAY_DAYS, Line, Party, line_problems
from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.queries import the_practice
from coach.practice.writing import change

_ISSUED_ALREADY = "It is issued: it never changes. Credit it and write a new one."
_TEXTS = ("supplied", "no_tax_reason", "note")


@transaction.atomic
def draft_invoice(
    *,
    by: Actor,
    client: Client,
    lines: Sequence[Line] = (),
    buyer: Party | None = None,
    prices_include_tax: bool = True,
    pay_days: int = PAY_DAYS,
    **texts: str,
) -> Invoice:
    """Begin an invoice in the practice's currency; without `buyer` the client pays.

    `texts`: any of supplied, no_tax_reason, note. Refused when a line cannot be.
    """
    invoice = Invoice(
        client=client,
        currency=the_practice().currency,
        prices_include_tax=prices_include_tax,
        pay_days=pay_days,
        **_buyer_fields(buyer or Party(client.name, email=client.email)),
        **{name: texts[name] for name in _TEXTS if name in texts},
    )
    return _begin(by, invoice, lines)


@transaction.atomic
def draft_from_sale(*, by: Actor, sale: Sale, pay_days: int = PAY_DAYS) -> Invoice:
    """Begin the invoice of a sale: its price, its payer, its period. Refused when it is cancelled,
    or on a draft or an invoice already that is not credited."""
    lock(sale)
    refuse_if("This sale was cancelled." if sale.cancelled_on else "")
    billed = billed_as(sale)
    refuse_if(f"This sale is on {billed} already." if billed else "")
    invoice = Invoice(
        client=sale.client,
        sale=sale,
        currency=sale.currency,
        prices_include_tax=sale.prices_include_tax,
        pay_days=pay_days,
        supplied=supplied_words(sale.starts_on, sale.last_day),
        **_buyer_fields(Party(sale.payer_name, sale.payer_address, sale.payer_email)),
    )
    return _begin(by, invoice, [Line(sale.title, 1, sale.price_minor, sale.tax_bp)])


@transaction.atomic
def change_draft(
    *,
    by: Actor,
    invoice: Invoice,
    lines: Sequence[Line] | None = None,
    buyer: Party | None = None,
    **values: Any,
) -> Invoice:
    """Change a draft; lines, when given, replace all it had. Refused once it is issued.

    `values`: any of prices_include_tax, pay_days, supplied, no_tax_reason, note.
    """
    _lock_draft(invoice)
    refuse_any(line_problems(lines or ()))
    if buyer:
        values |= _buyer_fields(buyer)
    changed = change(invoice, **values)
    if lines is not None and list(lines) != lines_of(invoice):
        invoice.lines.all().delete()
        _write_lines(invoice, lines)
        # Even where the sums stay: by this a form sees that the draft has changed.
        invoice.changed_at = clock.now()
        invoice.save(update_fields=["changed_at"])
        changed.append("lines")
    change(invoice, **_sums(invoice, lines_of(invoice)))
    audit.record(by=by, verb="changed", subject=invoice, fields=changed)
    return invoice


@transaction.atomic
def discard_draft(*, by: Actor, invoice: Invoice) -> None:
    """Throw a draft away: it never had a number. Refused once it is issued."""
    _lock_draft(invoice)
    audit.record(by=by, verb="discarded", subject=invoice)
    invoice.delete()


@transaction.atomic
def issue(*, by: Actor, invoice: Invoice, today: date) -> Invoice:
    """Give a draft its number and freeze it: seller, dates and sums as they are today.

    Refused when it is issued already, has no line or no buyer, or is dated before another issued.
    """
    _lock_draft(invoice)
    _give_number(invoice, today)
    audit.record(by=by, verb="issued", subject=invoice, fields=("number", "issued_on", "pay_by"))
    return invoice


@transaction.atomic
def credit(*, by: Actor, invoice: Invoice, reason: str, today: date) -> Invoice:
    """Take an issued invoice back whole: a credit note with its own number and positive amounts.

    What was paid stays on the invoice, to be paid back. Refused without a reason, and twice.
    """
    lock(invoice)
    refuse_if("" if reason.strip() else "Say why: the reason is kept, not printed.", "reason")
    before = Invoice.objects.filter(corrects=invoice).first()
    refuse_if(
        rules.against_crediting(
            kind=invoice.kind,
            number=invoice.number,
            credit_number=before.number if before else None,
        )
    )
    note = _credit_note_of(invoice, reason.strip())
    note.save()
    _write_lines(note, lines_of(invoice))
    _give_number(note, today)
    fields = ("corrects", "number", "issued_on")
    audit.record(by=by, verb="credited", subject=invoice, fields=fields, reason=reason)
    return note


def _begin(by: Actor, invoice: Invoice, lines: Sequence[Line]) -> Invoice:
    refuse_any(line_problems(lines))
    for name, value in _sums(invoice, lines).items():
        setattr(invoice, name, value)
    invoice.save()
    _write_lines(invoice, lines)
    audit.record(by=by, verb="drafted", subject=invoice, fields=("buyer_name", "lines"))
    return invoice


def _lock_draft(invoice: Invoice) -> None:
    lock(invoice)
    refuse_if("" if invoice.is_draft else _ISSUED_ALREADY)


def _give_number(invoice: Invoice, today: date) -> None:
    """The last steps before the end of the transaction: others wait for the counter from here."""
    practice, lines = the_practice(), lines_of(invoice)
    place = numbering.next_place(today.year)
    draft = draft_of(invoice, lines, practice)
    refuse_if(rules.against_issuing(draft, today=today, latest=last_day_of_issue()))
    change(
        invoice,
        year=today.year,
        place=place,
        number=rules.number_words(today.year, place),
        issued_on=today,
        pay_by=today + timedelta(days=invoice.pay_days),
        seller_name=practice.name,
        seller_address=practice.address,
        how_to_pay=practice.how_to_pay,
        tax_name=practice.tax_name,
        tax_number=practice.tax_number,
        **_sums(invoice, lines),
    )


def _credit_note_of(invoice: Invoice, reason: str) -> Invoice:
    same = (
        "client",
        "sale",
        "currency",
        "prices_include_tax",
        "buyer_name",
        "buyer_email",
        "buyer_address",
        *_TEXTS[:2],
    )
    return Invoice(
        kind=Kind.CREDIT_NOTE,
        corrects=invoice,
        pay_days=0,
        reason=reason,
        **{name: getattr(invoice, name) for name in same},
    )


def _buyer_fields(buyer: Party) -> dict[str, str]:
    return {
        "buyer_name": buyer.name.strip(),
        "buyer_email": buyer.email,
        "buyer_address": buyer.address,
    }


def _write_lines(invoice: Invoice, lines: Iterable[Line]) -> None:
    InvoiceLine.objects.bulk_create(
        InvoiceLine(
            invoice=invoice,
            place=place,
            text=line.text.strip(),
            quantity=line.quantity,
            unit_minor=line.unit_minor,
            tax_bp=line.tax_bp,
        )
        for place, line in enumerate(lines, start=1)
    )


def _sums(invoice: Invoice, lines: Sequence[Line]) -> dict[str, int]:
    summed = totals(lines, prices_include_tax=invoice.prices_include_tax)
    return {
        "net_minor": summed.net_minor,
        "tax_minor": summed.tax_minor,
        "gross_minor": summed.gross_minor,
    }
