"""Sales: sold, billed at once, sessions used and taken back, cancelled."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from clients.models import Client
from coach.billing.actions import sales as actions
from coach.billing.models import Invoice, Package, Sale, SessionUse
from coach.practice.audit import SYSTEM
from coach.practice.models import Practice
from tests import factories
from tests import factories_billing as made

SELL, LIST = reverse("accounts:sell"), reverse("accounts:sales")


@pytest.fixture
def meret(practice: Practice) -> Client:
    return factories.client("Meret A.", email="meret@example.org")


@pytest.fixture
def ten(practice: Practice) -> Package:
    return made.package()


def typed(ten: Package, meret: Client, **values: Any) -> dict[str, Any]:
    """A form filled in without a mistake, unless said otherwise."""
    filled = {
        "package": ten.pk,
        "client": meret.pk,
        "sold_on": "2026-12-01",
        "starts_on": "",
        "payer_name": "",
        "payer_email": "",
        "payer_address": "",
        "seen": 0,
    }
    return {**filled, **values}


def test_she_pays_herself_unless_somebody_else_is_named(
    browser: Browser, ten: Package, meret: Client
) -> None:
    browser.post(SELL, typed(ten, meret, payer_address="3 Orchard Lane\r\nGalway"))
    sale = Sale.objects.get()
    assert (sale.payer_name, sale.payer_email) == ("Meret A.", "meret@example.org")
    assert sale.payer_address.split() == ["3", "Orchard", "Lane", "Galway"]
    assert (sale.sold_on, sale.starts_on) == (date(2026, 12, 1), date(2026, 12, 1))
    other = typed(ten, meret, payer_name="Bridge Ltd", starts_on="2026-12-10", seen=sale.pk)
    browser.post(SELL, other)
    second = Sale.objects.first()
    assert second is not None
    assert (second.payer_name, second.payer_email) == ("Bridge Ltd", "")
    assert second.starts_on == date(2026, 12, 10)


def test_sold_leads_to_the_sale_which_offers_the_invoice(
    browser: Browser, ten: Package, meret: Client
) -> None:
    answer = browser.post(SELL, typed(ten, meret), follow=True)
    sale = Sale.objects.get()
    assert answer.redirect_chain == [(reverse("accounts:sale", args=[sale.uid]), 302)]
    assert "Draft the invoice" in answer.content.decode()
    assert "“Ten sessions” is sold to Meret A." in answer.content.decode()


def test_sold_and_billed_at_once(browser: Browser, ten: Package, meret: Client) -> None:
    answer = browser.post(SELL, typed(ten, meret, bill="yes"))
    invoice = Invoice.objects.get()
    assert answer.url == reverse("accounts:draft", args=[invoice.uid])
    assert (invoice.sale, invoice.gross_minor, invoice.is_draft) == (
        Sale.objects.get(),
        40_000,
        True,
    )


@pytest.mark.parametrize(
    ("wrong", "errors"),
    [
        ({"package": ""}, {"package": ["Choose a package."]}),
        (
            {"package": "404"},
            {"package": ["This package is no longer sold: choose another."]},
        ),
        ({"client": ""}, {"client": ["Choose a client."]}),
        ({"client": "404"}, {"client": ["Choose one of the clients."]}),
        ({"sold_on": ""}, {"sold_on": ["Choose a day."]}),
        ({"sold_on": "2026-02-30"}, {"sold_on": ["That is not a day of the calendar."]}),
        ({"sold_on": "2026-12-04"}, {"sold_on": ["That day is still to come."]}),
        ({"payer_email": "at home"}, {"payer_email": ["That is no e-mail address."]}),
        ({"seen": ""}, {"seen": ["The page is too old. Load it again."]}),
    ],
)
def test_what_is_wrong_is_said_beside_its_field_and_nothing_is_sold(
    browser: Browser, ten: Package, meret: Client, wrong: Any, errors: Any
) -> None:
    answer = browser.post(SELL, typed(ten, meret, payer_name="Bridge Ltd", **wrong))
    found = {name: list(said) for name, said in answer.context["form"].errors.items()}
    assert (answer.status_code, found) == (422, errors)
    assert 'value="Bridge Ltd"' in answer.content.decode()
    assert Sale.objects.count() == 0


def test_a_retired_package_is_not_offered(browser: Browser, ten: Package, meret: Client) -> None:
    Package.objects.update(retired=True)
    assert "Ten sessions" not in browser.get(SELL).content.decode()
    answer = browser.post(SELL, typed(ten, meret))
    assert (answer.status_code, Sale.objects.count()) == (422, 0)


def test_the_form_starts_with_who_paid_for_her_last(
    browser: Browser, ten: Package, meret: Client
) -> None:
    browser.post(SELL, typed(ten, meret, payer_name="Bridge Ltd", payer_address="1 Quay"))
    form = browser.get(SELL, {"client": meret.pk, "package": ten.pk}).context["form"]
    assert (form.initial["payer_name"], form.initial["payer_address"]) == ("Bridge Ltd", "1 Quay")
    assert (form.initial["client"], form.initial["package"]) == (meret.pk, str(ten.pk))
    assert "payer_name" not in browser.get(SELL, {"client": "none"}).context["form"].initial


def test_choosing_a_client_brings_only_who_pays(browser: Browser, meret: Client) -> None:
    answer = browser.get(
        SELL, {"client": meret.pk}, headers={"HX-Request": "true", "HX-Target": "payer"}
    )
    html = answer.content.decode()
    assert 'id="payer"' in html
    assert "<h1" not in html


# What is left


def use(browser: Browser, sale: Sale, *, on: str = "2026-12-03", seen: int = 0) -> Any:
    return browser.post(reverse("accounts:use", args=[sale.uid]), {"on": on, "seen": seen})


def test_a_session_is_counted_and_taken_back(browser: Browser, meret: Client) -> None:
    sale = made.sale(meret)
    path = reverse("accounts:sale", args=[sale.uid])
    assert use(browser, sale).url == path
    assert "9 of 10 sessions left, until 31 May 2027" in browser.get(path).content.decode()
    used = SessionUse.objects.get()
    assert browser.post(reverse("accounts:undo_use", args=[sale.uid, used.pk])).url == path
    html = browser.get(path).content.decode()
    assert "taken back" in html
    assert "all 10 sessions left" in html.lower()


def test_on_the_list_htmx_gets_the_line_with_what_is_left(browser: Browser, meret: Client) -> None:
    sale = made.sale(meret)
    answer = browser.post(
        reverse("accounts:use", args=[sale.uid]),
        {"on": "2026-12-03", "seen": 0},
        headers={"HX-Request": "true"},
    )
    html = answer.content.decode()
    assert html.count("<li") == 1
    assert "9 of 10 sessions left" in html
    assert 'name="seen" value="1"' in html
    assert "A session of Meret A. is counted." in html
    assert "<h1" not in html


@pytest.mark.parametrize(
    ("on", "sentence"),
    [
        ("2026-12-04", "That day is still to come: count a session once it was given."),
        ("2026-11-30", "This sale starts on 3 December 2026."),
        ("yesterday", "That is not a day of the calendar."),
        ("", "Choose a day."),
    ],
)
def test_a_session_on_a_wrong_day_is_refused_beside_the_day(
    browser: Browser, meret: Client, on: str, sentence: str
) -> None:
    answer = use(browser, made.sale(meret), on=on)
    assert answer.status_code == 422
    assert list(answer.context["use_form"].errors["on"]) == [sentence]
    assert SessionUse.objects.count() == 0


def test_when_all_are_used_no_more_is_asked(browser: Browser, meret: Client) -> None:
    sale = made.sale(meret, count=1)
    use(browser, sale)
    html = browser.get(reverse("accounts:sale", args=[sale.uid])).content.decode()
    assert "Count a session" not in html
    assert "used up" in html


def test_a_session_of_another_sale_is_not_taken_back_by_its_address(
    browser: Browser, meret: Client
) -> None:
    used = actions.use_session(by=SYSTEM, sale=made.sale(meret), on=made.TODAY)
    other = made.sale(meret)
    answer = browser.post(reverse("accounts:undo_use", args=[other.uid, used.pk]))
    assert (answer.status_code, SessionUse.objects.count()) == (404, 1)


def test_a_sale_is_cancelled_with_a_reason_and_stays(browser: Browser, meret: Client) -> None:
    sale = made.sale(meret)
    path = reverse("accounts:cancel_sale", args=[sale.uid])
    assert browser.post(path, {"reason": " "}).status_code == 422
    assert browser.post(path, {"reason": "the wrong client"}, follow=True).status_code == 200
    sale.refresh_from_db()
    assert (sale.cancelled_on, sale.cancel_reason) == (made.TODAY, "the wrong client")
    assert [row.state for row in browser.get(LIST).context["page"]] == ["cancelled"]


def test_a_sale_on_a_bill_leads_there_instead_of_a_second_draft(
    browser: Browser, meret: Client
) -> None:
    sale = made.sale(meret)
    path = reverse("accounts:bill", args=[sale.uid])
    first = browser.post(path).url
    again = browser.post(path, follow=True)
    assert again.redirect_chain[-1][0] == first
    assert "This sale is on a draft already." in again.content.decode()
    assert Invoice.objects.count() == 1


# The list


def test_the_list_is_narrowed_by_name_and_by_what_is_left(browser: Browser, meret: Client) -> None:
    made.sale(meret)
    made.sale(factories.client("Orla K."), count=1, title="Single")
    use(browser, Sale.objects.get(client__name="Orla K."))

    def found(**asked: str) -> list[str]:
        return [row.client for row in browser.get(LIST, asked).context["page"]]

    assert found() == ["Orla K.", "Meret A."]
    assert found(find="mer") == ["Meret A."]
    assert found(find="single") == ["Orla K."]
    assert found(show="current") == ["Meret A."]
    assert found(show="used up") == ["Orla K."]
    assert found(show="whatever") == ["Orla K.", "Meret A."]
    assert found(find="nobody") == []


def test_htmx_gets_only_the_list(browser: Browser) -> None:
    answer = browser.get(LIST, headers={"HX-Request": "true", "HX-Target": "sales"})
    assert "<h1" not in answer.content.decode()
    assert "Nothing is sold yet." in answer.content.decode()


def test_one_and_thirty_rows_cost_the_same_queries(browser: Browser) -> None:
    def count() -> int:
        with CaptureQueriesContext(connection) as queries:
            browser.get(LIST)
        return len(queries)

    made.sale()
    one = count()
    for _ in range(29):
        made.sale()
    assert count() == one


def test_forty_a_page(browser: Browser) -> None:
    for _ in range(41):
        made.sale()
    html = browser.get(LIST).content.decode()
    assert "page 1 of 2, 41 in all" in html
    assert len(browser.get(LIST, {"page": 2}).context["page"]) == 1


def test_a_sale_that_is_not_there_is_not_found(browser: Browser) -> None:
    path = reverse("accounts:sale", args=["00000000-0000-4000-8000-000000000000"])
    assert browser.get(path).status_code == 404
