"""The month page by hand: drag, move by the form, accept one, a day off; phone and desk."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from coach.practice.models import User
from coach.practice.permissions import Role
from content.models import DayOff, FitnessClass, Upload
from tests import factories

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PATH = "/uploads/2027-01/"


@pytest.fixture
def owner_of_two(transactional_db: None) -> User:
    """Two finished classes, one with a day, and wishes for Tuesdays."""
    factories.practice()
    factories.wishes(weekdays=[1])
    factories.upload(date(2027, 1, 5), factories.fitness_class("Hips and back", state="scheduled"))
    factories.fitness_class("Seated strength", focus="upper body")
    return factories.person(Role.OWNER)


def cell(page: Page, day: int) -> Locator:
    return page.locator(".month td").filter(has=page.locator(f'[data-drag-to="2027-01-{day:02}"]'))


def test_an_upload_is_dragged_to_another_day(
    window: Callable[..., Page], owner_of_two: User
) -> None:
    page = window(user=owner_of_two)
    page.goto(PATH)
    expect(page.locator('[data-drag-ready="yes"]').first).to_be_attached()
    start = page.locator(".up", has_text="Hips and back").locator(".grip").bounding_box()
    end = cell(page, 14).bounding_box()
    assert start is not None
    page.mouse.move(start["x"] + 4, start["y"] + 8)
    page.mouse.down()
    page.mouse.move(end["x"] + 20, end["y"] + 50, steps=12)
    page.mouse.move(end["x"] + 22, end["y"] + 52, steps=3)
    assert end is not None
    with page.expect_response(lambda answer: "move" in answer.url):
        page.mouse.up()
    expect(cell(page, 14)).to_contain_text("Hips and back")
    assert Upload.objects.get().day == date(2027, 1, 14)


@pytest.mark.parametrize("width", [390, 1280])
def test_it_is_moved_by_its_form_and_the_page_stays(
    window: Callable[..., Page], owner_of_two: User, width: int
) -> None:
    page = window(width=width, user=owner_of_two)
    page.goto(PATH)
    page.get_by_text("move to…").click()
    page.get_by_label("Move Hips and back to").fill("2027-01-07")
    page.get_by_role("button", name="Move", exact=True).click()
    expect(cell(page, 7)).to_contain_text("Hips and back")
    assert (Upload.objects.get().day, Upload.objects.get().sequence) == (date(2027, 1, 7), 1)


def test_a_move_into_the_past_says_why_beside_what_stands(
    window: Callable[..., Page], owner_of_two: User
) -> None:
    page = window(user=owner_of_two)
    page.goto(PATH)
    page.get_by_text("move to…").click()
    page.get_by_label("Move Hips and back to").fill("2026-11-30")
    page.get_by_role("button", name="Move", exact=True).click()
    expect(page.get_by_role("alert")).to_contain_text("is past")
    expect(cell(page, 5)).to_contain_text("Hips and back")


@pytest.mark.parametrize("width", [390, 1280])
def test_planned_and_one_accepted_with_three_taps(
    window: Callable[..., Page], owner_of_two: User, width: int
) -> None:
    page = window(width=width, user=owner_of_two)
    page.goto(PATH)
    page.get_by_role("button", name="Plan this month").click()
    expect(page.get_by_text("a proposal: one upload")).to_be_visible()
    page.get_by_text("accept or move…").click()
    page.get_by_role("button", name="Accept", exact=True).click()
    expect(page.get_by_text("two uploads planned")).to_be_visible()
    assert FitnessClass.objects.filter(state="scheduled").count() == 2


def test_a_day_off_is_marked_and_taken_back(
    window: Callable[..., Page], owner_of_two: User
) -> None:
    page = window(width=390, user=owner_of_two)
    page.goto(PATH)
    page.get_by_text("Days off").click()
    form = page.locator("form[action$='days-off/']")
    form.get_by_label("Day").fill("2027-01-12")
    form.get_by_label("Why").fill("the dentist")
    page.get_by_role("button", name="Mark as day off").click()
    expect(page.locator("td.off")).to_contain_text("the dentist")
    page.get_by_text("Days off").click()
    page.get_by_role("button", name="take back").click()
    expect(page.locator("td.off")).to_have_count(0)
    assert DayOff.objects.count() == 0


def test_without_javascript_it_all_works_too(
    chromium: Any, live_server: Any, owner_of_two: User
) -> None:
    from tests.conftest import sign_in

    context = chromium.new_context(base_url=live_server.url, java_script_enabled=False)
    cookie = sign_in(owner_of_two).cookies["session"].value
    context.add_cookies([{"name": "session", "value": cookie, "url": live_server.url}])
    page = context.new_page()
    page.goto(PATH)
    page.get_by_role("button", name="Plan this month").click()
    page.get_by_role("button", name="Accept it").click()
    expect(page.get_by_text("two uploads planned")).to_be_visible()
    context.close()
