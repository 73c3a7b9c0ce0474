"""A package from its first line to the money: added, sold, invoiced, issued, downloaded, paid."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from clients.models import Client
from coach.billing.models import Invoice, Payment
from coach.billing.rules.values import Party
from coach.practice.models import User
from coach.practice.permissions import Role
from tests import factories
from tests import factories_billing as made
from tests.browser.widths import PHONE_AND_DESK

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
Axe = Callable[..., list[str]]


@pytest.fixture
def owner_of_one(transactional_db: None) -> User:
    """A practice that charges VAT, with one client and nothing sold."""
    factories.practice(
        address="4 Strand Row\nGalway", tax_name="VAT", tax_number="IE1234567T",
        tax_basis_points=2300,
    )  # fmt: skip
    factories.client("Meret A.", email="meret@example.org")
    return factories.person(Role.OWNER)


def checked(page: Page, axe: Axe, width: int) -> None:
    """Nothing for axe to find, with room for what a phone’s bar would cover, and no scroll."""
    page.set_viewport_size({"width": width, "height": 8000})
    assert axe(page) == []
    page.set_viewport_size({"width": width, "height": 844})
    assert not page.evaluate("document.documentElement.scrollWidth > innerWidth")


def add_package(page: Page) -> None:
    page.get_by_role("link", name="Add a package").click()
    page.get_by_label("Name", exact=True).fill("Eight sessions")
    page.get_by_label("sessions", exact=True).check()
    page.get_by_label("How many", exact=True).fill("8")
    page.get_by_label("Valid for how many days").fill("90")
    page.get_by_label("Price of it all, EUR").fill("360")
    page.get_by_role("button", name="Keep").click()
    expect(page.get_by_text("“Eight sessions” can be sold now.")).to_be_visible()


def sell(page: Page) -> None:
    page.get_by_role("link", name="sell Eight sessions").click()
    page.get_by_label("For whom").select_option("Meret A.")
    page.get_by_label("Address for the bill").fill("3 Orchard Lane\nGalway")
    page.get_by_role("button", name="Sell it and draft the invoice").click()
    expect(page.get_by_role("heading", name="Draft invoice")).to_be_visible()


def add_line(page: Page) -> None:
    """One line more, and taken away again, in place."""
    line = page.get_by_role("group", name="Line 2")
    line.get_by_label("For what").fill("Band")
    line.get_by_label("Price of one").fill("12.50")
    page.get_by_role("button", name="Keep, and another line").click()
    expect(page.get_by_text("together €372.50, as last kept")).to_be_visible()
    expect(page.get_by_role("group", name="Line 3").get_by_label("For what")).to_be_focused()
    page.get_by_role("button", name="remove line 2").click()
    expect(page.get_by_text("together €360.00, as last kept")).to_be_visible()


def issue(page: Page) -> None:
    page.get_by_role("button", name="Keep, and look once more").click()
    expect(page.get_by_text("After this it never changes.")).to_be_visible()


@pytest.mark.endurance
@pytest.mark.parametrize("width", PHONE_AND_DESK)
def test_the_whole_way_from_a_package_to_the_money(
    window: Callable[..., Page], axe: Axe, owner_of_one: User, width: int
) -> None:
    page = window(width=width, user=owner_of_one)
    page.goto("/accounts/packages/")
    add_package(page)
    checked(page, axe, width)
    sell(page)
    add_line(page)
    checked(page, axe, width)
    issue(page)
    checked(page, axe, width)
    page.get_by_role("button", name="Issue it").click()
    expect(page.get_by_role("heading", name="2026-00001")).to_be_visible()
    address = page.get_by_role("link", name="Open the PDF").get_attribute("href")
    pdf = page.request.get(address or "")
    assert (pdf.status, pdf.body()[:5]) == (200, b"%PDF-")
    checked(page, axe, width)
    expect(page.get_by_label("Amount, EUR").first).to_have_value("360.00")
    page.get_by_role("button", name="Record it").click()
    expect(page.get_by_text("€360.00 is recorded.")).to_be_visible()
    expect(page.locator(".standing")).to_contain_text("paid")
    checked(page, axe, width)
    assert (Invoice.objects.get().number, Payment.objects.get().amount_minor) == (
        "2026-00001",
        36_000,
    )


def test_pressed_twice_it_is_paid_once(window: Callable[..., Page], owner_of_one: User) -> None:
    bill = made.issued()
    page = window(width=390, user=owner_of_one)
    page.goto(f"/accounts/invoices/{bill.uid}/")
    page.get_by_label("Amount, EUR").first.fill("50")
    page.get_by_role("button", name="Record it").dblclick()
    expect(page.get_by_text("€130.00 open", exact=True)).to_be_visible()
    assert list(Payment.objects.values_list("amount_minor", flat=True)) == [5_000]


def test_a_session_is_counted_in_its_line(
    window: Callable[..., Page], axe: Axe, owner_of_one: User
) -> None:
    made.sale()
    page = window(width=390, user=owner_of_one)
    page.goto("/accounts/sales/")
    page.get_by_role("button", name="session today").click()
    expect(page.get_by_text("9 of 10 sessions left, until 31 May 2027")).to_be_visible()
    page.get_by_role("button", name="session today").click()
    expect(page.get_by_text("8 of 10 sessions left, until 31 May 2027")).to_be_visible()
    checked(page, axe, 390)


@pytest.mark.parametrize("place", ["sales", "invoices"])
def test_choosing_her_brings_who_paid_for_her_last(
    window: Callable[..., Page], owner_of_one: User, place: str
) -> None:
    made.draft(Client.objects.get(), buyer=Party("Bridge Ltd", "1 Quay\nCork"))
    page = window(user=owner_of_one)
    page.goto(f"/accounts/{place}/add/")
    page.get_by_label("For whom").select_option("Meret A.")
    expect(page.get_by_label("Payer’s name")).to_have_value("Bridge Ltd")
    expect(page.get_by_label("Address for the bill")).to_have_value("1 Quay\nCork")


def test_the_return_key_keeps_the_draft_and_removes_no_line(
    window: Callable[..., Page], owner_of_one: User
) -> None:
    draft = made.draft()
    page = window(user=owner_of_one)
    page.goto(f"/accounts/invoices/{draft.uid}/draft/")
    page.get_by_role("group", name="Line 1").get_by_label("Price of one").fill("200")
    page.keyboard.press("Enter")
    expect(page.get_by_text("together €200.00, as last kept")).to_be_visible()


def test_without_javascript_a_line_is_added_and_it_is_issued(
    chromium: Any, live_server: Any, owner_of_one: User
) -> None:
    from tests.conftest import sign_in

    draft = made.draft()
    context = chromium.new_context(base_url=live_server.url, java_script_enabled=False)
    cookie = sign_in(owner_of_one).cookies["session"].value
    context.add_cookies([{"name": "session", "value": cookie, "url": live_server.url}])
    page = context.new_page()
    page.goto(f"/accounts/invoices/{draft.uid}/draft/")
    line = page.get_by_role("group", name="Line 2")
    line.get_by_label("For what").fill("Band")
    line.get_by_label("Price of one").fill("12.50")
    page.get_by_role("button", name="Keep, and another line").click()
    expect(page.get_by_text("together €192.50, as last kept")).to_be_visible()
    page.get_by_role("button", name="remove line 1").click()
    expect(page.get_by_text("together €12.50, as last kept")).to_be_visible()
    issue(page)
    page.get_by_role("button", name="Issue it").click()
    expect(page.get_by_role("heading", name="2026-00001")).to_be_visible()
    context.close()
