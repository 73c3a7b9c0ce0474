"""The month page by hand: plan, pin by drag, accept, move, a day off; phone and desk."""

from __future__ import annotations

import re
import urllib.request
from collections.abc import Callable
from datetime import date
from typing import Any

import icalendar
import pytest
import recurring_ical_events
from playwright.sync_api import Locator, Page, expect

from coach.feeds.actions import give_address
from coach.practice.audit import SYSTEM
from coach.practice.models import User
from coach.practice.permissions import Role
from content.models import DayOff, FitnessClass, Upload
from tests import factories
from tests.browser.widths import PHONE_AND_DESK

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


def drag(page: Page, title: str, day: int) -> None:
    """Carry a class to a day by its grip, the whole month in sight; the mouse is still down."""
    page.set_viewport_size({"width": 1280, "height": 1500})
    expect(page.locator('[data-drag-ready="yes"]').first).to_be_attached()
    start = page.locator(".up", has_text=title).locator(".grip").bounding_box()
    assert start is not None
    page.mouse.move(start["x"] + 4, start["y"] + 8)
    page.mouse.down()
    page.mouse.move(start["x"] + 14, start["y"] + 20, steps=4)
    for _ in range(2):  # rows give way to what is carried over them
        end = cell(page, day).bounding_box()
        assert end is not None
        page.mouse.move(end["x"] + 20, end["y"] + 50, steps=12)
        page.mouse.move(end["x"] + 22, end["y"] + 52, steps=3)


def test_an_upload_is_dragged_to_another_day(
    window: Callable[..., Page], owner_of_two: User
) -> None:
    page = window(user=owner_of_two)
    page.goto(PATH)
    drag(page, "Hips and back", 14)
    with page.expect_response(lambda answer: "move" in answer.url):
        page.mouse.up()
    expect(cell(page, 14)).to_contain_text("Hips and back")
    assert Upload.objects.get().day == date(2027, 1, 14)


@pytest.mark.parametrize("width", PHONE_AND_DESK)
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


@pytest.mark.parametrize("width", PHONE_AND_DESK)
def test_planned_and_one_accepted_with_three_taps(
    window: Callable[..., Page], owner_of_two: User, width: int
) -> None:
    page = window(width=width, user=owner_of_two)
    page.goto(PATH)
    page.get_by_role("button", name="Plan this month").click()
    expect(page.get_by_text("a proposal: one upload")).to_be_visible()
    page.get_by_text("accept or move to…").click()
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


@pytest.fixture
def owner_of_a_backlog(transactional_db: None) -> User:
    """Five finished classes and one to be filmed for three hours; nothing said of wishes yet."""
    factories.practice()
    for number, focus in enumerate(("core", "legs", "mobility", "breath", "upper body")):
        factories.fitness_class(f"Class {number}", focus=focus)
    factories.fitness_class(
        "To be filmed", focus="recovery", state="outlined", minutes_of_work=180, wanted_soon=True
    )
    return factories.person(Role.OWNER)


def set_the_pace(page: Page) -> None:
    page.goto("/uploads/wishes/")
    page.get_by_role("group", name="On these weekdays").get_by_label("Tuesday").check()
    page.get_by_role("group", name="Film on").get_by_label("Wednesday").check()
    page.get_by_label("Hours a week").fill("8")
    page.get_by_text("More precisely").click()
    page.get_by_label("What is wanted soon comes first").fill("300")
    expect(page.locator("output", has_text="300 %")).to_be_visible()
    page.get_by_role("button", name="Keep").click()
    expect(page).to_have_url(re.compile(r"/uploads/2026-12/$"))


def test_the_pace_a_plan_a_pin_by_drag_accepted_filmed_and_in_the_calendar(
    window: Callable[..., Page], owner_of_a_backlog: User, live_server: Any
) -> None:
    """The feed is read back by recurring-ical-events, an independent reader of RFC 5545."""
    page = window(user=owner_of_a_backlog)
    set_the_pace(page)
    page.get_by_role("link", name="January 2027").click()
    page.get_by_role("button", name="Plan this month").click()
    expect(page.get_by_text("a proposal: four uploads, the best for your wishes")).to_be_visible()
    expect(cell(page, 5)).to_contain_text("To be filmed")

    drag(page, "To be filmed", 19)
    with page.expect_response(lambda answer: "/pin/" in answer.url):
        page.mouse.up()
    expect(cell(page, 19)).to_contain_text("pinned")
    expect(page.get_by_role("region", name="What changed")).to_contain_text(
        "“To be filmed” moves from Tuesday 5 January to Tuesday 19 January."
    )
    page.get_by_role("button", name="Plan again").click()
    expect(page.get_by_role("region", name="What changed")).to_contain_text("Nothing is other")
    expect(cell(page, 19)).to_contain_text("To be filmed")

    page.get_by_role("button", name="Accept all four").click()
    expect(page.get_by_text("four uploads planned")).to_be_visible()
    expect(cell(page, 6)).to_contain_text("film one")
    page.get_by_role("link", name="Making classes").click()
    expect(page.locator("li.filming")).to_contain_text("Wed 6")
    expect(page.locator("li.filming")).to_contain_text("To be filmed")

    token = give_address(by=SYSTEM, person=owner_of_a_backlog)
    with urllib.request.urlopen(f"{live_server.url}/feeds/{token}.ics") as answer:
        calendar: Any = icalendar.Calendar.from_ical(answer.read())
    found = recurring_ical_events.of(calendar).at(date(2027, 1, 6))
    assert [str(event["SUMMARY"]) for event in found] == ["Film: To be filmed"]
    out = recurring_ical_events.of(calendar).at(date(2027, 1, 19))
    assert [str(event["SUMMARY"]) for event in out] == ["Publish: To be filmed"]


def test_a_pin_that_cannot_be_goes_back_where_it_was_and_says_why(
    window: Callable[..., Page], owner_of_two: User
) -> None:
    page = window(user=owner_of_two)
    page.goto(PATH)
    page.get_by_role("button", name="Plan this month").click()
    drag(page, "Seated strength", 14)
    page.mouse.up()
    expect(page.get_by_role("alert")).to_contain_text(
        "Thursday 14 January is no publish day of yours"
    )
    expect(cell(page, 14)).not_to_contain_text("Seated strength")
    expect(page.locator(".up.proposed")).to_have_count(1)


@pytest.mark.parametrize("width", PHONE_AND_DESK)
def test_some_are_accepted_by_their_ticks_and_taken_back(
    window: Callable[..., Page], owner_of_a_backlog: User, width: int
) -> None:
    factories.wishes(weekdays=[1])
    page = window(width=width, user=owner_of_a_backlog)
    page.goto(PATH)
    page.get_by_role("button", name="Plan this month").click()
    button = page.get_by_role("button", name="Accept the ticked")
    expect(page.locator(".pick")).to_have_count(4)
    expect(button).to_be_hidden()
    for tick in page.locator(".pick input").all()[1:3]:
        tick.check()
    button.click()
    expect(page.get_by_text("a proposal: two uploads")).to_be_visible()
    assert [day.day for day in Upload.objects.values_list("day", flat=True)] == [12, 19]
    page.get_by_role("link", name="Earlier plans").click()
    page.get_by_role("link", name="look at plan 1").click()
    page.get_by_role("button", name="Take it back").click()
    expect(page.get_by_text("a proposal: four uploads")).to_be_visible()
    assert Upload.objects.filter(cancelled_at=None).count() == 0


@pytest.mark.parametrize("width", PHONE_AND_DESK)
def test_the_plan_and_the_wishes_shut_nobody_out(
    window: Callable[..., Page],
    owner_of_a_backlog: User,
    axe: Callable[..., list[str]],
    width: int,
) -> None:
    """With every mark there is: pinned, moved, new; an earlier plan; the sliders open."""
    factories.wishes(weekdays=[1], sliders={"film": 200})
    page = window(width=width, user=owner_of_a_backlog)
    page.goto(PATH)
    page.get_by_role("button", name="Plan this month").click()
    page.locator(".move > summary").first.click()
    page.locator(".move[open] input[type=date]").fill("2027-01-26")
    page.get_by_role("button", name="Pin it there").locator("visible=true").click()
    expect(page.get_by_role("region", name="What changed")).to_be_focused()
    # Tall, or what lies under the bar at a phone's foot would count as covered.
    page.set_viewport_size({"width": width, "height": 5000})
    assert axe(page) == []
    for path in ("/uploads/wishes/", f"{PATH}plans/", f"{PATH}plans/1/"):
        page.goto(path)
        assert axe(page) == []


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
    page.get_by_text("accept or move to…").click()
    page.get_by_label("Move Seated strength to").fill("2027-01-26")
    page.get_by_role("button", name="Pin it there").click()
    expect(cell(page, 26)).to_contain_text("pinned")
    page.locator(".pick input").check()
    page.get_by_role("button", name="Accept the ticked").click()
    expect(page.get_by_text("two uploads planned")).to_be_visible()
    context.close()
