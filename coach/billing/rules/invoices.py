"""What may be done with an invoice and when, its number, and what it should say. Pure."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from coach.billing.rules.packages import in_words
from coach.billing.rules.values import CREDIT_NOTE, Line, Party
from coach.scheduling.values import Finding, Severity

_SOURCE = "Directive 2006/112/EC, Art. 226 (in other countries ask what the law there asks)"
EARLIEST_PAYMENT_DAYS = 366  # before the invoice: catches a mistyped year, common practice


@dataclass(frozen=True, slots=True)
class Draft:
    """A draft as it would be issued: `seller` and `tax_number` are the practice's of today."""

    lines: Sequence[Line]
    buyer: Party
    seller: Party
    tax_number: str
    no_tax_reason: str


def number_words(year: int, place: int) -> str:
    """The number as printed: "2026-00042". One series a year for invoices and credit notes."""
    return f"{year}-{place:05}"


def clean_number(typed: str) -> str:
    """A number as somebody types it, as printed: "2026-42" is "2026-00042"; else unchanged."""
    found = re.fullmatch(r"\s*(\d{4})\s*[-/]\s*(\d{1,9})\s*", typed)
    return number_words(int(found[1]), int(found[2])) if found else typed.strip()


def against_issuing(draft: Draft, *, today: date, latest: date | None) -> str:
    """Why a draft cannot be issued; empty when it can. `latest`: the last day of issue so far.

    Dates rise with the numbers: common practice, no source.
    """
    if not draft.lines:
        return "There is nothing on it yet: add a line."
    if not draft.buyer.name.strip():
        return "Say who pays: an invoice needs a name."
    if latest and today < latest:
        return f"One is issued already with the date {in_words(latest)}: numbers follow the days."
    return ""


def missing(draft: Draft) -> list[Finding]:
    """What the invoice should say and does not; it may be issued all the same."""
    taxed = any(line.tax_bp for line in draft.lines)
    said = (
        (not draft.seller.address.strip(), "Your practice has no address yet."),
        (not draft.buyer.address.strip(), "The payer has no address."),
        (taxed and not draft.tax_number.strip(), "Tax is charged, and no tax number is given."),
        (
            bool(draft.lines) and not taxed and not draft.no_tax_reason.strip(),
            "No tax is charged, and the invoice does not say why.",
        ),
    )
    return [
        Finding("invoice", Severity.CAUTION, sentence, _SOURCE) for is_so, sentence in said if is_so
    ]


def against_crediting(*, kind: str, number: str | None, credit_number: str | None) -> str:
    """Why a paper cannot be credited; empty when it can. A credit note takes back the whole."""
    if kind == CREDIT_NOTE:
        return "A credit note cannot be credited: write a new invoice."
    if number is None:
        return "A draft is discarded, not credited."
    return f"It is credited already, by {credit_number}." if credit_number else ""


def against_paying(*, kind: str, issued_on: date | None, received_on: date, today: date) -> str:
    """Why money cannot be recorded for a paper on a day; empty when it can.

    Money may have come before the invoice was written.
    """
    if issued_on is None:
        return "Issue it first: a draft is not paid."
    if kind == CREDIT_NOTE:
        return "Record it on the invoice that this credit note corrects."
    if received_on > today:
        return "That day is still to come."
    if received_on < issued_on - timedelta(days=EARLIEST_PAYMENT_DAYS):
        return "That is more than a year before the invoice."
    return ""
