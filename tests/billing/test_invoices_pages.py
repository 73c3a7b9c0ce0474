"""Issued papers: the list, the page, the PDF, payments, refunds, reversals, credit notes."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from clients.models import Client
from coach.billing.models import Invoice, Payment
from coach.practice.models import Practice
from tests import factories
from tests import factories_billing as made

LIST = reverse("accounts:invoices")


@pytest.fixture
def meret(practice: Practice) -> Client:
    return factories.client("Meret A.")


@pytest.fixture
def bill(meret: Client) -> Invoice:
    """€180.00, open, issued today."""
    return made.issued(meret)


def path(name: str, invoice: Invoice, *more: int) -> str:
    return reverse(f"accounts:{name}", args=[invoice.uid, *more])


def page_of(browser: Browser, invoice: Invoice) -> str:
    return browser.get(path("invoice", invoice)).content.decode()


# The list


def everything(meret: Client) -> None:
    """One paper in every state."""
    orla = factories.client("Orla K.")
    made.issued(meret, on=date(2026, 10, 1))
    made.paid(made.issued(orla, on=date(2026, 11, 1)), on=date(2026, 11, 2))
    made.issued(orla, on=date(2026, 12, 1))
    made.credited(made.issued(meret, on=date(2026, 12, 2)), on=date(2026, 12, 2))
    made.draft(orla)


@pytest.mark.parametrize(
    ("show", "numbers"),
    [
        ("", ["", "2026-00005", "2026-00004", "2026-00003", "2026-00002", "2026-00001"]),
        ("draft", [""]),
        ("open", ["2026-00003", "2026-00001"]),
        ("overdue", ["2026-00001"]),
        ("paid", ["2026-00002"]),
        ("credited", ["2026-00005", "2026-00004"]),
        ("whatever", ["", *(f"2026-0000{n}" for n in (5, 4, 3, 2, 1))]),
    ],
)
def test_the_list_is_narrowed(
    browser: Browser, meret: Client, show: str, numbers: list[str]
) -> None:
    everything(meret)
    found = browser.get(LIST, {"show": show}).context["page"]
    assert [row.number for row in found] == numbers


def test_the_list_is_searched_by_number_or_name(browser: Browser, meret: Client) -> None:
    everything(meret)

    def found(find: str) -> list[str]:
        return [row.number for row in browser.get(LIST, {"find": find}).context["page"]]

    assert found("00003") == ["2026-00003"]
    assert found("orla") == ["", "2026-00003", "2026-00002"]
    assert found("nobody") == []


def test_htmx_gets_only_the_list(browser: Browser, bill: Invoice) -> None:
    answer = browser.get(LIST, headers={"HX-Request": "true", "HX-Target": "invoices"})
    assert "<h1" not in answer.content.decode()
    assert "2026-00001" in answer.content.decode()


def test_one_and_thirty_rows_cost_the_same_queries(browser: Browser, meret: Client) -> None:
    def count() -> int:
        with CaptureQueriesContext(connection) as queries:
            browser.get(LIST)
        return len(queries)

    made.paid(made.issued(meret))
    one = count()
    for n in range(29):
        made.paid(made.issued(factories.client(f"Client {n}")))
    assert count() == one


# The page


def test_an_issued_one_has_no_field_of_its_own_to_change(browser: Browser, bill: Invoice) -> None:
    html = page_of(browser, bill)
    assert "it never changes" in html
    assert 'name="buyer_name"' not in html
    assert "line-0-text" not in html


def test_one_and_thirty_payments_cost_the_same_queries(browser: Browser, bill: Invoice) -> None:
    def count() -> int:
        with CaptureQueriesContext(connection) as queries:
            page_of(browser, bill)
        return len(queries)

    made.paid(bill, 100)
    one = count()
    for _ in range(29):
        made.paid(bill, 100)
    assert count() == one


def test_its_pdf_is_shown_under_its_number_and_kept_nowhere(
    browser: Browser, bill: Invoice
) -> None:
    answer = browser.get(path("pdf", bill))
    assert answer.content.startswith(b"%PDF-")
    assert (answer["Content-Type"], answer["Content-Disposition"], answer["Cache-Control"]) == (
        "application/pdf",
        'inline; filename="2026-00001.pdf"',
        "no-store",
    )
    draft = browser.get(path("pdf", made.draft()))
    assert draft["Content-Disposition"] == 'inline; filename="draft.pdf"'


@pytest.mark.parametrize("name", ["invoice", "draft", "issue", "pdf", "credit"])
def test_one_that_is_not_there_is_not_found(browser: Browser, name: str) -> None:
    uid = "00000000-0000-4000-8000-000000000000"
    assert browser.get(reverse(f"accounts:{name}", args=[uid])).status_code == 404


# Money


def paying(**values: Any) -> dict[str, Any]:
    filled = {
        "amount_minor": "180.00",
        "received_on": "2026-12-03",
        "method": "transfer",
        "seen": "0",
    }
    return {**filled, **values}


def test_the_form_starts_at_what_is_open(browser: Browser, bill: Invoice) -> None:
    made.paid(bill, 8_050)
    form = browser.get(path("invoice", bill)).context["pay_form"]
    assert form.initial == {
        "amount_minor": "99.50",
        "received_on": made.TODAY,
        "method": "transfer",
        "seen": 8_050,
    }


def test_money_received_is_recorded(browser: Browser, bill: Invoice) -> None:
    answer = browser.post(path("pay", bill), paying(method="card"), follow=True)
    assert answer.redirect_chain == [(path("invoice", bill), 302)]
    assert "€180.00 is recorded." in answer.content.decode()
    assert answer.context["row"].status == "paid"
    assert Payment.objects.values("amount_minor", "method", "received_on").get() == {
        "amount_minor": 18_000,
        "method": "card",
        "received_on": made.TODAY,
    }


@pytest.mark.parametrize(
    ("wrong", "errors"),
    [
        ({"amount_minor": ""}, {"amount_minor": ["Write the amount."]}),
        ({"amount_minor": "180,00"}, {"amount_minor": ["Write the amount like 1234.50."]}),
        ({"amount_minor": "0"}, {"amount_minor": ["Write an amount above nothing."]}),
        ({"amount_minor": "-5"}, {"amount_minor": ["Write an amount above nothing."]}),
        ({"received_on": "2026-12-04"}, {"received_on": ["That day is still to come."]}),
        ({"received_on": ""}, {"received_on": ["Choose a day."]}),
        ({"method": "seashells"}, {"method": ["Say how it was paid."]}),
        ({"seen": "some"}, {"seen": ["The page is too old. Load it again."]}),
    ],
)
def test_what_is_wrong_is_said_beside_its_field_and_nothing_is_recorded(
    browser: Browser, bill: Invoice, wrong: Any, errors: Any
) -> None:
    answer = browser.post(path("pay", bill), paying(**wrong))
    found = {name: list(said) for name, said in answer.context["pay_form"].errors.items()}
    assert (answer.status_code, found) == (422, errors)
    assert Payment.objects.count() == 0


def test_more_than_is_open_is_asked_about_once(browser: Browser, bill: Invoice) -> None:
    answer = browser.post(path("pay", bill), paying(amount_minor="200"))
    html = answer.content.decode()
    assert "That is more than what is open, €180.00." in html
    assert "It really is more than what is open" in html
    browser.post(path("pay", bill), paying(amount_minor="200", more_than_open="on"))
    assert Payment.objects.get().amount_minor == 20_000
    assert "€20.00 to be paid back" in page_of(browser, bill)


def test_money_paid_back_is_recorded_with_the_other_sign(browser: Browser, bill: Invoice) -> None:
    made.paid(bill)
    made.credited(bill)
    form = browser.get(path("invoice", bill)).context["refund_form"]
    assert (form.initial["amount_minor"], form.initial["seen"]) == ("180.00", 18_000)
    sent = {"amount_minor": "180", "paid_on": "2026-12-03", "method": "card", "seen": 18_000}
    answer = browser.post(path("refund", bill), sent, follow=True)
    assert "€180.00 paid back is recorded." in answer.content.decode()
    assert Payment.objects.order_by("-pk").values_list("amount_minor", flat=True)[0] == -18_000
    assert answer.context["row"].status == "credited"


def test_more_is_not_paid_back_than_came(browser: Browser, bill: Invoice) -> None:
    made.paid(bill, 5_000)
    sent = {"amount_minor": "60", "paid_on": "2026-12-03", "method": "card", "seen": 5_000}
    answer = browser.post(path("refund", bill), sent)
    errors = list(answer.context["refund_form"].errors["amount_minor"])
    assert errors == ["That is more than was paid, €50.00."]
    assert Payment.objects.count() == 1


def test_a_mistake_is_taken_back_with_its_reason_and_stays(browser: Browser, bill: Invoice) -> None:
    payment = made.paid(bill)
    back = path("reverse", bill, payment.pk)
    assert "€180.00 of 3 December, on 2026-00001" in browser.get(back).content.decode()
    answer = browser.post(back, {"reason": " "})
    assert list(answer.context["form"].errors["reason"]) == ["Say why, in a few words."]
    assert Payment.objects.count() == 1
    answer = browser.post(back, {"reason": "the wrong bill"}, follow=True)
    assert "€180.00 is taken back." in answer.content.decode()
    assert list(Payment.objects.values_list("amount_minor", "reason")) == [
        (18_000, ""),
        (-18_000, "the wrong bill"),
    ]
    assert answer.context["row"].open.minor == 18_000


def test_a_payment_of_another_bill_is_not_taken_back_by_its_address(
    browser: Browser, bill: Invoice
) -> None:
    payment = made.paid(made.issued())
    assert browser.get(path("reverse", bill, payment.pk)).status_code == 404


# Credit


def test_credited_with_a_reason_it_leads_to_the_credit_note(
    browser: Browser, bill: Invoice
) -> None:
    answer = browser.post(path("credit", bill), {"reason": ""})
    assert answer.status_code == 422
    answer = browser.post(path("credit", bill), {"reason": "billed twice"}, follow=True)
    html = answer.content.decode()
    assert "Credit note 2026-00002 is issued." in html
    assert "billed twice" in html
    assert answer.context["row"].corrects_number == "2026-00001"
    assert "Credit it…" not in page_of(browser, bill)


def test_what_was_paid_is_named_before_it_is_credited(browser: Browser, bill: Invoice) -> None:
    made.paid(bill, 5_000)
    html = browser.get(path("credit", bill)).content.decode()
    assert "What was paid, €50.00, is then to be paid back." in html


def test_the_reason_is_never_printed(browser: Browser, bill: Invoice) -> None:
    note = made.credited(bill)
    assert "billed twice" in page_of(browser, note)
    assert b"billed twice" not in browser.get(path("pdf", note)).content
