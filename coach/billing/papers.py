"""Rows to values: what of an invoice is printed. No stage, no health, nothing of her classes."""

from __future__ import annotations

from dataclasses import dataclass

from coach.billing.documents import words
from coach.billing.documents.values import (
    InvoicePaper,
    PaperLine,
    PaperSize,
    PaperTax,
    PaperTitle,
)
from coach.billing.models import Invoice, Kind
from coach.billing.queries.invoices import InvoicePage
from coach.practice.models import Practice

# Where office paper is Letter: common practice, no source.
_LETTER = frozenset(("US", "CA", "MX", "PH", "PR", "CL", "CO", "GT", "PA", "VE"))


def paper_of(page: InvoicePage, practice: Practice) -> InvoicePaper:
    """An invoice, draft or credit note as printed. A draft’s seller is the practice of today."""
    invoice, sums, is_credit = page.invoice, page.sums, page.invoice.kind == Kind.CREDIT_NOTE
    tax_name, tax_number = _tax_words(invoice, practice)
    return InvoicePaper(
        number=invoice.number or "",
        issued_on=invoice.issued_on,
        seller=_seller(invoice, practice),
        buyer=_party(invoice.buyer_name, invoice.buyer_address, invoice.buyer_email),
        lines=tuple(
            PaperLine(
                one.line.text, one.line.quantity, one.unit_net_minor, one.line.tax_bp, one.net_minor
            )
            for one in sums.lines
        ),
        taxes=tuple(
            PaperTax(tax_name, tax.tax_bp, tax.net_minor, tax.tax_minor) for tax in sums.taxes
        ),
        net_minor=sums.net_minor,
        tax_minor=sums.tax_minor,
        gross_minor=sums.gross_minor,
        paid_minor=page.row.paid.minor,
        open_minor=page.row.open.minor,
        currency=invoice.currency,
        pay_by=None if is_credit else invoice.pay_by,
        title=PaperTitle.CREDIT_NOTE if is_credit else PaperTitle.INVOICE,
        supplied=invoice.supplied,
        seller_tax_number=tax_number,
        no_tax_reason=invoice.no_tax_reason,
        payment=() if is_credit else _how_to_pay(invoice, practice),
        notes=tuple(invoice.note.splitlines()),
        corrects=page.row.corrects_number,
        corrects_on=invoice.corrects.issued_on if invoice.corrects else None,
        size=PaperSize.LETTER if practice.country in _LETTER else PaperSize.A4,
    )


def _tax_words(invoice: Invoice, practice: Practice) -> tuple[str, str]:
    """What the tax is called and the seller’s number for it."""
    source = practice if invoice.is_draft else invoice
    return source.tax_name or "Tax", source.tax_number


def _seller(invoice: Invoice, practice: Practice) -> tuple[str, ...]:
    if invoice.is_draft:
        return _party(practice.name, practice.address)
    return _party(invoice.seller_name, invoice.seller_address)


def _how_to_pay(invoice: Invoice, practice: Practice) -> tuple[str, ...]:
    source = practice if invoice.is_draft else invoice
    return _party("", source.how_to_pay)


def _party(name: str, address: str, email: str = "") -> tuple[str, ...]:
    lines = [name, *address.splitlines(), email]
    return tuple(line.strip() for line in lines if line.strip())


@dataclass(frozen=True, slots=True)
class LineWords:
    """A line as a page prints it."""

    text: str
    quantity: int
    unit: str
    rate: str
    net: str


@dataclass(frozen=True, slots=True)
class TaxWords:
    """What one rate comes to, as a page prints it."""

    name: str
    net: str
    tax: str


@dataclass(frozen=True, slots=True)
class PaperWords:
    """A paper as a page prints it: the same figures, in the same words, as its PDF."""

    seller: tuple[str, ...]
    buyer: tuple[str, ...]
    lines: tuple[LineWords, ...]
    taxes: tuple[TaxWords, ...]
    taxed: bool
    no_tax: str
    net: str
    tax: str
    gross: str


def in_words(paper: InvoicePaper) -> PaperWords:
    """The figures of a paper with their currency."""

    def money(minor: int) -> str:
        return words.amount(minor, paper)

    return PaperWords(
        seller=paper.seller,
        buyer=paper.buyer,
        lines=tuple(
            LineWords(
                one.text,
                one.quantity,
                money(one.unit_minor),
                words.rate(one.tax_bp),
                money(one.net_minor),
            )
            for one in paper.lines
        ),
        taxes=tuple(
            TaxWords(f"{tax.name} {words.rate(tax.bp)}", money(tax.net_minor), money(tax.tax_minor))
            for tax in paper.taxes
        ),
        taxed=words.taxed(paper),
        no_tax=words.no_tax(paper) if paper.lines else "",
        net=money(paper.net_minor),
        tax=money(paper.tax_minor),
        gross=money(paper.gross_minor),
    )
