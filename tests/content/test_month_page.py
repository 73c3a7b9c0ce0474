"""The month page, with and without htmx, for those who may change it and those who may not."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from coach.practice.permissions import Role
from content.models import DayOff, FitnessClass, Proposal, Upload, Wishes
from tests import factories
from tests.clients.pages import read
from tests.conftest import sign_in

PATH = "/uploads/2027-01/"
HTMX = {"HX-Request": "true", "HX-Target": "month"}


@pytest.fixture
def classes(practice: Any) -> list[FitnessClass]:
    factories.wishes()
    return [factories.fitness_class(f"Class {n}", focus=("core", "legs")[n % 2]) for n in range(4)]


def test_without_wishes_it_asks_for_them(browser: Browser) -> None:
    page = browser.get(PATH).content.decode()
    assert "Say your wishes" in page
    assert "Plan this month" not in page


def test_the_section_opens_at_the_month_with_the_next_publish_day(browser: Browser) -> None:
    factories.wishes(weekdays=[1])  # Tuesdays; today is Thursday 3 December 2026
    assert browser.get("/uploads/")["Location"] == "/uploads/2026-12/"
    for day in (8, 15, 22, 29):
        factories.day_off(date(2026, 12, day))
    assert browser.get("/uploads/")["Location"] == "/uploads/2027-01/"


def test_plan_look_and_accept_as_plain_forms(browser: Browser, classes: list[FitnessClass]) -> None:
    assert browser.post(f"{PATH}propose/")["Location"] == PATH
    page = browser.get(PATH)
    assert "a proposal: four uploads, the best for your wishes" in page.content.decode()
    assert page.context["page"].proposed[0].reasons
    assert browser.post(f"{PATH}accept/")["Location"] == PATH
    assert Upload.objects.count() == 4
    assert "four uploads planned" in browser.get(PATH).content.decode()


def test_with_htmx_only_the_month_comes_back(browser: Browser, classes: list[FitnessClass]) -> None:
    answer = browser.post(f"{PATH}propose/", headers=HTMX)
    text = answer.content.decode()
    assert answer.status_code == 200
    assert text.lstrip().startswith('<div id="month"')
    assert "<html" not in text
    assert "HX-Target" in answer["Vary"]


def test_one_day_is_accepted(browser: Browser, classes: list[FitnessClass]) -> None:
    browser.post(f"{PATH}propose/")
    first = Proposal.objects.get().slots[0]
    browser.post(f"{PATH}accept/", {"day": first["day"]})
    assert [(up.day.isoformat(), up.item_id) for up in Upload.objects.all()] == [
        (first["day"], first["class"])
    ]


def test_a_day_that_cannot_be_read_accepts_nothing(
    browser: Browser, classes: list[FitnessClass]
) -> None:
    browser.post(f"{PATH}propose/")
    answer = browser.post(f"{PATH}accept/", {"day": "someday"})
    assert answer.status_code == 422
    assert Upload.objects.count() == 0


@pytest.mark.parametrize("headers", [{}, HTMX])
def test_an_upload_is_moved(
    browser: Browser, classes: list[FitnessClass], headers: dict[str, str]
) -> None:
    upload = factories.upload(date(2027, 1, 5), classes[0])
    browser.post(f"{PATH}move/{upload.pk}/", {"day": "2027-01-08"}, headers=headers)
    upload.refresh_from_db()
    assert (upload.day, upload.sequence) == (date(2027, 1, 8), 1)


@pytest.mark.parametrize(
    ("day", "sentence"),
    [
        ("2026-12-02", "is past"),
        ("2027-01-20", "is a day off"),
        ("", "required"),
        ("2027-02-30", "not a day of the calendar"),
    ],
)
def test_a_move_that_cannot_be_says_why_and_changes_nothing(
    browser: Browser, classes: list[FitnessClass], day: str, sentence: str
) -> None:
    factories.day_off(date(2027, 1, 20))
    upload = factories.upload(date(2027, 1, 5), classes[0])
    answer = browser.post(f"{PATH}move/{upload.pk}/", {"day": day}, headers=HTMX)
    assert answer.status_code == 422
    assert sentence in answer.context["refused"]
    upload.refresh_from_db()
    assert (upload.day, upload.sequence) == (date(2027, 1, 5), 0)


def test_a_class_is_put_on_a_day_by_hand(browser: Browser, classes: list[FitnessClass]) -> None:
    browser.post(f"{PATH}place/", {"item": classes[2].pk, "day": "2027-01-06"})
    assert Upload.objects.get().item_id == classes[2].pk
    again = browser.post(f"{PATH}place/", {"item": classes[2].pk, "day": "2027-01-07"})
    assert list(again.context["place_form"].errors) == ["item"]
    past = browser.post(f"{PATH}place/", {"item": classes[1].pk, "day": "2026-01-07"})
    assert "is past" in past.context["place_form"].errors["day"][0]
    assert f'value="{classes[1].pk}" selected' in past.content.decode()
    assert Upload.objects.count() == 1


def test_days_off_come_and_go(browser: Browser, classes: list[FitnessClass]) -> None:
    browser.post(f"{PATH}days-off/", {"day": "2027-01-05", "why": "the dentist"})
    off = DayOff.objects.get()
    assert "the dentist" in browser.get(PATH).content.decode()
    twice = browser.post(f"{PATH}days-off/", {"day": "2027-01-05", "why": "again"})
    assert "day off already" in twice.context["off_form"].errors["day"][0]
    assert 'value="again"' in twice.content.decode()
    browser.post(f"{PATH}days-off/{off.pk}/remove/")
    assert DayOff.objects.count() == 0


def test_a_proposal_that_no_longer_answers_says_so(
    browser: Browser, classes: list[FitnessClass]
) -> None:
    browser.post(f"{PATH}propose/")
    said = "Something has changed since this was proposed"
    assert said not in browser.get(PATH).content.decode()
    factories.fitness_class("A new one")
    assert said in browser.get(PATH).content.decode()


def test_who_may_only_look_gets_no_buttons(classes: list[FitnessClass], browser: Browser) -> None:
    browser.post(f"{PATH}propose/")
    cover = sign_in(factories.person(Role.COVERING_COACH)).get(PATH).content.decode()
    assert "a proposal: four uploads" in cover
    assert [word for word in ("Accept", "Plan again", "move to", "By hand") if word in cover] == []


def test_reasons_are_kept_from_those_who_may_not_see_stages(
    classes: list[FitnessClass], browser: Browser
) -> None:
    factories.pregnancy(factories.client(), due=date(2027, 4, 20))
    browser.post(f"{PATH}propose/")
    assert "trimester" in browser.get(PATH).context["page"].proposed[0].first_reason
    hers = sign_in(factories.person(Role.ASSISTANT)).get(PATH).content.decode()
    assert "which your role doesn’t see" in hers
    reasons = [line for slot in Proposal.objects.get().slots for line in slot["reasons"]]
    assert [line for line in reasons if line in hers] == []


def test_reasons_that_may_no_longer_hold_are_not_shown(
    browser: Browser, classes: list[FitnessClass]
) -> None:
    browser.post(f"{PATH}propose/")
    reasons = [line for slot in Proposal.objects.get().slots for line in slot["reasons"]]
    assert reasons[0] in read(browser.get(PATH))
    factories.pregnancy(factories.client(), due=date(2027, 4, 20))
    page = read(browser.get(PATH))
    assert "Its reasons may no longer hold." in page
    assert [line for line in reasons if line in page] == []


def test_a_plan_that_time_no_longer_allows_is_stale_though_nothing_was_changed(
    browser: Browser, classes: list[FitnessClass], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of all days until it is to be ready only the 4th is a working day: 68 minutes for its 60."""
    DayOff.objects.bulk_create(DayOff(day=date(2026, 12, 5) + timedelta(days=n)) for n in range(27))
    FitnessClass.objects.exclude(pk=classes[0].pk).delete()
    FitnessClass.objects.update(state="filmed", minutes_of_work=60, not_after=date(2027, 1, 2))
    browser.post(f"{PATH}propose/")
    assert [slot["day"] for slot in Proposal.objects.get().slots] == ["2027-01-02"]
    assert not browser.get(PATH).context["page"].stale
    monkeypatch.setenv("COACH_TODAY", "2026-12-04")
    assert browser.get(PATH).context["page"].stale


def test_what_is_made_on_a_day_stands_in_its_cell(
    browser: Browser, classes: list[FitnessClass]
) -> None:
    Wishes.objects.update(film_weekdays=[2])
    for day in (19, 26):
        item = factories.fitness_class(state="outlined", minutes_of_work=60)
        factories.upload(date(2027, 1, day), item)
    days = {
        day.day.day: day.making
        for week in browser.get(PATH).context["page"].weeks
        for day in week.days
        if day.in_month and day.making
    }
    assert days[6] == "film two"
    assert "film two" in read(browser.get(PATH))


def test_with_classes_on_most_weekdays_the_days_take_the_width_of_the_page(
    browser: Browser, practice: Any
) -> None:
    factories.wishes()
    for day in (4, 5, 6, 7):
        factories.upload(date(2027, 1, day))
    assert not browser.get(PATH).context["page"].crowded
    factories.upload(date(2027, 1, 8))
    assert browser.get(PATH).context["page"].crowded


def test_with_so_many_a_week_no_day_is_called_free_and_weeks_are_counted(
    browser: Browser, practice: Any
) -> None:
    factories.wishes(rhythm="a week", weekdays=[], a_week=3, gap_days=2)
    factories.upload(date(2027, 1, 5))
    page = browser.get(PATH).context["page"]
    assert [week.words for week in page.weeks] == ["0 of 3", "1 of 3", "0 of 3", "0 of 3", "0 of 3"]
    assert not any(day.free for week in page.weeks for day in week.days)
    assert page.can_plan


def test_parts_of_a_series_out_of_order_are_told(browser: Browser) -> None:
    series = factories.series("Standing core")
    two = factories.fitness_class("Two", series=series, part=2)
    one = factories.fitness_class("One", series=series, part=1)
    factories.upload(date(2027, 1, 5), two)
    factories.upload(date(2027, 1, 9), one)
    page = browser.get(PATH).context["page"]
    assert page.out_of_order == ("“Two” stands before “One”, part 1 of the same series.",)


def test_a_month_costs_the_same_for_one_and_for_thirty(browser: Browser) -> None:
    factories.wishes(weekdays=[0, 1, 2, 3, 4, 5, 6])

    def cost() -> int:
        browser.post(f"{PATH}propose/")
        with CaptureQueriesContext(connection) as queries:
            browser.get(PATH)
        return len(queries)

    factories.upload(date(2027, 1, 1))
    factories.fitness_class()
    factories.pregnancy(factories.client(), due=date(2027, 4, 20))
    one = cost()
    for day in range(2, 16):
        factories.upload(date(2027, 1, day))
        factories.fitness_class(series=factories.series(), part=1)
        factories.pregnancy(factories.client(), due=date(2027, 4, 20))
        factories.day_off(date(2027, 2, day))
    assert cost() == one


@pytest.mark.parametrize("path", ["/uploads/2027-13/", "/uploads/1999-12/", "/uploads/27-1/"])
def test_what_is_no_month_is_not_found(browser: Browser, path: str) -> None:
    assert browser.get(path).status_code == 404
