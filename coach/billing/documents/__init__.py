"""Papers that leave the house: values in, bytes out. No rows, no settings, no clock."""

from __future__ import annotations

from coach.billing.documents.values import InvoicePaper


def invoice_pdf(paper: InvoicePaper) -> bytes:
    """The invoice or credit note as a PDF; the same paper always gives the same bytes."""
    from coach.billing.documents.invoice import invoice_pdf as printed  # noqa: PLC0415  # slow part

    return printed(paper)


def uncovered(text: str) -> set[str]:
    """The characters of a text that no font of ours can print: they come out as empty boxes."""
    from coach.practice.print.faces import uncovered as found  # noqa: PLC0415  # slow part

    return found(text)
