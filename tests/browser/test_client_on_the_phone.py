"""On a phone: a clearance with its letter, a warning sign in two taps, an assessment."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from clients.models import Assessment, Clearance, Client, WarningSign
from coach.practice import files
from coach.practice.models import User
from coach.practice.permissions import Role
from tests import factories
from tests.clients.pages import PDF
from tests.conftest import sign_in
from tests.factories_clearance import assessment

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def meret(transactional_db: None) -> Client:
    factories.practice()
    client = factories.client("Meret A.", phone="+353 86 123 4567")
    factories.pregnancy(client, due=date(2027, 2, 21), dated_by="scan")
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


@pytest.mark.parametrize("width", [390, 1280])
def test_a_clearance_is_recorded_with_its_letter(
    window: Callable[..., Page], owner_of_meret: User, meret: Client, letter: Path,
    axe: Callable[..., list[str]], width: int,
) -> None:  # fmt: skip
    page = window(width=width, user=owner_of_meret)
    page.goto(f"/clients/{meret.pk}/")
    record_clearance(page, letter)
    expect(page.locator(".standing")).to_have_text("Letter on file")
    expect(page.locator("main")).to_contain_text("Not lying flat; effort up to 6 of 10.")
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


@pytest.mark.parametrize("width", [390, 1280])
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
    expect(page.locator("main")).to_contain_text("is on hold until a clinician has answered")
    assert (WarningSign.objects.get().code, accessible(page, axe)) == ("chest", [])
    page.get_by_role("link", name="Her page").click()
    expect(page.locator(".standing")).to_have_text("On hold")


def test_enter_in_the_note_records_nothing(
    window: Callable[..., Page], owner_of_meret: User, meret: Client
) -> None:
    page = window(width=390, user=owner_of_meret)
    page.goto(f"/clients/{meret.pk}/signs/add/")
    page.get_by_text("It was on an earlier day").click()
    page.get_by_label("Note").fill("since the morning")
    page.get_by_label("Note").press("Enter")
    page.get_by_role("button", name="Dizzy or faint").click()
    expect(page.locator("main")).to_contain_text("Dizzy or faint (since the morning)")
    assert WarningSign.objects.count() == 1


@pytest.mark.parametrize("width", [390, 1280])
def test_an_assessment_is_recorded_and_drawn(
    window: Callable[..., Page], owner_of_meret: User, meret: Client,
    axe: Callable[..., list[str]], width: int,
) -> None:  # fmt: skip
    assessment(meret, date(2026, 10, 22), at_mm=29)
    page = window(width=width, user=owner_of_meret)
    page.goto(f"/clients/{meret.pk}/")
    page.get_by_role("link", name="Assess", exact=True).click()
    page.get_by_label("At the navel").fill("34")
    page.get_by_role("group", name="Doming of the belly on a head lift").get_by_label("yes").check()
    page.get_by_label("on video").check()
    assert accessible(page, axe) == []
    page.get_by_role("button", name="Keep").click()
    expect(page.get_by_role("img", name="at the navel 29, 34 mm")).to_be_visible()
    page.get_by_text("as a table").click()
    expect(page.get_by_role("row", name="3 Dec")).to_contain_text("34")
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
    expect(page.locator(".standing")).to_have_text("Letter on file")
    page.get_by_role("link", name="Warning sign").click()
    page.get_by_role("button", name="Dizzy or faint").click()
    expect(page.locator("main")).to_contain_text("is on hold until a clinician has answered")
    page.get_by_role("link", name="Her page").click()
    page.get_by_role("link", name="Assess", exact=True).click()
    page.get_by_label("At the navel").fill("34")
    page.get_by_label("on video").check()
    page.get_by_role("button", name="Keep").click()
    expect(page.get_by_role("img", name="at the navel 34 mm")).to_be_visible()
    context.close()
