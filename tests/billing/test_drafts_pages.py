"""Drafts: begun, lines added and removed, looked at once more, issued; nothing half kept."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from clients.models import Client
from coach.billing.actions.invoices import change_draft, issue
from coach.billing.models import Invoice
from coach.billing.queries.invoices import lines_of
from coach.billing.rules.values import Line
from coach.practice.audit import SYSTEM
from coach.practice.models import Practice
from tests import factories
from tests import factories_billing as made

BEGIN = reverse("accounts:begin")
HTMX = {"HX-Request": "true", "HX-Target": "draft"}


@pytest.fixture
def meret(practice: Practice) -> Client:
    return factories.client("Meret A.", email="meret@example.org")


def path(name: str, invoice: Invoice) -> str:
    return reverse(f"accounts:{name}", args=[invoice.uid])


def typed(*lines: tuple[str, str, str, str], **values: str) -> dict[str, str]:
    """The draft’s form filled in without a mistake, with an empty line at the end."""
    rows = [*lines, ("", "1", "", "23")]
    names = ("text", "quantity", "unit_minor", "tax_bp")
    filled = {
        "buyer_name": "Meret A.",
        "buyer_email": "",
        "buyer_address": "3 Orchard Lane",
        "pay_days": "30",
        "prices_include_tax": "on",
        "supplied": "",
        "no_tax_reason": "",
        "note": "",
        "line-TOTAL_FORMS": str(len(rows)),
        "line-INITIAL_FORMS": "0",
    }
    for n, row in enumerate(rows):
        filled |= {f"line-{n}-{name}": cell for name, cell in zip(names, row, strict=True)}
    return {**filled, **values}


ONE, TWO = ("Session", "1", "55.00", "23"), ("Plan by mail", "2", "30", "13.5")


# Begun


def test_one_without_a_package_begins_with_her_name(browser: Browser, meret: Client) -> None:
    answer = browser.post(BEGIN, {"client": meret.pk, "payer_address": "3 Orchard Lane", "seen": 0})
    invoice = Invoice.objects.get()
    assert answer.url == path("draft", invoice)
    assert (invoice.buyer_name, invoice.buyer_email) == ("Meret A.", "meret@example.org")
    assert invoice.buyer_address == "3 Orchard Lane"


def test_without_a_client_nothing_begins(browser: Browser, practice: Practice) -> None:
    answer = browser.post(BEGIN, {"client": "", "payer_name": "Bridge Ltd", "seen": 0})
    assert answer.status_code == 422
    assert list(answer.context["form"].errors["client"]) == ["Choose a client."]
    assert 'value="Bridge Ltd"' in answer.content.decode()
    assert Invoice.objects.count() == 0


def test_what_is_sold_and_not_billed_is_offered_first(browser: Browser, meret: Client) -> None:
    sale = made.sale(meret)
    html = browser.get(BEGIN).content.decode()
    assert reverse("accounts:bill", args=[sale.uid]) in html


# Lines


def test_what_is_typed_is_kept(browser: Browser, meret: Client) -> None:
    invoice = made.draft(meret)
    answer = browser.post(path("draft", invoice), typed(ONE, TWO, note="Thank you"))
    assert answer.url == path("draft", invoice)
    invoice.refresh_from_db()
    assert lines_of(invoice) == [
        Line("Session", 1, 5_500, 2300),
        Line("Plan by mail", 2, 3_000, 1350),
    ]
    assert (invoice.pay_days, invoice.note, invoice.gross_minor) == (30, "Thank you", 11_500)
    assert invoice.prices_include_tax


def test_an_empty_line_is_no_line(browser: Browser, meret: Client) -> None:
    invoice = made.draft(meret)
    browser.post(path("draft", invoice), typed(ONE, ("", "5", "", "0"), TWO))
    assert [line.text for line in lines_of(invoice)] == ["Session", "Plan by mail"]


def test_a_line_is_removed_by_its_button_and_the_rest_is_kept(
    browser: Browser, meret: Client
) -> None:
    invoice = made.draft(meret)
    browser.post(path("draft", invoice), typed(ONE, TWO, remove="0", note="Thank you"))
    invoice.refresh_from_db()
    assert [line.text for line in lines_of(invoice)] == ["Plan by mail"]
    assert invoice.note == "Thank you"


def test_another_line_is_added_without_javascript(browser: Browser, meret: Client) -> None:
    invoice = made.draft(meret)
    answer = browser.post(path("draft", invoice), typed(ONE, more="yes"), follow=True)
    lines = answer.context["lines"]
    assert [form.initial.get("text") for form in lines] == ["Session", None]
    assert "autofocus" in str(lines.forms[-1]["text"])
    assert "autofocus" not in browser.get(path("draft", invoice)).content.decode()


def test_htmx_gets_the_draft_as_it_is_now_kept(browser: Browser, meret: Client) -> None:
    invoice = made.draft(meret)
    html = browser.post(
        path("draft", invoice), typed(ONE, TWO, more="yes"), headers=HTMX
    ).content.decode()
    assert "together €115.00, as last kept" in html
    assert "The draft is kept." in html
    assert "<html" not in html
    assert html.count("autofocus") == 1


@pytest.mark.parametrize(
    ("line", "errors"),
    [
        (("", "1", "5", "23"), {"text": ["Say what it is for."]}),
        (("Session", "0", "5", "23"), {"quantity": ["A whole number from 1 to 10,000."]}),
        (("Session", "1.5", "5", "23"), {"quantity": ["A whole number from 1 to 10,000."]}),
        (("Session", "1", "", "23"), {"unit_minor": ["Write the price; 0 for nothing."]}),
        (("Session", "1", "12,50", "23"), {"unit_minor": ["Write the amount like 1234.50."]}),
        (("Session", "1", "5", "101"), {"tax_bp": ["At most 100 %."]}),
        (("Session", "1", "5", ""), {"tax_bp": ["Write the rate; 0 for none."]}),
    ],
)
def test_a_wrong_line_keeps_nothing_and_says_so_beside_its_field(
    browser: Browser, meret: Client, line: Any, errors: Any
) -> None:
    invoice = made.draft(meret)
    before = lines_of(invoice)
    answer = browser.post(path("draft", invoice), typed(ONE, line, note="Thank you"))
    found = {name: list(said) for name, said in answer.context["lines"].errors[1].items()}
    assert (answer.status_code, found) == (422, errors)
    html = answer.content.decode()
    assert "Nothing is kept yet." in html
    assert "Thank you" in html
    invoice.refresh_from_db()
    assert (lines_of(invoice), invoice.note) == (before, "")


@pytest.mark.parametrize(
    ("wrong", "errors"),
    [
        (
            {"buyer_name": " "},
            {"buyer_name": ["Say who pays: an invoice needs a name."]},
        ),
        ({"buyer_email": "at home"}, {"buyer_email": ["That is no e-mail address."]}),
        ({"pay_days": "400"}, {"pay_days": ["A whole number up to 365."]}),
        ({"pay_days": ""}, {"pay_days": ["How many days to pay? 0 for at once."]}),
    ],
)
def test_a_wrong_head_keeps_no_line_either(
    browser: Browser, meret: Client, wrong: Any, errors: Any
) -> None:
    invoice = made.draft(meret)
    answer = browser.post(path("draft", invoice), typed(TWO, **wrong))
    found = {name: list(said) for name, said in answer.context["form"].errors.items()}
    assert (answer.status_code, found) == (422, errors)
    assert [line.text for line in lines_of(invoice)] == ["Session 1"]
    assert 'value="Plan by mail"' in answer.content.decode()


def test_a_form_with_its_count_of_lines_torn_out_is_refused(
    browser: Browser, meret: Client
) -> None:
    invoice = made.draft(meret)
    answer = browser.post(path("draft", invoice), typed(ONE, **{"line-TOTAL_FORMS": ""}))
    assert answer.status_code == 422
    assert [line.text for line in lines_of(invoice)] == ["Session 1"]


# Issued


def look(browser: Browser, invoice: Invoice) -> str:
    """What the last look’s form carries."""
    seen: str = browser.get(path("issue", invoice)).context["form"].initial["seen"]
    return seen


def test_the_last_look_shows_it_as_it_will_be_and_says_that_it_never_changes(
    browser: Browser, meret: Client
) -> None:
    invoice = made.draft(meret)
    answer = browser.post(path("draft", invoice), typed(ONE, TWO, look="yes"), follow=True)
    assert answer.redirect_chain == [(path("issue", invoice), 302)]
    html = answer.content.decode()
    for words in ("After this it never changes.", "1 × €44.72, 23% tax", "€115.00", "30 days"):
        assert words in html
    assert Invoice.objects.get().is_draft


def test_what_is_missing_is_said_with_its_source(browser: Browser, meret: Client) -> None:
    html = browser.get(path("issue", made.draft(meret))).content.decode()
    for words in ("Your practice has no address yet.", "The payer has no address.", "Art. 226"):
        assert words in html


def test_issued_it_has_its_number_and_is_frozen(browser: Browser, meret: Client) -> None:
    invoice = made.draft(meret)
    answer = browser.post(path("issue", invoice), {"seen": look(browser, invoice)}, follow=True)
    assert answer.redirect_chain == [(path("invoice", invoice), 302)]
    assert "Invoice 2026-00001 is issued." in answer.content.decode()
    browser.post(path("draft", invoice), typed(TWO))
    browser.post(path("discard", invoice))
    assert [line.text for line in lines_of(Invoice.objects.get())] == ["Session 1"]


def test_what_was_changed_since_the_last_look_is_not_issued(
    browser: Browser, meret: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    invoice = made.draft(meret)
    seen = look(browser, invoice)
    monkeypatch.setenv("COACH_TODAY", "2026-12-04")  # the clock stands still within a day
    change_draft(by=SYSTEM, invoice=invoice, note="Thank you")
    answer = browser.post(path("issue", invoice), {"seen": seen})
    assert answer.status_code == 422
    assert "It has changed since you looked at it: look again." in answer.content.decode()
    assert Invoice.objects.get().is_draft


def test_one_without_a_line_is_not_issued(browser: Browser, meret: Client) -> None:
    invoice = made.draft(meret, of=[])
    answer = browser.post(path("issue", invoice), {"seen": look(browser, invoice)})
    assert answer.status_code == 422
    assert "There is nothing on it yet: add a line." in answer.content.decode()


def test_a_draft_is_discarded_and_leaves_no_gap(browser: Browser, meret: Client) -> None:
    invoice = made.draft(meret)
    assert browser.post(path("discard", invoice)).url == reverse("accounts:index")
    assert Invoice.objects.count() == 0
    assert made.issued(meret).number == "2026-00001"


def test_an_issued_one_is_not_discarded(browser: Browser, meret: Client) -> None:
    invoice = made.issued(meret)
    answer = browser.post(path("discard", invoice), follow=True)
    assert "It is issued: it never changes." in answer.content.decode()
    assert Invoice.objects.count() == 1


@pytest.mark.parametrize("name", ["draft", "issue"])
def test_an_issued_one_leads_to_where_it_is_shown(
    browser: Browser, meret: Client, name: str
) -> None:
    invoice = issue(by=SYSTEM, invoice=made.draft(meret), today=made.TODAY)
    assert browser.get(path(name, invoice)).url == path("invoice", invoice)


def test_a_draft_leads_to_where_it_is_changed(browser: Browser, meret: Client) -> None:
    invoice = made.draft(meret)
    assert browser.get(path("invoice", invoice)).url == path("draft", invoice)


def test_one_and_thirty_lines_cost_the_same_queries(browser: Browser, meret: Client) -> None:
    def count(lines: int) -> int:
        invoice = made.draft(meret, of=made.lines(*[1_000] * lines))
        with CaptureQueriesContext(connection) as queries:
            browser.get(path("draft", invoice))
        return len(queries)

    assert count(1) == count(30)
