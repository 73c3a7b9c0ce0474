"""The month of each client, and her account."""

from __future__ import annotations

from datetime import date

import pytest

from clients.models import Client
from coach.billing.actions import invoices as writes
from coach.billing.actions.payments import record_refund
from coach.billing.actions.sales import cancel_sale, undo_use, use_session
from coach.billing.queries.summary import account_of, month_sums, summary
from coach.money import Money
from coach.practice.audit import SYSTEM
from coach.practice.models import Practice
from tests import factories
from tests import factories_billing as made

NOVEMBER, DECEMBER = date(2026, 11, 14), date(2026, 12, 3)


def euro(minor: int) -> Money:
    return Money(minor, "EUR")


@pytest.fixture
def meret(practice: Practice) -> Client:
    return factories.client("Meret A.")


@pytest.fixture
def oran(practice: Practice) -> Client:
    return factories.client("Oran B.")


def test_a_month_holds_what_was_sold_billed_paid_and_used_in_it(
    meret: Client, oran: Client
) -> None:
    sale = made.sale(meret, sold_on=date(2026, 10, 31), validity_days=None)
    made.sale(oran, sold_on=date(2026, 11, 1), prices_include_tax=False)
    use_session(by=SYSTEM, sale=sale, on=date(2026, 10, 31))
    use_session(by=SYSTEM, sale=sale, on=date(2026, 11, 30))
    undo_use(by=SYSTEM, use=use_session(by=SYSTEM, sale=sale, on=date(2026, 11, 2)))
    use_session(by=SYSTEM, sale=sale, on=date(2026, 12, 1))
    draft = writes.draft_from_sale(by=SYSTEM, sale=sale)
    invoice = writes.issue(by=SYSTEM, invoice=draft, today=date(2026, 11, 1))
    made.paid(invoice, 15_000, on=date(2026, 11, 30))
    made.paid(invoice, 1_000, on=date(2026, 12, 1))
    first, second = summary(NOVEMBER)
    assert (first.client, first.packages, first.sold) == ("Meret A.", (), euro(0))
    assert (first.invoiced, first.paid) == (euro(40_000), euro(15_000))
    assert (first.used, first.left) == (1, 8)
    assert (second.client, second.packages) == ("Oran B.", ("Ten sessions",))
    assert (second.sold, second.invoiced, second.left) == (euro(49_200), euro(0), 10)


def test_credit_notes_and_refunds_are_taken_off_in_their_own_month(meret: Client) -> None:
    invoice = made.issued(meret, on=NOVEMBER)
    made.paid(invoice, on=NOVEMBER)
    made.credited(invoice, on=DECEMBER)
    record_refund(by=SYSTEM, invoice=invoice, amount_minor=18_000, method="card", paid_on=DECEMBER)
    assert [(row.invoiced, row.paid) for row in summary(NOVEMBER)] == [(euro(18_000), euro(18_000))]
    assert [(row.invoiced, row.paid) for row in summary(DECEMBER)] == [
        (euro(-18_000), euro(-18_000))
    ]


def test_sessions_that_ran_out_or_were_cancelled_are_not_owed(meret: Client) -> None:
    made.sale(meret, sold_on=NOVEMBER, validity_days=5)
    made.sale(meret, sold_on=NOVEMBER, kind="weeks", count=30, validity_days=None)
    cancel_sale(by=SYSTEM, sale=made.sale(meret, sold_on=NOVEMBER), reason="twice")
    # The cancelled one was owed until it was cancelled in December.
    assert [row.left for row in summary(NOVEMBER)] == [10]
    assert summary(DECEMBER) == []


def test_drafts_are_not_money(meret: Client) -> None:
    made.draft(meret)
    assert summary(DECEMBER) == []


def test_two_currencies_are_two_rows_and_two_sums(meret: Client, oran: Client) -> None:
    made.sale(meret, sold_on=DECEMBER)
    made.sale(oran, sold_on=DECEMBER)
    made.sale(meret, sold_on=DECEMBER, currency="GBP", price_minor=30_000)
    rows = summary(DECEMBER)
    assert [(row.client, row.sold) for row in rows] == [
        ("Meret A.", euro(40_000)),
        ("Meret A.", Money(30_000, "GBP")),
        ("Oran B.", euro(40_000)),
    ]
    assert [(one.sold, one.left) for one in month_sums(rows)] == [
        (euro(80_000), 20),
        (Money(30_000, "GBP"), 10),
    ]


def test_the_account_of_a_client_is_hers_alone(meret: Client, oran: Client) -> None:
    sale = made.sale(meret)
    draft = writes.draft_from_sale(by=SYSTEM, sale=sale)
    writes.issue(by=SYSTEM, invoice=draft, today=DECEMBER)
    made.paid(draft, 10_000)
    made.draft(meret)
    made.issued(oran)
    account = account_of(meret.pk, DECEMBER)
    assert [row.uid for row in account.sales] == [sale.uid]
    assert [row.number for row in account.invoices] == ["", "2026-00001"]
    assert account.open == [euro(30_000)]
    nobody = account_of(0, DECEMBER)
    assert (nobody.sales, nobody.invoices, nobody.open) == ([], [], [])
