"""The words and figures on the paper: amounts, rates, dates and what the sums are called."""

from __future__ import annotations

import re
from datetime import date

from babel.dates import format_date

from coach.billing.documents.values import InvoicePaper, PaperTitle
from coach.money import Money

SUMS = {
    PaperTitle.INVOICE: ("Total", "Paid", "Still open"),
    PaperTitle.CREDIT_NOTE: ("Total credited", "Paid back", "Still to pay back"),
}
"""What the gross amount, the amount paid and the amount open are called."""

DRAFT = "Draft"


def called(paper: InvoicePaper) -> str:
    """The document's name: "Invoice 2026-00012", or "Draft invoice" while it has no number."""
    if paper.number:
        return f"{paper.title} {paper.number}"
    return f"{DRAFT} {paper.title.lower()}"


def beneath(paper: InvoicePaper) -> str:
    """The sentence under the title: what a credit note takes back, or that this is a draft."""
    if not paper.number:
        return f"This is a draft. It becomes the {paper.title.lower()} when it is given its number."
    if not paper.corrects:
        return ""
    dated = f" of {day(paper.corrects_on, paper.locale)}" if paper.corrects_on else ""
    return f"This credits invoice {paper.corrects}{dated}."


def amount(minor: int, paper: InvoicePaper) -> str:
    """The amount with its currency as the paper's locale writes it, with a true minus sign.

    A currency written in letters is parted from the figures, as Unicode's locale data asks.
    """
    shown = Money(minor, paper.currency).shown(paper.locale).replace("-", "−")
    return re.sub(r"(?<=[A-Za-z])(?=\d)", "\u00a0", shown)


def rate(basis_points: int) -> str:
    """A rate given in hundredths of a percent: 1350 is "13.5%"."""
    whole, rest = divmod(basis_points, 100)
    return f"{whole}.{rest:02d}".rstrip("0").rstrip(".") + "%"


def day(on: date, locale: str) -> str:
    """The date with its month in English, since the paper's words are English."""
    return str(format_date(on, "long", locale=locale if locale.startswith("en") else "en_GB"))


def language(paper: InvoicePaper) -> str:
    """The language of the words, as the file states it (BCP 47)."""
    return paper.locale.replace("_", "-") if paper.locale.startswith("en") else "en"


def taxed(paper: InvoicePaper) -> bool:
    """Whether any rate above zero, or any tax at all, is on the paper."""
    return paper.tax_minor != 0 or any(tax.bp for tax in paper.taxes)


def no_tax(paper: InvoicePaper) -> str:
    """The reason given for charging no tax; where none is charged and none is given, just that."""
    if paper.no_tax_reason or taxed(paper):
        return paper.no_tax_reason
    return f"No tax is charged on this {paper.title.lower()}."
