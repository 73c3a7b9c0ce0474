"""What the first page says of making: late steps with what slips, the next filming day."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from coach.practice.permissions import Fact, Role, may
from coach.today.queries import TodayPage
from tests import factories
from tests.clients.pages import read
from tests.conftest import sign_in

TODAY = date(2026, 12, 3)


@pytest.fixture(autouse=True)
def _said(practice: Any) -> None:
    factories.wishes(film_weekdays=[2])


def made(title: str, publish: date, state: str = "outlined", minutes: int = 60) -> Any:
    item = factories.fitness_class(title, state=state, minutes_of_work=minutes)
    return factories.upload(publish, item)


def page(browser: Browser) -> TodayPage:
    found: TodayPage = browser.get("/").context["page"]
    return found


def late(browser: Browser) -> list[Any]:
    return [item for item in page(browser).needs if item.late]


def test_a_late_step_is_told_with_what_slips(browser: Browser) -> None:
    upload = made("Strong hips", date(2026, 12, 12))
    (item,) = late(browser)
    assert (item.when, item.what) == (date(2026, 12, 9), "Film: Strong hips")
    assert item.note == (
        "Its day was 2 December. "
        "It can be out on Tuesday 15 December at the earliest, not on Saturday 12 December."
    )
    assert item.url == f"/classes/{upload.item_id}/#making"


def test_one_that_stands_on_today_is_now(browser: Browser) -> None:
    made("Strong hips", date(2026, 12, 8), "filmed")
    (item,) = late(browser)
    assert (item.when, item.what) == ("now", "Edit: Strong hips")
    assert item.note.endswith("Done today, it can still be out on Tuesday 8 December.")


def test_work_that_no_hours_are_there_for_is_told(browser: Browser) -> None:
    made("Strong hips", date(2027, 1, 12), "filmed", minutes=6000)
    (item,) = late(browser)
    assert (item.when, item.what) == ("now", "Too little time: Strong hips")
    assert "hours of work. It can be out on" in item.note


def test_a_publish_day_that_passed_is_told_once(browser: Browser) -> None:
    made("Strong hips", TODAY - timedelta(days=1))
    assert [item.what for item in late(browser)] == ["Strong hips"]


def test_four_are_told_and_the_rest_counted(browser: Browser) -> None:
    for n in range(6):
        made(f"Class {n}", TODAY + timedelta(days=n), "filmed", minutes=0)
    found = late(browser)
    assert [item.what for item in found][:2] == ["Edit: Class 0", "Edit: Class 1"]
    assert (len(found), found[-1].what) == (5, "Two more classes late in the making")
    assert found[-1].url == "/uploads/making/"


def test_the_next_filming_day_has_its_classes(browser: Browser) -> None:
    made("Second", date(2027, 1, 2))
    made("First", date(2026, 12, 26))
    (item,) = page(browser).filming
    assert (item.day, item.what, item.note) == (
        date(2026, 12, 16),
        "Film two: First, Second",
        "Out 26 December, 2 January",
    )
    assert "Next filming day 16 Dec Film two: First, Second" in read(browser.get("/"))


def test_nothing_to_film_is_no_heading(browser: Browser) -> None:
    made("Strong hips", date(2027, 1, 12), "filmed")
    assert page(browser).filming == ()
    assert "Next filming day" not in read(browser.get("/"))


def test_only_who_may_see_classes_is_told(people: dict[str, Any]) -> None:
    made("Strong hips", date(2026, 12, 12))
    told = {}
    for name, person in people.items():
        if name in {str(role) for role in Role}:
            words = read(sign_in(person).get("/"))
            told[name] = "Strong hips" in words or "filming day" in words
            assert told[name] == may(person, Fact.CONTENT)
    assert set(told.values()) == {True, False}


def test_the_number_of_queries_is_the_same_with_one_and_with_thirty(browser: Browser) -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as captured:
            browser.get("/")
        return len(captured)

    made("First", date(2026, 12, 8))
    queries()
    one = queries()
    for n in range(29):
        made(f"Class {n}", date(2026, 12, 8) + timedelta(days=n))
    assert queries() == one
