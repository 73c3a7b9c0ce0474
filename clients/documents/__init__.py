"""Letters that come in, as files, and those that go out, as paper. Values in, bytes out."""

from __future__ import annotations

from clients.rules.letter_words import LetterPaper
from clients.rules.report_paper import ReportPaper


def letter_pdf(paper: LetterPaper) -> bytes:
    """A letter to a clinician as a PDF; the same paper always gives the same bytes."""
    from clients.documents.letter import letter_pdf as printed  # noqa: PLC0415  # slow part

    return printed(paper)


def report_pdf(paper: ReportPaper) -> bytes:
    """A progress report as a PDF; the same paper always gives the same bytes."""
    from clients.documents.report import report_pdf as printed  # noqa: PLC0415  # slow part

    return printed(paper)
