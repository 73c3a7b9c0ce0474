"""What stands on an invoice or credit note, as plain values; no row and no clock is read."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum


class PaperTitle(StrEnum):
    """The two documents; the value is what the paper is headed with."""

    INVOICE = "Invoice"
    CREDIT_NOTE = "Credit note"


class PaperSize(StrEnum):
    """What the seller's printer holds."""

    A4 = "a4"
    LETTER = "letter"


@dataclass(frozen=True, slots=True)
class PaperLine:
    """One thing sold: how many, the price of one before tax, the tax rate in hundredths of a
    percent (2300 is 23 %), and the net amount of the line. Money is in minor units."""

    text: str
    quantity: int
    unit_minor: int
    tax_bp: int
    net_minor: int


@dataclass(frozen=True, slots=True)
class PaperTax:
    """What one tax rate comes to: the net amount it is taken of, and the tax."""

    name: str
    bp: int
    net_minor: int
    tax_minor: int


@dataclass(frozen=True, slots=True)
class InvoicePaper:
    """An invoice or credit note as printed; amounts in minor units of `currency` (ISO 4217).

    The first of the seller's and of the buyer's lines is the name. A paper
    without a number is a draft and says so. A credit note's amounts are
    positive; `corrects` names the invoice it takes back, `corrects_on` its date.
    """

    number: str
    issued_on: date | None
    seller: tuple[str, ...]
    buyer: tuple[str, ...]
    lines: tuple[PaperLine, ...]
    taxes: tuple[PaperTax, ...]
    net_minor: int
    tax_minor: int
    gross_minor: int
    paid_minor: int
    open_minor: int
    currency: str
    pay_by: date | None = None
    title: PaperTitle = PaperTitle.INVOICE
    supplied: str = ""
    """The day or period of the supply, in words, where it isn't the day of issue."""
    seller_tax_number: str = ""
    buyer_tax_number: str = ""
    no_tax_reason: str = ""
    """Why no tax is charged; without one the paper says only that none is."""
    payment: tuple[str, ...] = ()
    """How to pay: account, reference, a sentence."""
    notes: tuple[str, ...] = ()
    corrects: str = ""
    corrects_on: date | None = None
    size: PaperSize = PaperSize.A4
    locale: str = "en_IE"
    """How amounts are written, a Babel locale; the words stay English."""
