"""On a phone: a clearance with its letter, a warning sign in two taps, an assessment, a note."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from clients import actions
from clients.models import Assessment, Clearance, Client, Entry, WarningSign
from coach.practice import files
from coach.practice.audit import SYSTEM
from coach.practice.models import User
from coach.practice.permissions import Role
from tests import factories
from tests.browser.widths import PHONE_AND_DESK
from tests.clients.pages import PDF
from tests.clients.told_everything import answers, entry
from tests.conftest import sign_in
from tests.factories_clearance import assessment

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def meret(transactional_db: None) -> Client:
    factories.practice()
    client = factories.client("Meret A.", phone="+353 86 123 4567")
    factories.pregnancy(client, due=date(2027, 2, 21), dated_by="scan")
    actions.record_screening(
        by=SYSTEM, client=client, phase="pregnant", answers=answers("pregnant"),
        answered_on=date(2026, 11, 30), how="call",
    )  # fmt: skip
    return client


@pytest.fixture
def owner_of_meret(meret: Client) -> User:
    return factories.person(Role.OWNER)


@pytest.fixture
def letter(tmp_path: Path) -> Path:
    path = tmp_path / "letter.pdf"
    path.write_bytes(PDF)
    return path


def accessible(page: Page, axe: Callable[..., list[str]]) -> list[str]:
    """What axe finds; in a tall window, or what lies under the bar would count as covered."""
    size = page.viewport_size
    assert size is not None
    page.set_viewport_size({**size, "height": 8000})
    found = axe(page)
    page.set_viewport_size(size)
    return found


def record_clearance(page: Page, letter: Path) -> None:
    page.get_by_role("link", name="Clearance", exact=True).click()
    page.get_by_label("go ahead, with limits").check()
    page.get_by_label("Said or written on").fill("2026-12-01")
    page.get_by_label("By whom").select_option("midwife")
    page.get_by_label("Name of the clinician").fill("Imelda Roe")
    page.get_by_label("I have seen the letter").check()
    page.get_by_label("The letter", exact=False).last.set_input_files(letter)
    page.get_by_role("group", name="Was she examined for it?").get_by_label("yes").check()
    page.get_by_label("not lying flat").check()
    page.get_by_label("Effort up to, of 10").fill("6")
    page.get_by_label("until the birth").check()
    page.get_by_role("button", name="Keep").click()


@pytest.mark.parametrize("width", PHONE_AND_DESK)
def test_a_clearance_is_recorded_with_its_letter(
    window: Callable[..., Page], owner_of_meret: User, meret: Client, letter: Path,
    axe: Callable[..., list[str]], width: int,
) -> None:  # fmt: skip
    page = window(width=width, user=owner_of_meret)
    page.goto(f"/clients/{meret.pk}/")
    record_clearance(page, letter)
    expect(page.locator(".standing")).to_have_text(
        "Yes, with limits Not lying flat; effort up to 6 of 10"
    )
    row = Clearance.objects.get()
    assert row.document is not None
    assert (files.read(row.document), row.document.name) == (PDF, "letter.pdf")
    assert accessible(page, axe) == []


def test_what_was_typed_stays_when_the_file_is_not_taken(
    window: Callable[..., Page], owner_of_meret: User, meret: Client, letter: Path,
    axe: Callable[..., list[str]],
) -> None:  # fmt: skip
    letter.write_bytes(b"no letter at all")
    page = window(width=390, user=owner_of_meret)
    page.goto(f"/clients/{meret.pk}/")
    record_clearance(page, letter)
    expect(page.get_by_role("alert")).to_contain_text("The letter")
    expect(page.locator("#id_document_error")).to_contain_text("Take a PDF")
    expect(page.get_by_label("Name of the clinician")).to_have_value("Imelda Roe")
    expect(page.get_by_label("not lying flat")).to_be_checked()
    assert (Clearance.objects.count(), accessible(page, axe)) == (0, [])


@pytest.mark.parametrize("width", PHONE_AND_DESK)
def test_a_warning_sign_takes_two_taps_and_says_what_to_do(
    window: Callable[..., Page], owner_of_meret: User, meret: Client,
    axe: Callable[..., list[str]], width: int,
) -> None:  # fmt: skip
    page = window(width=width, user=owner_of_meret)
    page.goto(f"/clients/{meret.pk}/")
    expect(page.get_by_role("link", name="Warning sign")).to_be_in_viewport()
    page.get_by_role("link", name="Warning sign").click()
    first = page.locator(".signs .btn").first
    expect(first).to_be_in_viewport()
    box = first.bounding_box()
    assert box is not None
    assert box["height"] >= 48
    assert accessible(page, axe) == []
    first.click()
    expect(page.locator(".urgent")).to_contain_text("Call the local emergency number now")
    expect(page.locator(".urgent")).to_contain_text("not known: ask her")
    expect(page.locator("main")).to_contain_text("is on hold until a clinician has answered")
    assert (WarningSign.objects.get().code, accessible(page, axe)) == ("chest", [])
    page.get_by_role("link", name="Her page").click()
    expect(page.locator(".standing")).to_have_text("On hold")


@pytest.mark.parametrize("width", [360, *PHONE_AND_DESK])
def test_the_warning_sign_stays_at_hand_wherever_she_reads(
    window: Callable[..., Page], owner_of_meret: User, meret: Client, width: int
) -> None:
    for n in range(20):
        entry(meret, "note", date(2026, 11, 1), f"entry {n}\n" * 5)
    page = window(width=width, user=owner_of_meret)
    page.goto(f"/clients/{meret.pk}/")
    for place in ("#main h1", "#happened h2", "#happened .pager", ".caution"):
        page.locator(place).first.scroll_into_view_if_needed()
        link = page.get_by_role("link", name="Warning sign")
        expect(link).to_be_in_viewport(ratio=1)
        # Nothing lies over it: what is at its middle is the link itself.
        assert link.evaluate(
            "e => { const b = e.getBoundingClientRect(); return document.elementFromPoint("
            "b.x + b.width / 2, b.y + b.height / 2) === e; }"
        ), place


@pytest.mark.parametrize("width", PHONE_AND_DESK)
def test_what_has_the_keyboard_is_never_hidden_beneath_it(
    window: Callable[..., Page], owner_of_meret: User, meret: Client, width: int
) -> None:
    """WCAG 2.2, 2.4.11: what has the focus is not hidden entirely."""
    page = window(width=width, user=owner_of_meret)
    page.goto(f"/clients/{meret.pk}/")
    page.locator("#main").focus()
    hidden, steps = [], 0
    while steps < 60 and not page.evaluate("document.activeElement.closest('.at-hand')"):
        page.keyboard.press("Tab")
        steps += 1
        hidden += page.evaluate(
            "() => { const e = document.activeElement, b = e.getBoundingClientRect(),"
            " over = document.elementFromPoint(b.x + 4, b.y + b.height / 2);"
            " return over && (over === e || e.contains(over) || over.contains(e)) ? [] :"
            " [e.textContent.trim().slice(0, 40)]; }"
        )
    assert (hidden, 10 < steps < 60) == ([], True)


@pytest.mark.parametrize("width", PHONE_AND_DESK)
def test_a_note_is_written_in_place_and_the_time_line_filtered(
    window: Callable[..., Page], owner_of_meret: User, meret: Client,
    axe: Callable[..., list[str]], width: int,
) -> None:  # fmt: skip
    page = window(width=width, user=owner_of_meret)
    page.goto(f"/clients/{meret.pk}/")
    page.get_by_text("Paste a message").click()
    page.get_by_label("The message").fill("Mornings?")
    page.get_by_role("button", name="Keep").click()
    expect(page.locator("#message_channel_error")).to_contain_text("Say how it came")
    expect(page.get_by_label("The message")).to_have_value("Mornings?")
    assert accessible(page, axe) == []
    page.get_by_label("How it came").fill("text message")
    page.get_by_role("button", name="Keep").click()
    expect(page.locator("#messages")).to_contain_text("Kept.")
    expect(page.locator("#happened .lines > li").first).to_contain_text("now")
    assert Entry.objects.get().text == "Mornings?"
    page.get_by_role("link", name="messages 1").click()
    expect(page.locator("#happened .lines > li")).to_have_count(1)
    expect(page).to_have_url(re.compile(r"\?kind=message$"))
    assert accessible(page, axe) == []
    page.go_back()
    expect(page.locator("#happened .lines > li")).to_have_count(3)
    expect(page.get_by_role("heading", level=1)).to_have_text("Meret A.")


@pytest.mark.parametrize("path", ["place/", "notes/add/", "exception/"])
@pytest.mark.parametrize("width", PHONE_AND_DESK)
def test_the_forms_around_her_page_are_accessible(
    window: Callable[..., Page], owner_of_meret: User, meret: Client,
    axe: Callable[..., list[str]], path: str, width: int,
) -> None:  # fmt: skip
    page = window(width=width, user=owner_of_meret, scheme="dark")
    page.goto(f"/clients/{meret.pk}/{path}")
    assert accessible(page, axe) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_enter_in_the_note_records_nothing(
    window: Callable[..., Page], owner_of_meret: User, meret: Client
) -> None:
    page = window(width=390, user=owner_of_meret)
    page.goto(f"/clients/{meret.pk}/signs/add/")
    page.get_by_text("It was not today").click()
    page.get_by_label("Note").fill("since the morning")
    page.get_by_label("Note").press("Enter")
    page.get_by_role("button", name="Dizzy or faint").click()
    expect(page.locator("main")).to_contain_text("Dizzy or faint (since the morning)")
    assert WarningSign.objects.count() == 1


@pytest.mark.parametrize("width", PHONE_AND_DESK)
def test_an_assessment_is_recorded_and_drawn(
    window: Callable[..., Page], owner_of_meret: User, meret: Client,
    axe: Callable[..., list[str]], width: int,
) -> None:  # fmt: skip
    assessment(meret, date(2026, 10, 22), width_navel_rest=29)
    page = window(width=width, user=owner_of_meret)
    page.goto(f"/clients/{meret.pk}/")
    page.get_by_role("link", name="Assess", exact=True).click()
    page.locator("#id_width-navel-rest").fill("34")
    page.locator("#id_doming label", has_text="yes").click()
    expect(page.locator("#kept")).to_contain_text("Kept")
    assert accessible(page, axe) == []
    page.get_by_role("button", name="Finish").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Assessments")
    page.get_by_text("as a table").first.click()
    expect(page.get_by_role("row", name="3 Dec 28 w 34 mm")).to_be_visible()
    assert (Assessment.objects.count(), accessible(page, axe)) == (2, [])


def test_without_javascript_it_all_works_too(
    chromium: Any, live_server: Any, owner_of_meret: User, meret: Client, letter: Path
) -> None:
    context = chromium.new_context(
        base_url=live_server.url, java_script_enabled=False, viewport={"width": 390, "height": 844}
    )
    cookie = sign_in(owner_of_meret).cookies["session"].value
    context.add_cookies([{"name": "session", "value": cookie, "url": live_server.url}])
    page = context.new_page()
    page.goto(f"/clients/{meret.pk}/")
    record_clearance(page, letter)
    expect(page.locator(".standing")).to_contain_text("Yes, with limits")
    page.get_by_role("link", name="Warning sign").click()
    page.get_by_role("button", name="Dizzy or faint").click()
    expect(page.locator("main")).to_contain_text("is on hold until a clinician has answered")
    page.get_by_role("link", name="Her page").click()
    page.get_by_role("link", name="Assess", exact=True).click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("No assessment now")
    page.get_by_role("link", name="Her page").click()
    page.get_by_text("Write a note").click()
    page.get_by_label("What you want to keep").fill("She rang.")
    page.get_by_role("button", name="Keep").click()
    expect(page.locator("#happened")).to_contain_text("She rang.")
    page.get_by_role("link", name="notes 1").click()
    expect(page.locator("#happened .lines > li")).to_have_count(1)
    context.close()
