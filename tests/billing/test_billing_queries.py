"""Reads of packages, sales and invoices: the words and sums that pages show."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from clients.models import Client
from coach.billing.actions import invoices as writes
from coach.billing.actions.packages import retire_package
from coach.billing.actions.payments import record_refund, reverse_payment
from coach.billing.actions.sales import cancel_sale, undo_use, use_session
from coach.billing.models import Invoice, Sale
from coach.billing.queries import invoices, packages, sales, summary
from coach.billing.rules.packages import SaleState
from coach.billing.rules.receivables import Age, Status
from coach.money import Money
from coach.practice.audit import SYSTEM
from coach.practice.models import Practice
from tests import factories
from tests import factories_billing as made

TODAY = date(2026, 12, 3)
NOTHING = Money(0, "EUR")


def ago(days: int) -> date:
    return TODAY - timedelta(days=days)


@pytest.fixture
def meret(practice: Practice) -> Client:
    return factories.client("Meret A.")


# Packages and sales


def test_packages_say_how_often_they_were_sold(meret: Client) -> None:
    ten, old = made.package("Ten"), made.package("Old")
    made.sale(meret, of=ten)
    cancel_sale(by=SYSTEM, sale=made.sale(meret, of=ten), reason="twice")
    retire_package(by=SYSTEM, package=old)
    (row,) = packages.packages()
    assert (row.title, row.price, row.tax_bp, row.sold) == ("Ten", Money(40_000, "EUR"), 2300, 1)
    assert [row.title for row in packages.packages(retired=True)] == ["Old"]
    assert [row.title for row in packages.packages(retired=None)] == ["Ten", "Old"]


def test_a_sale_says_what_is_left_and_on_which_paper_it_is(meret: Client) -> None:
    sale = made.sale(meret, sold_on=ago(9), validity_days=10)
    undo_use(by=SYSTEM, use=use_session(by=SYSTEM, sale=sale, on=TODAY))
    use_session(by=SYSTEM, sale=sale, on=ago(3))
    (row,) = sales.sales(TODAY)
    assert (row.client, row.title, row.price) == (
        "Meret A.",
        "Ten sessions",
        Money(40_000, "EUR"),
    )
    assert (row.used, row.left, row.days_left, row.state) == (1, 9, 1, SaleState.RUNNING)
    assert (row.billed, row.bill) == ("", None)
    draft = writes.draft_from_sale(by=SYSTEM, sale=sale)
    assert [(row.billed, row.bill) for row in sales.sales(TODAY)] == [("a draft", draft.uid)]
    writes.issue(by=SYSTEM, invoice=draft, today=TODAY)
    assert [row.billed for row in sales.sales(TODAY)] == ["invoice 2026-00001"]
    made.credited(draft)
    assert [(row.billed, row.bill) for row in sales.sales(TODAY)] == [("", None)]


def test_sales_are_narrowed_by_client_and_word(meret: Client) -> None:
    made.sale(meret, sold_on=ago(40), validity_days=30)
    made.sale(sold_on=ago(1))
    made.sale(meret, sold_on=ago(2))
    days = [row.sold_on for row in sales.sales(TODAY, client_id=meret.pk)]
    assert days == [ago(2), ago(40)]
    (over,) = sales.sales(TODAY, states=[SaleState.RUN_OUT])
    assert (over.sold_on, over.days_left) == (ago(40), 0)


def test_the_page_of_a_sale_folds_in_what_was_taken_back(meret: Client) -> None:
    sale = made.sale(meret, sold_on=ago(9), validity_days=5)
    undo_use(by=SYSTEM, use=use_session(by=SYSTEM, sale=sale, on=ago(6)))
    use_session(by=SYSTEM, sale=sale, on=ago(2))
    page = sales.sale_page(sale.uid, TODAY)
    assert (page.row.used, page.sale) == (1, sale)
    assert [(use.on, use.late, use.taken_back) for use in page.uses] == [
        (ago(2), True, False),
        (ago(6), False, True),
    ]
    with pytest.raises(Sale.DoesNotExist):
        sales.sale_page(uuid.uuid4(), TODAY)


# Invoices


@pytest.fixture
def every_kind(meret: Client) -> dict[str, Invoice]:
    """One paper of each word, oldest first; each of €180, payable within 14 days."""
    found = {"overdue": made.issued(meret, on=ago(20))}
    found["paid"] = made.issued(on=ago(19))
    made.paid(found["paid"])
    found["to be paid back"] = made.issued(on=ago(18))
    made.paid(found["to be paid back"], 5_000)
    made.credited(found["to be paid back"], on=ago(17))
    found["credited"] = made.issued(on=ago(17))
    made.credited(found["credited"], on=ago(16))
    found["open"] = made.issued(on=ago(2))
    made.paid(found["open"], 8_000)
    found["draft"] = made.draft()
    return found


def test_papers_are_listed_drafts_first_and_then_the_newest(every_kind: Any) -> None:
    assert [(row.number, str(row.status)) for row in invoices.invoices(TODAY)] == [
        ("", "draft"),
        ("2026-00007", "open"),
        ("2026-00006", "credit note"),
        ("2026-00005", "credited"),
        ("2026-00004", "credit note"),
        ("2026-00003", "to be paid back"),
        ("2026-00002", "paid"),
        ("2026-00001", "overdue"),
    ]


def test_a_line_says_what_is_open_and_how_late(every_kind: Any) -> None:
    rows = {row.number: row for row in invoices.invoices(TODAY)}
    late, part, back = rows["2026-00001"], rows["2026-00007"], rows["2026-00003"]
    assert (late.open, late.days_late, late.client) == (Money(18_000, "EUR"), 6, "Meret A.")
    assert (part.open, part.paid, part.days_late) == (
        Money(10_000, "EUR"),
        Money(8_000, "EUR"),
        0,
    )
    assert (back.open, back.credit_number) == (Money(-5_000, "EUR"), "2026-00004")
    assert rows["2026-00004"].corrects_number == "2026-00003"


@pytest.mark.parametrize(
    ("show", "words"),
    [
        ("draft", [Status.DRAFT]),
        ("open", [Status.OPEN, Status.TO_PAY_BACK, Status.OVERDUE]),
        ("overdue", [Status.OVERDUE]),
        ("paid", [Status.PAID]),
        ("credited", [Status.CREDIT_NOTE, Status.CREDITED, Status.CREDIT_NOTE]),
    ],
)
def test_papers_are_narrowed_by_their_word(every_kind: Any, show: str, words: list[Status]) -> None:
    assert [row.status for row in invoices.invoices(TODAY, show=show)] == words


def test_papers_are_found_by_number_name_and_client(every_kind: Any, meret: Client) -> None:
    assert [row.number for row in invoices.invoices(TODAY, search="meret")] == ["2026-00001"]
    assert [row.number for row in invoices.invoices(TODAY, search=" 00007")] == ["2026-00007"]
    found = invoices.invoices(TODAY, client_id=meret.pk)
    assert [row.number for row in found] == ["2026-00001"]


def test_open_bills_are_the_latest_due_first(every_kind: Any) -> None:
    assert [(row.number, row.open.minor, row.days_late) for row in invoices.open_bills(TODAY)] == [
        ("2026-00001", 18_000, 6),
        ("2026-00003", -5_000, 0),
        ("2026-00007", 10_000, 0),
    ]


def test_what_is_open_by_age_adds_up_to_the_open_bills(every_kind: Any) -> None:
    found = invoices.aged(TODAY)["EUR"]
    assert (found[Age.CURRENT], found[Age.TO_30]) == (Money(10_000, "EUR"), Money(13_000, "EUR"))
    assert sum(found.values(), NOTHING) == sum(
        (row.open for row in invoices.open_bills(TODAY)), NOTHING
    )


def test_one_paper_whole(every_kind: dict[str, Invoice]) -> None:
    page = invoices.invoice_page(every_kind["to be paid back"].uid, TODAY)
    assert (page.row.status, page.sums.gross_minor) == (Status.TO_PAY_BACK, 18_000)
    assert [line.text for line in page.lines] == ["Session 1"]
    assert page.credit_note == Invoice.objects.get(number="2026-00004")
    assert [(row.amount.minor, row.method) for row in page.payments] == [(5_000, "bank transfer")]
    note = invoices.invoice_page(Invoice.objects.get(number="2026-00004").uid, TODAY)
    assert (note.invoice.corrects, note.credit_note) == (every_kind["to be paid back"], None)
    assert (page.missing, note.missing) == ([], [])


def test_a_draft_says_what_it_should_say_and_does_not(every_kind: dict[str, Invoice]) -> None:
    found = invoices.invoice_page(every_kind["draft"].uid, TODAY).missing
    assert [finding.reason for finding in found] == [
        "Your practice has no address yet.",
        "The payer has no address.",
        "Tax is charged, and no tax number is given.",
    ]


def test_payments_show_refunds_and_what_was_reversed(every_kind: dict[str, Invoice]) -> None:
    invoice = every_kind["paid"]
    back = record_refund(
        by=SYSTEM, invoice=invoice, amount_minor=1_000, method="cash", paid_on=TODAY
    )
    reverse_payment(by=SYSTEM, payment=back, reason="typed twice")
    rows = invoices.invoice_page(invoice.uid, TODAY).payments
    assert [(row.amount.minor, row.is_refund, row.reversed) for row in rows] == [
        (18_000, False, False),
        (-1_000, True, True),
    ]


def test_a_paper_is_found_by_its_number(every_kind: dict[str, Invoice]) -> None:
    assert invoices.by_number("2026-2") == every_kind["paid"]
    with pytest.raises(Invoice.DoesNotExist):
        invoices.by_number("2026-99")


# The same number of queries however many rows


def one_world(n: int) -> None:
    client = factories.client()
    sale = made.sale(client, sold_on=ago(40))
    use_session(by=SYSTEM, sale=sale, on=ago(3))
    invoice = writes.issue(
        by=SYSTEM, invoice=writes.draft_from_sale(by=SYSTEM, sale=sale), today=ago(20)
    )
    made.paid(invoice, 100 + n)


READS: dict[str, tuple[Callable[[], Any], int]] = {
    "packages": (packages.packages, 1),
    "sales": (lambda: sales.sales(TODAY), 1),
    "invoices": (lambda: invoices.invoices(TODAY), 1),
    "open bills": (lambda: invoices.open_bills(TODAY), 1),
    "by age": (lambda: invoices.aged(TODAY), 1),
    "the month": (lambda: summary.summary(TODAY), 5),
}


@pytest.mark.parametrize("name", READS)
def test_a_list_costs_the_same_queries_with_1_and_with_30_rows(
    practice: Practice, name: str
) -> None:
    read, expected = READS[name]

    def cost() -> int:
        with CaptureQueriesContext(
            connection,
        ) as queries:
            read()
        return len(queries)

    one_world(0)
    with_one = cost()
    for n in range(1, 30):
        one_world(n)
    assert (with_one, cost()) == (expected, expected)
    assert Sale.objects.count() == Invoice.objects.count() == 30
