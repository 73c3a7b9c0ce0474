"""Writes of invoices: drafts, numbers on issue only, and the credit note."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from clients.models import Client
from coach.billing.actions import invoices
from coach.billing.actions.shared import Refused
from coach.billing.models import Counter, Invoice, InvoiceLine
from coach.billing.queries.invoices import lines_of
from coach.billing.rules.values import Line, Party
from coach.practice import audit
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry, Practice
from tests import factories
from tests import factories_billing as made

TODAY = date(2026, 12, 3)


@pytest.fixture
def meret(practice: Practice) -> Client:
    return factories.client("Meret A.", email="meret@example.org")


def numbers() -> list[str | None]:
    return list(Invoice.objects.order_by("pk").values_list("number", flat=True))


def last_number(year: int = 2026) -> int:
    return Counter.objects.filter(year=year).values_list("last", flat=True).first() or 0


def sums(invoice: Invoice) -> tuple[int, int, int]:
    return invoice.net_minor, invoice.tax_minor, invoice.gross_minor


# Drafts


def test_a_draft_has_no_number_no_dates_and_no_seller(meret: Client) -> None:
    kept = Invoice.objects.get(pk=made.draft(meret).pk)
    assert kept.is_draft
    assert (kept.number, kept.pay_by, kept.seller_name) == (None, None, "")
    assert (kept.buyer_name, kept.currency, sums(kept)) == ("Meret A.", "EUR", (14634, 3366, 18000))
    assert (numbers(), last_number()) == ([None], 0)
    assert AuditEntry.objects.get().verb == "drafted"


def test_the_draft_of_a_sale_has_its_price_payer_and_period(meret: Client) -> None:
    sale = made.sale(meret, prices_include_tax=False)
    kept = invoices.draft_from_sale(by=SYSTEM, sale=sale)
    assert lines_of(kept) == [Line("Ten sessions", 1, 40_000, 2300)]
    assert (kept.client, kept.sale, kept.buyer_name) == (meret, sale, "Meret A.")
    assert kept.supplied == "3 December 2026 to 31 May 2027"
    assert sums(kept) == (40_000, 9_200, 49_200)


def test_a_sale_is_billed_once_until_its_invoice_is_credited(meret: Client) -> None:
    sale = made.sale(meret)
    draft = invoices.draft_from_sale(by=SYSTEM, sale=sale)
    with pytest.raises(Refused, match="on a draft already"):
        invoices.draft_from_sale(by=SYSTEM, sale=sale)
    invoices.issue(by=SYSTEM, invoice=draft, today=TODAY)
    with pytest.raises(Refused, match="on invoice 2026-00001 already"):
        invoices.draft_from_sale(by=SYSTEM, sale=sale)
    made.credited(draft)
    again = invoices.draft_from_sale(by=SYSTEM, sale=sale)
    assert (again.is_draft, Invoice.objects.count()) == (True, 3)


def test_a_draft_changes_lines_buyer_and_words(meret: Client) -> None:
    draft = made.draft(meret)
    invoices.change_draft(
        by=SYSTEM,
        invoice=draft,
        lines=[Line("Assessment", 2, 5_000, 0)],
        buyer=Party("Oran B."),
        prices_include_tax=False,
        pay_days=30,
        note="Thank you.",
    )
    kept = Invoice.objects.get()
    assert (kept.buyer_name, kept.pay_days, kept.note) == ("Oran B.", 30, "Thank you.")
    assert (lines_of(kept), sums(kept)) == ([Line("Assessment", 2, 5_000, 0)], (10_000, 0, 10_000))
    changed = ["buyer_email", "buyer_name", "lines", "note", "pay_days", "prices_include_tax"]
    assert AuditEntry.objects.latest("pk").fields == changed


def test_a_draft_keeps_its_lines_when_none_are_given(meret: Client) -> None:
    draft = made.draft(meret)
    invoices.change_draft(by=SYSTEM, invoice=draft, prices_include_tax=False)
    assert (InvoiceLine.objects.count(), sums(draft)) == (1, (18_000, 4_140, 22_140))


def test_wrong_lines_change_nothing(meret: Client) -> None:
    draft = made.draft(meret)
    with pytest.raises(Refused, match="Say what it is for"):
        invoices.change_draft(by=SYSTEM, invoice=draft, lines=[Line("", 1, 1, 0)], note="x")
    kept = Invoice.objects.get()
    assert (lines_of(kept), kept.note) == ([Line("Session 1", 1, 18_000, 2300)], "")


def test_a_discarded_draft_leaves_no_gap(meret: Client) -> None:
    draft = made.draft(meret)
    made.issued(meret)
    invoices.discard_draft(by=SYSTEM, invoice=draft)
    made.issued(meret)
    assert numbers() == ["2026-00001", "2026-00002"]


# Issue


def test_an_issued_invoice_holds_the_words_and_sums_of_that_day(
    practice: Practice, meret: Client
) -> None:
    Practice.objects.update(address="1 Strand Row\nGalway", tax_name="VAT", tax_number="IE0X")
    kept = Invoice.objects.get(pk=made.issued(meret).pk)
    Practice.objects.update(name="Another name")
    assert (kept.number, kept.year, kept.place) == ("2026-00001", 2026, 1)
    assert (kept.issued_on, kept.pay_by) == (TODAY, date(2026, 12, 17))
    assert (kept.seller_name, kept.seller_address) == (practice.name, "1 Strand Row\nGalway")
    assert (kept.tax_name, kept.tax_number, kept.gross_minor) == ("VAT", "IE0X", 18_000)
    assert AuditEntry.objects.latest("pk").verb == "issued"


def test_numbers_start_again_at_one_each_year_on_the_day_of_issue(meret: Client) -> None:
    for day in (date(2026, 12, 31), date(2026, 12, 31), date(2027, 1, 1)):
        made.issued(meret, on=day)
    assert numbers() == ["2026-00001", "2026-00002", "2027-00001"]


def test_a_failure_while_issuing_gives_the_number_back(
    meret: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    draft = made.draft(meret)

    def fail(**_: Any) -> None:
        raise OSError("the disk is full")

    with monkeypatch.context() as broken:
        broken.setattr(audit, "record", fail)
        with pytest.raises(OSError, match="disk"):
            invoices.issue(by=SYSTEM, invoice=draft, today=TODAY)
    assert (numbers(), last_number()) == ([None], 0)
    made.issued(meret)
    assert (numbers(), last_number()) == ([None, "2026-00001"], 1)


def test_a_refused_draft_takes_no_number(meret: Client) -> None:
    with pytest.raises(Refused, match="add a line"):
        made.issued(meret, of=[])
    with pytest.raises(Refused, match="needs a name"):
        made.issued(meret, buyer=Party(" "))
    assert last_number() == 0


def test_dates_rise_with_the_numbers(meret: Client) -> None:
    made.issued(meret)
    with pytest.raises(Refused, match="numbers follow the days"):
        made.issued(meret, on=date(2026, 12, 2))
    assert last_number() == 1


def test_what_is_issued_is_neither_issued_again_nor_changed_nor_discarded(meret: Client) -> None:
    invoice = made.issued(meret)
    for refused in (
        lambda: invoices.issue(by=SYSTEM, invoice=invoice, today=TODAY),
        lambda: invoices.change_draft(by=SYSTEM, invoice=invoice, note="x"),
        lambda: invoices.discard_draft(by=SYSTEM, invoice=invoice),
    ):
        with pytest.raises(Refused, match="it never changes"):
            refused()
    assert (numbers(), Invoice.objects.get().note) == (["2026-00001"], "")


# Credit


def test_a_credit_note_takes_the_whole_back_with_its_own_number(meret: Client) -> None:
    invoice = made.issued(meret, of=made.lines(1200, 999, tax_bp=700), note="Thank you.")
    invoices.credit(by=SYSTEM, invoice=invoice, reason="she moved away", today=TODAY)
    note = Invoice.objects.get(kind="credit note")
    assert (note.number, note.corrects, note.issued_on) == ("2026-00002", invoice, TODAY)
    assert (sums(note), lines_of(note)) == (sums(invoice), lines_of(invoice))
    assert (note.buyer_name, note.client, note.note) == ("Meret A.", meret, "")
    assert note.reason == "she moved away"
    assert AuditEntry.objects.latest("pk").verb == "credited"


def test_an_invoice_is_credited_once_and_with_a_reason(meret: Client) -> None:
    invoice = made.issued(meret)
    with pytest.raises(Refused, match="Say why"):
        invoices.credit(by=SYSTEM, invoice=invoice, reason=" ", today=TODAY)
    note = made.credited(invoice)
    with pytest.raises(Refused, match="credited already, by 2026-00002"):
        made.credited(invoice)
    with pytest.raises(Refused, match="cannot be credited"):
        made.credited(note)
    with pytest.raises(Refused, match="discarded, not credited"):
        made.credited(made.draft(meret))
    assert last_number() == 2
