"""A form by link on a phone of 360 px: from the link to the accepted client, with the connection
lost on the way, the browser closed and opened again, and without the script."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from clients.actions.intake import make_link
from clients.models import Client, Intake, WarningSign
from coach.practice.audit import SYSTEM
from coach.practice.models import User
from coach.practice.permissions import Role
from tests import factories
from tests.browser.widths import PHONE_AND_DESK
from tests.clients.intakes import PLACE, YOU, at, keep
from tests.clients.intakes import begin as begun
from tests.clients.pages import PDF

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def intake(transactional_db: None) -> Intake:
    factories.practice()
    return make_link(by=SYSTEM, name="Aveline", email="aveline@example.org")


@pytest.fixture
def phone(chromium: Browser, live_server: Any) -> Iterator[Callable[..., BrowserContext]]:
    """`phone(script=False)`: a context of its own, which may lose its connection."""
    contexts: list[BrowserContext] = []

    def open_(*, script: bool = True) -> BrowserContext:
        context = chromium.new_context(
            base_url=live_server.url,
            viewport={"width": 360, "height": 740},
            locale="en-IE",
            timezone_id="Europe/Dublin",
            java_script_enabled=script,
        )
        context.set_default_timeout(10_000)
        contexts.append(context)
        return context

    yield open_
    for context in contexts:
        context.close()


def begin(page: Page, intake: Intake) -> None:
    page.goto(at(intake))
    page.get_by_label("Your date of birth").fill("1994-05-02")
    page.get_by_role("button", name="Begin").click()


def on(page: Page, step: str, button: str = "Next") -> None:
    page.get_by_role("button", name=button, exact=True).click()
    page.wait_for_url(f"**/{step}/")


def fill(page: Page, values: dict[str, str]) -> None:
    for name, value in values.items():
        field = page.locator(f"[name={name}]")
        if field.evaluate("field => field.tagName") == "SELECT":
            field.select_option(value)
        else:
            field.fill(value)


def answer_all(page: Page, answer: str) -> None:
    for box in page.locator(f"input[type=radio][value={answer}]").all():
        box.check()


def fits(page: Page) -> bool:
    """No sideways scrolling."""
    wide: bool = page.evaluate("() => document.documentElement.scrollWidth <= innerWidth")
    return wide


def kept(page: Page) -> None:
    expect(page.locator("#kept")).to_contain_text("Kept.")


def copies(page: Page) -> list[str]:
    found: list[str] = page.evaluate("() => Object.keys(localStorage)")
    return found


@pytest.mark.endurance
def test_from_the_link_to_the_accepted_client(
    phone: Callable[..., BrowserContext], window: Callable[..., Page], intake: Intake,
    axe: Callable[..., list[str]], tmp_path: Path,
) -> None:  # fmt: skip
    page = phone().new_page()
    faults: dict[str, Any] = {}

    def look(name: str) -> None:
        faults[name] = (fits(page), axe(page))

    begin(page, intake)
    expect(page.locator("[name=time_zone]")).to_have_value("Europe/Dublin")
    look("you")
    fill(page, {**YOU})
    on(page, "place")
    look("place")
    fill(page, PLACE)
    on(page, "now")
    look("now")
    page.get_by_label("I am pregnant").check()
    on(page, "dates")
    look("dates")
    fill(page, {"day": "2027-04-12", "dated_by": "clinician", "how_many": "1"})
    on(page, "before")
    expect(page.locator("[name=e0-mode]")).to_be_hidden()
    fill(page, {"e0-kind": "delivered", "e0-ended": "2023-05-01", "e0-mode": "caesarean"})
    look("before")
    on(page, "signs")
    answer_all(page, "no")
    look("signs")
    on(page, "health")
    answer_all(page, "no")
    on(page, "consent")
    look("consent")
    page.get_by_label("Keep what I say about my health").check()
    on(page, "letter")
    look("letter")
    letter = tmp_path / "letter.pdf"
    letter.write_bytes(PDF)
    page.get_by_label("The letter").set_input_files(letter)
    on(page, "send")
    look("send")
    page.get_by_role("button", name="Send to Strand Row Movement").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Received")
    assert {name: found for name, found in faults.items() if found != (True, [])} == {}
    assert copies(page) == []
    accept(window(width=390, user=factories.person(Role.OWNER)), intake)


def accept(page: Page, intake: Intake) -> None:
    page.goto("/clients/forms/")
    page.get_by_role("link", name="read").click()
    page.get_by_role("button", name="Add her as a client").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("her form is taken over")
    client = Client.objects.get()
    assert (client.name, client.pregnancies.count()) == (YOU["name"], 2)
    expect(page.get_by_role("link", name="Record the clearance from this letter")).to_be_visible()


def test_what_is_typed_while_the_connection_is_lost_is_not_lost(
    phone: Callable[..., BrowserContext], intake: Intake
) -> None:
    context = phone()
    page = context.new_page()
    begin(page, intake)
    fill(page, YOU)
    on(page, "place")
    context.set_offline(True)
    fill(page, {"trains_at": "Flat 3, 8 Quay Street"})
    expect(page.locator("#kept")).to_contain_text("No connection.")
    page.get_by_role("button", name="Next").click()
    expect(page.locator("[name=trains_at]")).to_have_value("Flat 3, 8 Quay Street")
    intake.refresh_from_db()
    assert "place" not in intake.answers["steps"]
    context.set_offline(False)
    kept(page)
    intake.refresh_from_db()
    assert intake.answers["steps"]["place"] == {"trains_at": "Flat 3, 8 Quay Street"}
    assert copies(page) == []


def test_closed_while_offline_and_opened_again_it_brings_back_what_was_typed(
    phone: Callable[..., BrowserContext], intake: Intake
) -> None:
    context = phone()
    page = context.new_page()
    begin(page, intake)
    fill(page, YOU)
    on(page, "place")
    context.set_offline(True)
    fill(page, {"trains_at": "Flat 3", "emergency_number": "112"})
    expect(page.locator("#kept")).to_contain_text("No connection.")
    page.close()
    context.set_offline(False)
    again = context.new_page()
    again.goto(at(intake))
    again.wait_for_url("**/place/")
    expect(again.locator("[name=emergency_number]")).to_have_value("112")
    kept(again)
    intake.refresh_from_db()
    assert intake.answers["steps"]["place"] == {"trains_at": "Flat 3", "emergency_number": "112"}
    assert copies(again) == []


def test_a_stop_is_told_where_she_taps_and_holds_at_once(
    phone: Callable[..., BrowserContext], transactional_db: None,
    axe: Callable[..., list[str]],
) -> None:  # fmt: skip
    factories.practice()
    client = factories.client("Meret A.")
    intake = make_link(by=SYSTEM, client=client)
    keep(begun(intake), intake, "now", {"situation": "carrying"})
    page = phone().new_page()
    page.goto(at(intake, "signs"))
    page.locator("[name=chest][value=yes]").check()
    expect(page.locator("#told-chest")).to_contain_text("Stop training now.")
    expect(page.locator("#advice [role=alert]")).to_contain_text("Ring the emergency number")
    assert [(one.client, one.code) for one in WarningSign.objects.all()] == [(client, "chest")]
    page.locator("[name=chest][value=no]").check()
    kept(page)
    expect(page.locator("#told-chest")).to_contain_text("Stop training now.")
    assert (fits(page), axe(page)) == (True, [])
    assert WarningSign.objects.count() == 1


@pytest.mark.endurance
def test_it_works_without_the_script(phone: Callable[..., BrowserContext], intake: Intake) -> None:
    """Forms alone; a browser that is told "no-referrer" would be refused here."""
    page = phone(script=False).new_page()
    begin(page, intake)
    fill(page, YOU)
    on(page, "place")
    on(page, "now")
    page.get_by_label("I’d rather tell my coach").check()
    on(page, "place", "Back")
    on(page, "now")
    expect(page.get_by_label("I’d rather tell my coach")).to_be_checked()
    on(page, "before")
    on(page, "before", "Add an earlier one")
    expect(page.locator("[name=e1-kind]")).to_be_visible()
    on(page, "signs")
    page.locator("[name=blood][value=yes]").check()
    page.get_by_role("button", name="Next", exact=True).click()
    expect(page.get_by_role("alert").first).to_contain_text("Stop training.")
    on(page, "health", "Go on with open questions")
    page.goto(at(intake, "consent"))
    page.get_by_label("Keep what I say about my health").check()
    on(page, "letter")
    on(page, "send")
    page.get_by_role("button", name="Send to Strand Row Movement").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Received")
    expect(page.locator(".urgent")).to_contain_text("Stop training.")


def test_a_link_that_is_closed_erases_what_this_phone_kept(
    phone: Callable[..., BrowserContext], intake: Intake
) -> None:
    context = phone()
    page = context.new_page()
    begin(page, intake)
    context.set_offline(True)
    fill(page, {"phone": "+353 85 012 7788"})
    expect(page.locator("#kept")).to_contain_text("No connection.")
    assert len(copies(page)) == 1
    Intake.objects.filter(pk=intake.pk).update(withdrawn_at=intake.created_at)
    context.set_offline(False)
    expect(page.get_by_role("heading", level=1)).to_contain_text("Closed")
    assert copies(page) == []


@pytest.mark.parametrize("width", PHONE_AND_DESK)
def test_the_coachs_pages_hold_at_both_widths(
    window: Callable[..., Page], intake: Intake, axe: Callable[..., list[str]], width: int
) -> None:
    owner: User = factories.person(Role.OWNER)
    begun(intake, born="2009-03-14")
    page = window(width=width, user=owner)
    for path in ("/clients/forms/", f"/clients/forms/{intake.pk}/"):
        page.goto(path)
        page.set_viewport_size({"width": width, "height": 4000})
        assert (path, fits(page), axe(page)) == (path, True, [])
    page.get_by_label("she goes on").check()
    page.get_by_label("Who consented for her").fill("Her mother, Orla")
    page.get_by_label("On which day").fill("2026-12-02")
    page.get_by_role("button", name="Keep").click()
    expect(page.locator("#messages")).to_contain_text("Kept, with your name and the time.")
    assert not re.search("under 18", page.locator("main").inner_text())
