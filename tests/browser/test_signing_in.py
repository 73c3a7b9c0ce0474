"""Somebody signs in, looks around with the keyboard, and signs out."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from coach.practice.models import Practice
from tests import factories
from tests.browser.widths import PHONE_AND_DESK
from tests.conftest import PASSWORD

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def _nuala(transactional_db: None) -> Practice:
    made = factories.practice()
    factories.person(email="nuala@example.org", password=PASSWORD, name="Nuala")
    return made


@pytest.mark.usefixtures("_nuala")
@pytest.mark.parametrize("width", PHONE_AND_DESK)
def test_she_signs_in_by_keyboard_and_out_again(
    window: Callable[..., Page], axe: Callable[[Page], list[str]], width: int
) -> None:
    page = window(width=width)
    page.goto("/clients/")
    expect(page).to_have_url(ending("/account/login/?next=/clients/"))
    assert axe(page) == []
    page.get_by_label("Email").or_(page.get_by_label("E-mail")).fill("nuala@example.org")
    page.get_by_label("Password", exact=True).fill(PASSWORD)
    page.keyboard.press("Enter")
    expect(page).to_have_url(ending("/clients/"))
    if width == 390:
        page.get_by_text("More", exact=True).click()
    page.get_by_role("button", name="Sign out").or_(
        page.get_by_role("button", name="sign out")
    ).first.click()
    page.goto("/clients/")
    expect(page).to_have_url(ending("/account/login/?next=/clients/"))


@pytest.mark.usefixtures("_nuala")
def test_the_first_tab_leads_past_the_masthead(window: Callable[..., Page]) -> None:
    page = window()
    page.goto("/account/login/")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "To the content"


def ending(path: str) -> re.Pattern[str]:
    """Any server, this path."""
    return re.compile(re.escape(path) + "$")
