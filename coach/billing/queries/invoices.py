"""Reads of invoices: lists with what is open, one invoice whole, and what its rules ask for."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import BigIntegerField, F, Max, OuterRef, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce

from coach.billing.models import Invoice, Kind, Payment
from coach.billing.rules import receivables as rules
from coach.billing.rules.invoices import Draft, clean_number, missing
from coach.billing.rules.totals import Totals, totals
from coach.billing.rules.values import Line, Party
from coach.money import Money
from coach.practice.models import Practice
from coach.practice.queries import the_practice
from coach.scheduling.values import Finding


@dataclass(frozen=True, slots=True)
class InvoiceRow:
    """An invoice, draft or credit note as lists show it. `days_late` is nought unless overdue."""

    pk: int
    uid: uuid.UUID
    kind: str
    number: str
    client_id: int
    client: str
    buyer: str
    issued_on: date | None
    pay_by: date | None
    gross: Money
    paid: Money
    open: Money
    status: rules.Status
    days_late: int
    credit_number: str
    corrects_number: str


@dataclass(frozen=True, slots=True)
class PaymentRow:
    """Money received, or paid back (`is_refund`, `amount` below nothing), standing or reversed."""

    pk: int
    amount: Money
    method: str
    on: date
    is_refund: bool
    reversed: bool


@dataclass(frozen=True, slots=True)
class InvoicePage:
    """One paper whole. `invoice.corrects` and its credit note come with it.

    `missing`: what a draft should say and does not.
    """

    invoice: Invoice
    row: InvoiceRow
    lines: list[Line]
    sums: Totals
    payments: list[PaymentRow]
    credit_note: Invoice | None
    missing: list[Finding]


def invoices(
    today: date, *, show: str = "", client_id: int | None = None, search: str = ""
) -> list[InvoiceRow]:
    """Papers, drafts first and then the newest, in one query whatever their number.

    `show`: a key of rules.receivables.FILTERS; `search`: letters of a number or a name.
    """
    found = _with_sums(Invoice.objects.all())
    if client_id is not None:
        found = found.filter(client_id=client_id)
    wanted = rules.FILTERS[show]
    rows = [row for row in map(_row_on(today), found) if row.status in wanted]
    return [row for row in rows if _matches(row, search)]


def open_bills(today: date) -> list[InvoiceRow]:
    """What is still to be paid or paid back, the latest due first, in one query."""
    found = _with_sums(Invoice.objects.filter(kind=Kind.INVOICE, issued_on__isnull=False))
    not_settled = found.exclude(gross_minor=F("credited") + F("paid"))
    return sorted(map(_row_on(today), not_settled), key=lambda row: (row.pay_by, row.pk))


def aged(today: date) -> dict[str, dict[rules.Age, Money]]:
    """What is open by age, for each currency; in one query."""
    bills: dict[str, list[rules.Bill]] = {}
    found = _with_sums(Invoice.objects.filter(kind=Kind.INVOICE, issued_on__isnull=False))
    for invoice in found.exclude(gross_minor=F("credited") + F("paid")):
        bills.setdefault(invoice.currency, []).append(_bill(invoice))
    return {
        currency: {age: Money(sum_, currency) for age, sum_ in rules.aged(some, today).items()}
        for currency, some in sorted(bills.items())
    }


def invoice_page(uid: uuid.UUID, today: date) -> InvoicePage:
    """One paper whole, in four queries; Invoice.DoesNotExist for an unknown one."""
    found = _with_sums(Invoice.objects.select_related("corrects", "credit_note", "sale"))
    invoice = found.get(uid=uid)
    lines = lines_of(invoice)
    return InvoicePage(
        invoice=invoice,
        row=_row_on(today)(invoice),
        lines=lines,
        sums=totals(lines, prices_include_tax=invoice.prices_include_tax),
        payments=_payments_of(invoice),
        credit_note=getattr(invoice, "credit_note", None),
        missing=missing(draft_of(invoice, lines, the_practice())) if invoice.is_draft else [],
    )


def by_number(number: str) -> Invoice:
    """The paper with a number as printed, or typed without its noughts; else DoesNotExist."""
    return Invoice.objects.get(number=clean_number(number))


def lines_of(invoice: Invoice) -> list[Line]:
    """The lines as the rules see them, in their order."""
    rows = invoice.lines.order_by("place")
    return [Line(row.text, row.quantity, row.unit_minor, row.tax_bp) for row in rows]


def bill_of(invoice: Invoice) -> rules.Bill:
    """What is paid and credited of one invoice now, in one query."""
    return _bill(_with_sums(Invoice.objects.all()).get(pk=invoice.pk))


def draft_of(invoice: Invoice, lines: Sequence[Line], practice: Practice) -> Draft:
    """A draft with the seller as the practice is today."""
    return Draft(
        lines=lines,
        buyer=Party(invoice.buyer_name, invoice.buyer_address, invoice.buyer_email),
        seller=Party(practice.name, practice.address),
        tax_number=practice.tax_number,
        no_tax_reason=invoice.no_tax_reason,
    )


def last_day_of_issue() -> date | None:
    """The latest date on any paper issued; None before the first."""
    found: date | None = Invoice.objects.aggregate(last=Max("issued_on"))["last"]
    return found


def _with_sums(found: QuerySet[Invoice]) -> QuerySet[Invoice]:
    paid = Payment.objects.filter(invoice=OuterRef("pk")).order_by().values("invoice")
    return (
        found.select_related("client")
        .annotate(
            paid=Coalesce(
                Subquery(paid.values(sum=Sum("amount_minor")), output_field=BigIntegerField()), 0
            ),
            credited=Coalesce("credit_note__gross_minor", 0),
            credit_number=F("credit_note__number"),
            corrects_number=F("corrects__number"),
        )
        .order_by(F("issued_on").desc(nulls_first=True), "-place", "-pk")
    )


def _bill(invoice: Invoice) -> rules.Bill:
    sums: dict[str, Any] = vars(invoice)
    return rules.Bill(
        kind=invoice.kind,
        gross_minor=invoice.gross_minor,
        credited_minor=int(sums["credited"]),
        paid_minor=int(sums["paid"]),
        pay_by=invoice.pay_by,
        is_credited=sums["credit_number"] is not None,
    )


def _row_on(today: date) -> Callable[[Invoice], InvoiceRow]:
    def row(invoice: Invoice) -> InvoiceRow:
        bill, numbers = _bill(invoice), vars(invoice)
        status = rules.status(bill, today)
        pay_by = invoice.pay_by if status == rules.Status.OVERDUE else None
        return InvoiceRow(
            pk=invoice.pk,
            uid=invoice.uid,
            kind=invoice.kind,
            number=invoice.number or "",
            client_id=invoice.client_id,
            client=invoice.client.name,
            buyer=invoice.buyer_name,
            issued_on=invoice.issued_on,
            pay_by=invoice.pay_by,
            gross=Money(invoice.gross_minor, invoice.currency),
            paid=Money(bill.paid_minor, invoice.currency),
            open=Money(bill.open_minor, invoice.currency),
            status=status,
            days_late=rules.days_late(pay_by, today) if pay_by else 0,
            credit_number=numbers["credit_number"] or "",
            corrects_number=numbers["corrects_number"] or "",
        )

    return row


def _matches(row: InvoiceRow, search: str) -> bool:
    wanted = search.strip().casefold()
    return any(wanted in text.casefold() for text in (row.number, row.client, row.buyer))


def _payments_of(invoice: Invoice) -> list[PaymentRow]:
    rows = invoice.payments.filter(reverses=None).select_related("reversed_by")
    return [
        PaymentRow(
            row.pk,
            Money(row.amount_minor, invoice.currency),
            row.get_method_display(),
            row.received_on,
            is_refund=row.amount_minor < 0,
            reversed=hasattr(row, "reversed_by"),
        )
        for row in rows
    ]
