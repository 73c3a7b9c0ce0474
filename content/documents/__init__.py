"""What is printed of classes: values in, bytes out."""

from __future__ import annotations

from content.rules.run_sheet import RunSheet


def run_sheet_pdf(sheet: RunSheet, practice: str) -> bytes:
    """A run sheet as a PDF; equal values give equal bytes."""
    from content.documents.run_sheet import run_sheet_pdf as pdf  # noqa: PLC0415  # slow part

    return pdf(sheet, practice)
