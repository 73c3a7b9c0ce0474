"""An invoice or credit note on paper: which blocks it is made of, from masthead to notes."""

from __future__ import annotations

from coach.billing.documents.head import again, masthead, parties, section
from coach.billing.documents.sums import table, totals
from coach.billing.documents.values import InvoicePaper, PaperSize
from coach.billing.documents.words import called, language
from coach.practice.print.faces import clean
from coach.practice.print.paper import A4, LETTER, About, Block, Sheet, in_pages, printed, tied

SHEETS = {PaperSize.A4: A4, PaperSize.LETTER: LETTER}


def invoice_pdf(paper: InvoicePaper) -> bytes:
    """The invoice or credit note as a PDF; the same paper always gives the same bytes."""
    sheet = SHEETS[paper.size]
    pages = in_pages(_blocks(paper, sheet), again(paper, sheet), sheet.room)
    name, seller = clean(called(paper)), clean(paper.seller[0] if paper.seller else "")
    foot = " · ".join(part for part in (seller, name) if part)
    return printed(pages, sheet, About(name, seller, language(paper), foot, paper.issued_on))


def _blocks(paper: InvoicePaper, sheet: Sheet) -> list[Block]:
    *rows, last = table(paper, sheet)
    return [
        *masthead(paper, sheet),
        *parties(paper, sheet),
        *rows,
        *tied([last, totals(paper, sheet)]),
        *section("How to pay", paper.payment, sheet),
        *section("Notes", paper.notes, sheet),
    ]
