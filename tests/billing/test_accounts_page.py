"""The first page of Accounts, who may open it, and what a client’s page shows of money."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from clients.models import Client
from coach.billing.actions.invoices import draft_from_sale
from coach.billing.actions.sales import cancel_sale
from coach.practice.audit import SYSTEM
from coach.practice.models import Practice
from tests import factories
from tests import factories_billing as made

INDEX = reverse("accounts:index")


def words(html: str) -> str:
    """What a page says, without its tags and with single spaces."""
    return " ".join(re.sub(r"<[^>]+>", " ", html).replace("&nbsp;", " ").split())


@pytest.fixture
def meret(practice: Practice) -> Client:
    return factories.client("Meret A.", email="meret@example.org")


def test_a_new_practice_reads_what_there_is_to_do(browser: Browser) -> None:
    text = words(browser.get(INDEX).content.decode())
    assert "Nothing is open." in text
    assert "Sell a package Draft an invoice" in text
    assert "December 2026 by client Nothing sold, invoiced or paid yet this month." in text


def test_what_is_open_stands_with_how_long_the_longest_overdue_first(
    browser: Browser, meret: Client
) -> None:
    made.issued(meret, on=date(2026, 10, 1))
    made.issued(factories.client("Orla K."), on=date(2026, 11, 10), of=made.lines(9_000))
    half = made.issued(factories.client("Tal R."), on=date(2026, 12, 1), of=made.lines(6_000))
    made.paid(half, 2_000)
    answer = browser.get(INDEX)
    rows = answer.context["page"].open.rows
    assert [(row.client, row.open.minor, row.days_late) for row in rows] == [
        ("Meret A.", 18_000, 49),
        ("Orla K.", 9_000, 9),
        ("Tal R.", 4_000, 0),
    ]
    text = words(answer.content.decode())
    assert "Open €310.00 open late 49 d Meret A. , €180.00 overdue" in text
    assert "15 Dec Tal R. , €40.00 open" in text
    assert "€20.00 of €60.00 came" in text
    assert "Not yet due €40.00 1–30 days late €90.00 31–60 days late €180.00" in text


def test_what_is_to_be_paid_back_is_not_set_against_what_is_open(
    browser: Browser, meret: Client
) -> None:
    bill = made.issued(meret)
    made.paid(bill)
    made.credited(bill)
    made.issued(factories.client("Orla K."), of=made.lines(20_000))
    text = words(browser.get(INDEX).content.decode())
    assert "Open €200.00 open, €180.00 to be paid back" in text
    assert "Meret A. , €180.00 to be paid back pay back" in text
    assert "Not yet due €200.00 Look up" in text


def test_what_is_sold_and_not_billed_is_offered_until_it_is_on_a_draft(
    browser: Browser, meret: Client
) -> None:
    sale = made.sale(meret)
    made.sale(factories.client("Gift"), price_minor=0)
    assert [row.uid for row in browser.get(INDEX).context["page"].unbilled.rows] == [sale.uid]
    draft = draft_from_sale(by=SYSTEM, sale=sale)
    page = browser.get(INDEX).context["page"]
    assert [row.uid for row in page.unbilled.rows] == []
    assert [row.uid for row in page.drafts.rows] == [draft.uid]


def test_the_month_is_summed_up(browser: Browser, meret: Client) -> None:
    made.sale(meret)
    made.paid(made.issued(meret), 5_000)
    text = words(browser.get(INDEX).content.decode())
    expected = "Sold €400.00 Invoiced €180.00 Paid €50.00 Sessions given 0 Sessions owed 10"
    assert expected in text


def many(count: int) -> None:
    for n in range(count):
        client = factories.client(f"Client {n}")
        made.issued(client, on=date(2026, 12, 1))
        made.draft(client)
        made.sale(client)


def count_of(browser: Browser, path: str) -> int:
    with CaptureQueriesContext(connection) as queries:
        assert browser.get(path).status_code == 200
    return len(queries)


@pytest.mark.parametrize("path", [INDEX, reverse("accounts:summary")])
def test_one_and_thirty_rows_cost_the_same_queries(browser: Browser, path: str) -> None:
    many(1)
    one = count_of(browser, path)
    many(29)
    assert count_of(browser, path) == one


def test_her_part_of_a_page_costs_the_same_queries_for_one_and_thirty_rows(
    browser: Browser, meret: Client
) -> None:
    path = reverse("accounts:of_client", args=[meret.pk])
    made.sale(meret)
    made.issued(meret)
    one = count_of(browser, path)
    for _ in range(29):
        made.sale(meret)
        made.issued(meret)
    assert count_of(browser, path) == one


def test_her_part_shows_her_balance_and_sales_and_nobody_else_s(
    browser: Browser, meret: Client
) -> None:
    made.sale(meret)
    made.issued(meret)
    made.issued(factories.client("Orla K."))
    html = browser.get(reverse("accounts:of_client", args=[meret.pk])).content.decode()
    assert "<html" not in html
    text = words(html)
    assert "Money €180.00 open" in text
    assert "Meret A. Ten sessions running session today" in text
    assert "all 10 sessions left, until 31 May 2027 · not billed" in text
    assert "Orla K." not in text


def test_of_somebody_who_is_not_there_is_not_found(browser: Browser) -> None:
    assert browser.get(reverse("accounts:of_client", args=[404])).status_code == 404


# A month


def test_a_month_by_client_has_totals(browser: Browser, meret: Client) -> None:
    made.sale(meret, sold_on=date(2026, 11, 3))
    made.sale(factories.client("Orla K."), sold_on=date(2026, 11, 4), price_minor=9_000)
    made.issued(meret, on=date(2026, 11, 5))
    answer = browser.get(reverse("accounts:summary"), {"month": "2026-11"})
    text = words(answer.content.decode())
    assert "November 2026 packages and money, by client" in text
    assert "Meret A. Ten sessions €400.00 €180.00 €0.00 0 10" in text
    assert "Together €490.00 €180.00 €0.00 0 20" in text
    assert 'href="?month=2026-10"' in answer.content.decode()
    assert 'href="?month=2026-12"' in answer.content.decode()


@pytest.mark.parametrize("asked", ["", "soon", "2026-13", "0001-01", "9999-12", "2026-11-05"])
def test_what_is_no_month_shows_this_one_and_nothing_later(browser: Browser, asked: str) -> None:
    html = browser.get(reverse("accounts:summary"), {"month": asked}).content.decode()
    assert "December 2026<small>" in html
    assert "?month=2027-01" not in html


# Who sees it


@pytest.mark.parametrize("role", ["covering coach", "assistant"])
@pytest.mark.parametrize(
    "name", ["index", "packages", "sales", "invoices", "summary", "sell", "begin", "add_package"]
)
def test_roles_without_money_are_refused(people: Any, signed_in: Any, role: str, name: str) -> None:
    assert signed_in(people[role]).get(reverse(f"accounts:{name}")).status_code == 403


@pytest.mark.parametrize("role", ["covering coach", "assistant"])
def test_the_section_is_named_only_to_those_who_may_open_it(
    people: Any, signed_in: Any, role: str
) -> None:
    assert "Accounts" not in signed_in(people[role]).get("/").content.decode()
    assert "Accounts" in signed_in(people["bookkeeper"]).get("/").content.decode()


HEALTH = ("28w4d", "trimester", "baby", "birth", "due date", "pregnan", "sickle", "weeks and")


def test_the_bookkeeper_sees_money_and_contact_and_no_health(
    people: Any, signed_in: Any, meret: Client
) -> None:
    factories.pregnancy(meret, due=date(2027, 2, 21), dated_by="scan")
    meret.note = "sickle trait"
    meret.save()
    sale, bill, draft = made.sale(meret), made.issued(meret), made.draft(meret)
    browser = signed_in(people["bookkeeper"])
    paths = [
        *(reverse(f"accounts:{n}") for n in ("index", "sales", "invoices", "summary", "begin")),
        reverse("accounts:of_client", args=[meret.pk]),
        reverse("accounts:sale", args=[sale.uid]),
        reverse("accounts:invoice", args=[bill.uid]),
        reverse("accounts:draft", args=[draft.uid]),
        reverse("accounts:issue", args=[draft.uid]),
        reverse("accounts:sell") + f"?client={meret.pk}",
    ]
    for path in paths:
        text = words(browser.get(path).content.decode())
        assert "Meret A." in text
        assert [word for word in HEALTH if word in text] == []


@pytest.mark.parametrize(("role", "shown"), [("owner", True), ("bookkeeper", False)])
def test_why_something_was_taken_back_may_be_health_and_is_shown_as_such(
    people: Any, signed_in: Any, meret: Client, role: str, shown: bool
) -> None:
    note, sale = made.credited(made.issued(meret)), made.sale(meret)
    cancel_sale(by=SYSTEM, sale=sale, reason="she was ill")
    browser = signed_in(people[role])
    paper = browser.get(reverse("accounts:invoice", args=[note.uid])).content.decode()
    sold = browser.get(reverse("accounts:sale", args=[sale.uid])).content.decode()
    assert ("billed twice" in paper, "she was ill" in sold) == (shown, shown)
