"""Cells of a table for spreadsheets. Pure."""

from __future__ import annotations

_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


def safe_cell(text: str) -> str:
    """The text, with a quote in front where a spreadsheet would take it for a formula.

    Source: OWASP, CSV injection.
    """
    return f"'{text}" if text.startswith(_FORMULA) else text
