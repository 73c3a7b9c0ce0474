"""On a phone: somebody who wrote is kept in three interactions, invited in one tap."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from clients.models import Enquiry, EnquiryState, Intake
from coach.practice.models import User
from coach.practice.permissions import Role
from tests import factories
from tests.browser.widths import PHONE_AND_DESK
from tests.conftest import TODAY

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
THUMB = 44  # CSS pixels, WCAG 2.2, 2.5.5 (AAA): how large a choice must be to be tapped


@pytest.fixture
def owner_of_practice(transactional_db: None) -> User:
    factories.practice()
    return factories.person(Role.OWNER)


def accessible(page: Page, axe: Callable[..., list[str]]) -> list[str]:
    """What axe finds; in a tall window, or what lies under the bar would count as covered."""
    size = page.viewport_size
    assert size is not None
    page.set_viewport_size({**size, "height": 4000})
    found = axe(page)
    page.set_viewport_size(size)
    return found


def test_somebody_is_kept_by_her_name_one_way_to_reach_her_and_a_tap(
    window: Callable[..., Page], owner_of_practice: User, axe: Callable[..., list[str]]
) -> None:
    page = window(width=390, user=owner_of_practice)
    page.goto("/clients/")
    page.get_by_role("link", name="Add an enquiry").click()
    keep = page.get_by_role("button", name="Keep")
    expect(keep).to_be_in_viewport()
    assert accessible(page, axe) == []
    page.get_by_label("Name", exact=True).fill("Sunniva Ashdown")  # one
    page.get_by_label("How to reach her").fill("+353 86 123 4567")  # two
    keep.click()  # three
    expect(page.get_by_role("heading", name="Enquiries")).to_be_visible()
    expect(page.locator(".lines li").first).to_contain_text("Sunniva Ashdown")
    row = Enquiry.objects.get()
    assert (row.phone, row.email, row.handle) == ("+353 86 123 4567", "", "")
    assert (row.next_step, row.next_on) == ("Write back", date(2026, 12, 4))
    assert accessible(page, axe) == []


def test_every_choice_is_large_enough_for_a_thumb(
    window: Callable[..., Page], owner_of_practice: User
) -> None:
    page = window(width=390, user=owner_of_practice)
    page.goto("/clients/enquiries/add/")
    heights = [
        box["height"] if (box := choice.bounding_box()) else 0
        for choice in page.locator("fieldset label").all()
    ]
    assert len(heights) >= 8  # the places and the days
    assert min(heights) >= THUMB


def test_a_mistake_stands_beside_its_field_and_what_was_typed_stays(
    window: Callable[..., Page], owner_of_practice: User, axe: Callable[..., list[str]]
) -> None:
    page = window(width=390, user=owner_of_practice)
    page.goto("/clients/enquiries/add/")
    page.get_by_label("Name", exact=True).fill("Sunniva Ashdown")
    page.get_by_label("How to reach her").fill("sunniva@example")
    page.get_by_label("in a week").check()
    page.get_by_role("button", name="Keep").click()
    expect(page.locator("#id_reach_error")).to_contain_text("e-mail address")
    expect(page.get_by_label("Name", exact=True)).to_have_value("Sunniva Ashdown")
    expect(page.get_by_label("How to reach her")).to_have_value("sunniva@example")
    expect(page.get_by_label("in a week")).to_be_checked()
    assert (Enquiry.objects.count(), accessible(page, axe)) == (0, [])


@pytest.mark.parametrize("width", PHONE_AND_DESK)
def test_one_tap_on_her_page_makes_the_form(
    window: Callable[..., Page], owner_of_practice: User, axe: Callable[..., list[str]], width: int
) -> None:
    row = Enquiry.objects.create(name="Sunniva Ashdown", handle="@sunniva", came_on=TODAY)
    page = window(width=width, user=owner_of_practice)
    page.goto(f"/clients/enquiries/{row.pk}/")
    assert accessible(page, axe) == []
    page.get_by_role("button", name="Send the form").click()
    expect(page.get_by_role("heading", name="Sunniva Ashdown")).to_be_visible()
    row.refresh_from_db()
    assert (row.state, Intake.objects.get().enquiry) == (EnquiryState.INVITED, row)


def test_the_list_is_narrowed_as_one_types(
    window: Callable[..., Page], owner_of_practice: User
) -> None:
    values: dict[str, Any] = {"came_on": TODAY, "handle": "@somebody"}
    for name in ("Sunniva Ashdown", "Perdita Lockhart"):
        Enquiry.objects.create(name=name, **values)
    page = window(width=390, user=owner_of_practice)
    page.goto("/clients/enquiries/")
    page.get_by_label("Find").fill("perd")
    expect(page.locator(".lines li")).to_have_count(1)
    expect(page.locator(".lines li")).to_contain_text("Perdita Lockhart")
    page.get_by_label("Find").fill("")
    page.get_by_label("Which").select_option("closed")
    expect(page.locator("#enquiries")).to_contain_text("Nobody found")
