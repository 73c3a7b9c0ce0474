"""An assessment taken on a telephone: every tap is kept, without a connection too, once."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import date
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from clients.models import Assessment, Client
from coach.practice.models import User
from coach.practice.permissions import Role
from tests import factories
from tests.conftest import sign_in
from tests.factories_clearance import assessment, clearance, screening, sign

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

LAST = {
    "width_above45_rest": 14, "width_navel_rest": 28, "width_below45_rest": 11, "doming": "no",
    "leaking": "no", "heaviness": "no", "pain": "no", "urgency": "no", "girdle": "no", "effort": 5,
}  # fmt: skip
SYMPTOMS = ("leaking", "heaviness", "pain", "urgency", "girdle")


@pytest.fixture
def una(practice: Any) -> User:
    return factories.person(Role.OWNER, email="una@example.org", name="Una Owner")


@pytest.fixture
def phone(chromium: Browser, live_server: Any, una: User) -> Iterator[Callable[..., Page]]:
    """`phone(script=False)`: a page of her own that may lose its connection."""
    contexts: list[BrowserContext] = []

    def open_(*, script: bool = True, width: int = 390) -> Page:
        context = chromium.new_context(
            base_url=live_server.url, viewport={"width": width, "height": 844},
            locale="en-IE", timezone_id="Europe/Dublin", java_script_enabled=script,
        )  # fmt: skip
        context.set_default_timeout(10_000)
        cookie = sign_in(una).cookies["session"].value
        context.add_cookies([{"name": "session", "value": cookie, "url": live_server.url}])
        contexts.append(context)
        return context.new_page()

    yield open_
    for context in contexts:
        context.close()


@pytest.fixture
def meret(practice: Any) -> Client:
    """Half a year after a birth, cleared, measured four weeks ago."""
    client = factories.client("Meret Solberg")
    factories.pregnancy(client, ended=date(2026, 5, 20), ending="birth", birth_mode="vaginal")
    screening(client, date(2026, 11, 20), phase="after")
    clearance(client, date(2026, 11, 20), examined="yes")
    assessment(client, date(2026, 11, 5), by="Una Owner", **LAST)
    return client


def row() -> Assessment:
    return Assessment.objects.latest("pk")


def kept(page: Page) -> None:
    expect(page.locator("#kept")).to_have_text(re.compile(r"^Kept \d\d:\d\d$"))


def copies(page: Page) -> list[str]:
    found: list[str] = page.evaluate("() => Object.keys(localStorage)")
    return [name for name in found if name.startswith("assess:")]


def say(page: Page, code: str, word: str) -> None:
    page.locator(f"#id_{code} label", has_text=re.compile(f"^{word}$")).click()


class Taps:
    """Presses, and counts them."""

    def __init__(self, page: Page) -> None:
        self.page, self.count = page, 0

    def on(self, selector: str, text: str = "") -> None:
        found = self.page.locator(selector)
        (found.filter(has_text=text) if text else found).first.click()
        self.count += 1


def test_a_repeat_takes_twelve_taps_or_fewer(
    window: Callable[..., Page], una: User, meret: Client
) -> None:
    page = window(width=390, user=una)
    page.goto("/diary/")
    taps = Taps(page)
    taps.on(f'a[href="/clients/{meret.pk}/assess/"]')
    for code in ("above45", "navel", "below45"):
        taps.on(f'.of-width[data-of="id_width-{code}-rest"]')
    for code in ("doming", *SYMPTOMS):
        taps.on(f'#id_{code} label:has(input[value="no"])')
    taps.on('[data-name="effort"]')
    kept(page)
    taps.on(".at-hand button.main")
    page.wait_for_url(f"**/clients/{meret.pk}/assessments/")
    again = row()
    assert taps.count <= 12
    assert again.finished_at is not None
    assert again.measures == {code.replace("_", "-"): value for code, value in LAST.items()}
    assert (again.method, again.position, again.by) == ("calliper", "crook", "Una Owner")
    assert Assessment.objects.count() == 2


def test_with_the_network_cut_in_the_middle_nothing_is_lost_and_nothing_is_twice(
    phone: Callable[..., Page], meret: Client
) -> None:
    page, complaints = phone(), list[str]()
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.goto(f"/clients/{meret.pk}/assess/")
    page.locator("#id_width-navel-rest").fill("26")
    kept(page)
    page.context.set_offline(True)
    say(page, "heaviness", "yes")
    page.locator("#id_width-below45-rest").fill("9")
    page.get_by_role("button", name="Finish").click()
    expect(page.locator("#kept")).to_have_text("No connection: kept on this phone")
    assert len(copies(page)) == 1
    assert row().measures == {"width-navel-rest": 26}
    page.context.set_offline(False)
    kept(page)
    assert copies(page) == []
    page.get_by_role("button", name="Finish").click()
    page.wait_for_url(f"**/clients/{meret.pk}/assessments/")
    assert row().measures == {
        "width-navel-rest": 26, "heaviness": "yes", "width-below45-rest": 9,
    }  # fmt: skip
    assert (Assessment.objects.count(), complaints) == (2, [])


def test_closed_without_a_connection_and_opened_again_it_goes_on(
    phone: Callable[..., Page], meret: Client
) -> None:
    page = phone()
    page.goto(f"/clients/{meret.pk}/assess/")
    page.locator("#id_width-navel-rest").fill("26")
    kept(page)
    page.context.set_offline(True)
    say(page, "leaking", "yes")
    expect(page.locator("#kept")).to_have_text("No connection: kept on this phone")
    context = page.context
    page.close()
    context.set_offline(False)
    again = context.new_page()
    again.goto(f"/clients/{meret.pk}/assess/")
    expect(again.locator('#id_leaking input[value="yes"]')).to_be_checked()
    kept(again)
    assert (row().measures, copies(again)) == ({"width-navel-rest": 26, "leaking": "yes"}, [])


def test_signing_out_takes_what_was_not_sent_off_the_telephone(
    window: Callable[..., Page], una: User, meret: Client
) -> None:
    page = window(width=1280, user=una)
    page.goto("/")
    page.evaluate("() => localStorage.setItem('assess:1:x', '{}')")
    page.get_by_role("button", name="sign out").first.click()
    page.wait_for_load_state()
    assert copies(page) == []


def test_a_second_tap_takes_an_answer_back(
    window: Callable[..., Page], una: User, meret: Client
) -> None:
    page = window(width=390, user=una)
    page.goto(f"/clients/{meret.pk}/assess/")
    page.locator("#id_width-navel-rest").fill("26")
    say(page, "heaviness", "no")
    kept(page)
    say(page, "heaviness", "no")
    expect(page.locator('#id_heaviness input[value=""]')).to_be_checked()
    page.get_by_role("button", name="Finish").click()
    page.wait_for_url("**/assessments/")
    assert row().measures == {"width-navel-rest": 26}


def test_steps_begin_at_last_time_s_and_go_by_halves_in_fingers(
    window: Callable[..., Page], una: User, meret: Client
) -> None:
    page = window(width=390, user=una)
    page.goto(f"/clients/{meret.pk}/assess/")
    more = page.locator('.step[data-step="1"][data-of="id_width-navel-rest"]')
    more.click()
    expect(page.locator("#id_width-navel-rest")).to_have_value("29")
    kept(page)
    page.locator("details.how summary").click()
    page.locator("#id_method label", has_text="finger-widths").click()
    expect(page.locator(".of-width").first).to_be_hidden()
    page.locator("#id_width-navel-rest").fill("2")
    more.click()
    expect(page.locator("#id_width-navel-rest")).to_have_value("2.5")
    expect(page.locator("#finger")).to_contain_text("stays in fingers")


def test_an_unlikely_value_is_asked_about_once(
    window: Callable[..., Page], una: User, meret: Client
) -> None:
    page = window(width=390, user=una)
    page.goto(f"/clients/{meret.pk}/assess/")
    page.locator("#id_width-navel-rest").fill("93")
    page.get_by_role("button", name="Finish").click()
    page.get_by_label("yes, it is right").check()
    page.get_by_role("button", name="Finish").click()
    page.wait_for_url("**/assessments/")
    assert (row().measures, row().finished_at is None) == ({"width-navel-rest": 93}, False)


def test_without_scripts_it_is_a_plain_form(phone: Callable[..., Page], meret: Client) -> None:
    page = phone(script=False)
    page.goto(f"/clients/{meret.pk}/assess/")
    page.fill("#id_width-navel-rest", "26")
    page.locator('#id_doming input[value="no"]').check()
    page.get_by_role("button", name="Keep and finish").click()
    page.wait_for_url("**/assessments/")
    assert row().measures == {"width-navel-rest": 26, "doming": "no"}


def test_closed_before_anything_of_it_arrived_it_goes_on_once(
    phone: Callable[..., Page], meret: Client
) -> None:
    page = phone()
    page.goto(f"/clients/{meret.pk}/assess/")
    context = page.context
    context.set_offline(True)
    page.locator("#id_width-navel-rest").fill("26")
    say(page, "heaviness", "yes")
    expect(page.locator("#kept")).to_have_text("No connection: kept on this phone")
    page.close()
    context.set_offline(False)
    again = context.new_page()
    again.goto(f"/clients/{meret.pk}/assess/")
    kept(again)
    expect(again.locator("#id_width-navel-rest")).to_have_value("26")
    assert row().measures == {"width-navel-rest": 26, "heaviness": "yes"}
    assert (Assessment.objects.count(), copies(again)) == (2, [])


def test_signed_out_meanwhile_she_signs_in_and_nothing_is_lost(
    phone: Callable[..., Page], una: User, meret: Client, live_server: Any
) -> None:
    page = phone()
    page.goto(f"/clients/{meret.pk}/assess/")
    page.locator("#id_width-navel-rest").fill("26")
    kept(page)
    page.context.clear_cookies(name="session")
    say(page, "heaviness", "yes")
    expect(page.locator("#kept")).to_contain_text("stays on this phone")
    assert (row().measures, len(copies(page))) == ({"width-navel-rest": 26}, 1)
    cookie = sign_in(una).cookies["session"].value
    page.context.add_cookies([{"name": "session", "value": cookie, "url": live_server.url}])
    page.reload()
    kept(page)
    assert row().measures == {"width-navel-rest": 26, "heaviness": "yes"}
    assert copies(page) == []


def test_put_on_hold_meanwhile_what_was_typed_stays_on_the_telephone(
    phone: Callable[..., Page], meret: Client
) -> None:
    page = phone()
    page.goto(f"/clients/{meret.pk}/assess/")
    sign(meret, date(2026, 12, 3))
    page.locator("#id_width-navel-rest").fill("26")
    expect(page.locator("#kept")).to_contain_text("She is on hold")
    assert (Assessment.objects.count(), len(copies(page))) == (1, 1)
    expect(page.locator("#id_width-navel-rest")).to_have_value("26")


@pytest.mark.parametrize(
    "width",
    [
        360,
        pytest.param(390, marks=pytest.mark.endurance),
        pytest.param(1280, marks=pytest.mark.endurance),
    ],
)
def test_every_target_is_as_large_as_a_thumb_and_nothing_is_hard_to_use(
    window: Callable[..., Page], una: User, meret: Client, axe: Callable[..., list[str]], width: int
) -> None:
    """48 px by 48 on a telephone: twice the 24 that WCAG 2.2, 2.5.8 asks."""
    page = window(width=width, user=una, scheme="dark")
    page.goto(f"/clients/{meret.pk}/assess/")
    for fold in page.locator("details.fold > summary, details.how > summary").all():
        fold.click()
    page.set_viewport_size({"width": width, "height": 8000})
    small = page.locator("#assess").evaluate(
        "form => [...form.querySelectorAll("
        "'button, .btn, summary, label:has(input[type=radio]), label.tick, .stepper input')]"
        ".filter(e => e.checkVisibility()).map(e => [e, e.getBoundingClientRect()])"
        ".filter(([e, box]) => box.height < 47.5 || box.width < (innerWidth < 832 ? 47.5 : 35))"
        ".map(([e, box]) => `${e.textContent.trim() || e.name} ${box.width} ${box.height}`)"
    )
    assert (small, axe(page)) == ([], [])
    assert page.evaluate("document.documentElement.scrollWidth") <= width
