"""The style page and the sign-in page in Chromium: contrast, keyboard, large text, dragging.

Accessibility is checked by axe-core against WCAG 2.0, 2.1 and 2.2, levels A and AA.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from playwright.sync_api import Browser, Page, expect

from coach.practice.permissions import Role
from tests import factories
from tests.browser.widths import PHONE_AND_DESK

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
AXE = Path(__file__).parents[1] / "browser" / "vendor" / "axe.min.js"
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
BROKEN = """(rules) => axe.run({runOnly: rules, resultTypes: ['violations']}).then((found) =>
  found.violations.map((v) => v.id + ": " + v.nodes.map((n) => n.target).join(" ")))"""


@pytest.fixture
def window(chromium: Browser, live_server: Any) -> Iterator[Any]:
    """`window(width=390)` is a page of the owner's browser, signed in; it fails on any refusal."""
    factories.practice()
    session = Client()
    session.force_login(factories.person(Role.OWNER))
    refused: list[str] = []
    opened = []

    def make(width: int = 1280, height: int = 900, colours: str = "light") -> Page:
        context = chromium.new_context(
            base_url=live_server.url,
            viewport={"width": width, "height": height},
            color_scheme=colours,  # type: ignore[arg-type]  # a literal there
        )
        context.add_cookies(
            [{"name": "session", "value": session.cookies["session"].value, "url": live_server.url}]
        )
        page = context.new_page()
        page.on("console", lambda said: refused.append(said.text) if said.type == "error" else None)
        page.on("pageerror", lambda error: refused.append(str(error)))
        opened.append(context)
        return page

    yield make
    for context in opened:
        context.close()
    assert refused == []


def broken_rules(page: Page) -> Any:
    page.evaluate(AXE.read_text("utf-8"))
    return page.evaluate(BROKEN, RULES)


def overflow(page: Page) -> Any:
    return page.evaluate("document.documentElement.scrollWidth - innerWidth")


@pytest.mark.parametrize("colours", ["light", "dark"])
@pytest.mark.parametrize("width", PHONE_AND_DESK)
@pytest.mark.parametrize("address", ["/style/", "/account/password/change/"])
def test_a_page_breaks_no_rule_of_accessibility(
    window: Any, address: str, width: int, colours: str
) -> None:
    # So tall that nothing lies under the bar: axe would count it as covered.
    page = window(width=width, height=8000, colours=colours)
    page.goto(address)
    assert broken_rules(page) == []


def test_the_narrowest_phone_needs_no_scrolling_sideways(window: Any) -> None:
    page = window(width=360)
    page.goto("/style/")
    assert overflow(page) == 0


@pytest.mark.parametrize("width", [390, 1280])
def test_text_at_twice_its_size_still_fits(window: Any, width: int) -> None:
    page = window(width=width)
    page.goto("/style/")
    page.evaluate("document.documentElement.style.fontSize = '200%'")
    assert overflow(page) == 0


def test_the_first_stop_of_the_keyboard_leads_to_the_content(window: Any) -> None:
    page = window()
    page.goto("/practice/")
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="To the content")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("#main")).to_be_focused()


HIDDEN_STOPS = """() => {
  const bar = document.querySelector(".bar").getBoundingClientRect();
  const at = document.activeElement;
  const box = at.getBoundingClientRect();
  return !at.closest(".bar") && box.bottom > bar.top && box.top < bar.bottom
    ? at.outerHTML.slice(0, 90) : null;
}"""


def test_no_stop_of_the_keyboard_lies_under_the_bar_of_the_phone(window: Any) -> None:
    page = window(width=390, height=700)
    page.goto("/style/")
    page.evaluate("document.querySelector('#main').focus()")
    hidden = []
    for _ in range(45):
        page.keyboard.press("Tab")
        hidden.append(page.evaluate(HIDDEN_STOPS))
    assert [stop for stop in hidden if stop] == []


def test_the_rest_of_the_sections_open_and_close_by_keyboard(window: Any) -> None:
    page = window(width=390)
    page.goto("/style/")
    more = page.locator(".bar summary")
    more.focus()
    page.keyboard.press("Enter")
    expect(page.locator(".bar").get_by_role("link", name="Practice")).to_be_visible()
    page.keyboard.press("Tab")
    page.keyboard.press("Escape")
    expect(page.locator(".bar .rest")).to_be_hidden()
    expect(more).to_be_focused()


def test_an_upload_dragged_to_another_day_sends_its_own_form(window: Any) -> None:
    page = window(height=1600)
    page.goto("/style/")
    day = page.locator("[data-drag-to='2027-01-14']")
    day.scroll_into_view_if_needed()
    expect(page.locator("#sortable")).to_be_attached()
    page.locator("[data-drag-id='8'] .grip").hover()
    page.mouse.down()
    for share in (0.2, 0.5, 0.8, 1):
        box = day.bounding_box()
        assert box
        page.mouse.move(box["x"] + box["width"] / 2 * share, box["y"] + 12 * share, steps=6)
    page.mouse.up()
    page.wait_for_url("**/style/?day=2027-01-14")


def test_a_secret_is_copied_with_one_press(window: Any) -> None:
    page = window()
    page.goto("/style/")
    page.locator("[data-copy='#style-secret']").click()
    expect(page.locator("[data-copy='#style-secret']")).to_have_text("Copied")


def test_without_javascript_nothing_is_offered_that_needs_it(
    chromium: Browser, live_server: Any
) -> None:
    factories.practice()
    session = Client()
    session.force_login(factories.person(Role.OWNER))
    context = chromium.new_context(base_url=live_server.url, java_script_enabled=False)
    context.add_cookies(
        [{"name": "session", "value": session.cookies["session"].value, "url": live_server.url}]
    )
    page = context.new_page()
    page.goto("/style/")
    expect(page.locator(".grip").first).to_be_hidden()
    expect(page.locator("[data-copy]")).to_be_hidden()
    expect(page.locator(".move summary").first).to_be_visible()
    context.close()
