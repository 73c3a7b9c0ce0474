"""A form sent twice is kept once, and says so."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client as Browser
from django.urls import reverse

from clients.models import Client
from coach.billing.actions.once import AlreadyKept, pay_once, sell_once, use_once
from coach.billing.models import Invoice, Payment, Sale, SessionUse
from coach.billing.rules.values import Party
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry, Practice
from tests import factories
from tests import factories_billing as made

SAID = "That was kept already; nothing is counted twice."


@pytest.fixture
def meret(practice: Practice) -> Client:
    return factories.client("Meret A.")


def twice(browser: Browser, path: str, sent: dict[str, Any]) -> str:
    """What the second answer says."""
    browser.post(path, sent)
    return browser.post(path, sent, follow=True).content.decode()


def test_a_part_payment(browser: Browser, meret: Client) -> None:
    path = reverse("accounts:pay", args=[made.issued(meret).uid])
    sent = {"amount_minor": "50", "received_on": "2026-12-03", "method": "cash", "seen": 0}
    assert SAID in twice(browser, path, sent)
    assert list(Payment.objects.values_list("amount_minor", flat=True)) == [5_000]
    browser.post(path, {**sent, "seen": 5_000})
    assert list(Payment.objects.values_list("amount_minor", flat=True)) == [5_000, 5_000]


def test_a_refund(browser: Browser, meret: Client) -> None:
    bill = made.issued(meret)
    made.paid(bill)
    path = reverse("accounts:refund", args=[bill.uid])
    sent = {"amount_minor": "50", "paid_on": "2026-12-03", "method": "cash", "seen": 18_000}
    assert SAID in twice(browser, path, sent)
    assert list(Payment.objects.values_list("amount_minor", flat=True)) == [18_000, -5_000]


def test_a_payment_taken_back(browser: Browser, meret: Client) -> None:
    bill = made.issued(meret)
    path = reverse("accounts:reverse", args=[bill.uid, made.paid(bill).pk])
    assert "That payment is taken back already." in twice(browser, path, {"reason": "wrong"})
    assert Payment.objects.count() == 2


def test_an_invoice_issued(browser: Browser, meret: Client) -> None:
    invoice = made.draft(meret)
    path = reverse("accounts:issue", args=[invoice.uid])
    seen = browser.get(path).context["form"].initial["seen"]
    html = twice(browser, path, {"seen": seen})
    assert SAID in html
    assert "2026-00001" in html
    assert list(Invoice.objects.values_list("number", flat=True)) == ["2026-00001"]
    assert AuditEntry.objects.filter(verb="issued").count() == 1


def test_a_credit_note(browser: Browser, meret: Client) -> None:
    path = reverse("accounts:credit", args=[made.issued(meret).uid])
    html = twice(browser, path, {"reason": "billed twice"})
    assert "It is credited already, by 2026-00002." in html
    assert Invoice.objects.count() == 2


def test_a_sale(browser: Browser, meret: Client) -> None:
    sent = {"package": made.package().pk, "client": meret.pk, "sold_on": "2026-12-03", "seen": 0}
    assert SAID in twice(browser, reverse("accounts:sell"), sent)
    sale = Sale.objects.get()
    browser.post(reverse("accounts:sell"), {**sent, "seen": sale.pk})
    assert Sale.objects.count() == 2


def test_a_sale_billed_at_once(browser: Browser, meret: Client) -> None:
    sent = {"package": made.package().pk, "client": meret.pk, "sold_on": "2026-12-03", "seen": 0}
    assert SAID in twice(browser, reverse("accounts:sell"), {**sent, "bill": "yes"})
    assert (Sale.objects.count(), Invoice.objects.count()) == (1, 1)


def test_a_draft_begun(browser: Browser, meret: Client) -> None:
    assert SAID in twice(browser, reverse("accounts:begin"), {"client": meret.pk, "seen": 0})
    assert Invoice.objects.count() == 1


def test_a_session_counted(browser: Browser, meret: Client) -> None:
    path = reverse("accounts:use", args=[made.sale(meret).uid])
    assert SAID in twice(browser, path, {"on": "2026-12-03", "seen": 0})
    assert SessionUse.objects.count() == 1


def test_nothing_is_written_when_something_else_came_before(meret: Client) -> None:
    bill, sale, package = made.issued(meret), made.sale(meret), made.package("Other")
    entries = AuditEntry.objects.count()
    with pytest.raises(AlreadyKept):
        pay_once(
            by=SYSTEM, invoice=bill, seen=1, amount_minor=100, method="cash", received_on=made.TODAY
        )
    with pytest.raises(AlreadyKept):
        use_once(by=SYSTEM, sale=sale, seen=1, on=made.TODAY)
    with pytest.raises(AlreadyKept) as already:
        sell_once(
            by=SYSTEM,
            seen=0,
            package=sale.package,
            client=meret,
            sold_on=made.TODAY,
            starts_on=None,
            payer=Party("Meret A."),
        )
    assert already.value.uid == sale.uid
    assert (Payment.objects.count(), SessionUse.objects.count()) == (0, 0)
    assert AuditEntry.objects.count() == entries
    other = sell_once(
        by=SYSTEM,
        seen=0,
        package=package,
        client=meret,
        sold_on=made.TODAY,
        starts_on=None,
        payer=Party("Meret A."),
    )
    assert other.pk != sale.pk
