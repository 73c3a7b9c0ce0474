"""How to pay is printed on every invoice as it stood when that was issued."""

from __future__ import annotations

import subprocess
from datetime import date
from pathlib import Path

import pytest

from coach.billing.actions.invoices import credit, draft_invoice, issue
from coach.billing.documents import invoice_pdf
from coach.billing.models import Invoice
from coach.billing.papers import paper_of
from coach.billing.queries.invoices import invoice_page
from coach.billing.rules.values import Line
from coach.practice.actions import change_practice
from coach.practice.audit import SYSTEM
from coach.practice.models import Practice
from tests import factories


@pytest.fixture
def draft(practice: Practice) -> Invoice:
    change_practice(by=SYSTEM, practice=practice, how_to_pay="To the old account\nby the day above")
    lines = [Line("Four sessions", 1, 20000, 0)]
    return draft_invoice(by=SYSTEM, client=factories.client("Maeve"), lines=lines)


def printed(invoice: Invoice, today: date) -> tuple[str, ...]:
    return paper_of(invoice_page(invoice.uid, today), Practice.objects.get()).payment


def test_a_draft_shows_what_is_true_now_and_an_issued_one_what_was(
    draft: Invoice, today: date
) -> None:
    assert printed(draft, today) == ("To the old account", "by the day above")
    issue(by=SYSTEM, invoice=draft, today=today)
    change_practice(by=SYSTEM, practice=Practice.objects.get(), how_to_pay="To the new account")
    assert printed(draft, today) == ("To the old account", "by the day above")
    later = draft_invoice(by=SYSTEM, client=draft.client, lines=[Line("One", 1, 5000, 0)])
    assert printed(later, today) == ("To the new account",)


def test_nothing_is_asked_for_on_a_credit_note(draft: Invoice, today: date) -> None:
    issue(by=SYSTEM, invoice=draft, today=today)
    note = credit(by=SYSTEM, invoice=draft, reason="a mistake", today=today)
    assert printed(note, today) == ()


@pytest.mark.poppler
def test_it_stands_on_the_page_that_is_sent(draft: Invoice, today: date, tmp_path: Path) -> None:
    issue(by=SYSTEM, invoice=draft, today=today)
    file = tmp_path / "invoice.pdf"
    paper = paper_of(invoice_page(draft.uid, today), Practice.objects.get())
    file.write_bytes(invoice_pdf(paper))
    text = subprocess.run(
        ["pdftotext", "-layout", str(file), "-"], capture_output=True, text=True, check=True
    ).stdout
    assert "To the old account" in text
    assert "by the day above" in text
