"""The page of days away: look first, then one button; and back."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from coach.practice.permissions import Role
from content.models import Away, DayOff, State, Upload
from tests import factories
from tests.clients.pages import read
from tests.conftest import sign_in

PATH = "/uploads/away/"
TUE, SAT = date(2026, 12, 8), date(2026, 12, 12)
TRIP = {"first": "2026-12-08", "last": "2026-12-09", "why": "ill"}


@pytest.fixture
def upload(practice: Any) -> Upload:
    factories.wishes(film_weekdays=[2])
    return factories.upload(TUE, factories.fitness_class("Seated strength"))


def test_what_slips_is_shown_before_anything_is_done(browser: Browser, upload: Upload) -> None:
    page = read(browser.get(PATH, TRIP))
    assert "Seated strength Tuesday 8 December → moves to Saturday 12 December" in page
    assert "You are away on that day." in page
    assert "No filming on Wednesday 9 December." in page
    upload.refresh_from_db()
    assert (upload.day, DayOff.objects.count(), Away.objects.count()) == (TUE, 0, 0)


def test_what_shifts_in_making_the_classes_is_shown(browser: Browser, upload: Upload) -> None:
    """Filming on Wednesdays: the 9th is lost, and the next is the 16th."""
    item = factories.fitness_class("Hips", state=State.OUTLINED, minutes_of_work=60)
    factories.upload(date(2026, 12, 19), item)
    answer = browser.get(PATH, TRIP)
    shifts = {one.item.title: one.steps for one in answer.context["found"].shifts}
    film = next(at for at in shifts["Hips"] if at.step == "film")
    assert (film.old, film.new, film.late) == (date(2026, 12, 9), date(2026, 12, 16), False)
    assert "film 9 Dec → moves to 16 Dec" in read(answer)


def test_one_button_does_what_was_shown(browser: Browser, upload: Upload) -> None:
    seen = browser.get(PATH, TRIP).context["found"].seen
    answer = browser.post(PATH, {**TRIP, "seen": seen}, follow=True)
    assert answer.redirect_chain == [(PATH, 302)]
    assert "You are away: two more days off, one upload moved." in read(answer)
    assert "Seated strength: 8 Dec → to 12 Dec" in read(answer)
    upload.refresh_from_db()
    assert upload.day == SAT
    assert list(DayOff.objects.values_list("why", flat=True)) == ["ill", "ill"]


def test_it_can_be_taken_back(browser: Browser, upload: Upload) -> None:
    browser.post(PATH, TRIP)
    answer = browser.post(f"{PATH}{Away.objects.get().pk}/back/", follow=True)
    assert "Taken back. One upload on the old day again." in read(answer)
    upload.refresh_from_db()
    assert (upload.day, DayOff.objects.count()) == (TUE, 0)
    again = browser.post(f"{PATH}{Away.objects.get().pk}/back/", follow=True)
    assert "These days were taken back already." in read(again)


def test_what_could_not_go_back_is_said_and_stays_on_the_list(
    browser: Browser, upload: Upload
) -> None:
    browser.post(PATH, TRIP)
    Upload.objects.update(day=date(2026, 12, 19))
    answer = browser.post(f"{PATH}{Away.objects.get().pk}/back/", follow=True)
    reason = "It was moved to Saturday 19 December since."
    assert f"“Seated strength” could not go back. {reason}" in read(answer)
    assert f"Seated strength did not go back. {reason}" in read(browser.get(PATH))


def test_ill_today_takes_two_taps(browser: Browser, upload: Upload) -> None:
    """A link on the page shows what slips, its button does it."""
    Upload.objects.update(day=date(2026, 12, 3))
    start = browser.get(PATH).content.decode()
    link = "?first=2026-12-03&amp;last=2026-12-03&amp;why=ill"
    assert f'href="{link}"' in start
    shown = browser.get(PATH + link.replace("&amp;", "&"))
    fields = {"first": "2026-12-03", "last": "2026-12-03", "why": "ill"}
    for name, value in fields.items():
        assert f'<input type="hidden" name="{name}" value="{value}">' in shown.content.decode()
    browser.post(PATH, {**fields, "seen": shown.context["found"].seen})
    assert Upload.objects.get().day == date(2026, 12, 5)


def test_one_for_which_no_day_is_found_is_told(browser: Browser, upload: Upload) -> None:
    type(upload.item).objects.update(not_after=date(2026, 12, 11))
    page = read(browser.get(PATH, TRIP))
    assert "Seated strength Tuesday 8 December → no day found" in page
    assert "waits among the classes without a day until you give it one" in page
    assert "one upload slips and finds no day" in page


def test_without_wishes_every_day_is_open_and_the_page_says_so(
    browser: Browser, practice: Any
) -> None:
    factories.upload(TUE)
    page = read(browser.get(PATH, TRIP))
    assert "→ moves to Thursday 10 December" in page
    assert "every day counts as open" in page


@pytest.mark.parametrize(
    ("fields", "beside", "sentence"),
    [
        ({"first": ""}, "first", "required"),
        ({"first": "2026-02-30"}, "first", "not a day of the calendar"),
        ({"first": "9999-12-31", "last": ""}, "first", "more than two years ahead"),
        ({"last": "2026-12-07"}, "last", "comes before the first"),
        ({"last": "2027-03-01"}, "last", "more than 60 days"),
        ({"first": "2026-11-30", "last": "2026-12-01"}, "last", "These days are over"),
        ({"why": "x" * 81}, "why", "at most 80 characters"),
    ],
)
@pytest.mark.parametrize("way", ["get", "post"])
def test_what_is_wrong_stands_beside_its_field_and_changes_nothing(
    browser: Browser, upload: Upload, way: str, fields: dict[str, str], beside: str, sentence: str
) -> None:
    answer = getattr(browser, way)(PATH, {**TRIP, **fields})
    assert answer.status_code == 422
    assert list(answer.context["form"].errors) == [beside]
    assert sentence in answer.context["form"].errors[beside][0]
    assert 'aria-invalid="true"' in answer.content.decode()
    assert f'value="{fields.get("why", "ill")}"' in answer.content.decode()
    assert (Away.objects.count(), DayOff.objects.count()) == (0, 0)


def test_without_a_last_day_it_is_one_day(browser: Browser, upload: Upload) -> None:
    browser.post(PATH, {"first": "2026-12-08", "last": "", "why": ""})
    assert list(DayOff.objects.values_list("day", "why")) == [(TUE, "away")]


def test_a_preview_that_no_longer_holds_is_shown_anew(browser: Browser, upload: Upload) -> None:
    seen = browser.get(PATH, TRIP).context["found"].seen
    factories.upload(SAT, factories.fitness_class("Hips"))
    answer = browser.post(PATH, {**TRIP, "seen": seen})
    assert answer.status_code == 422
    assert "Something has changed since you looked: this is what slips now." in read(answer)
    assert "Hips Saturday 12 December → moves to Tuesday 15 December" in read(answer)
    assert Away.objects.count() == 0


def test_who_may_only_look_sees_no_button_and_changes_nothing(
    people: dict[str, Any], upload: Upload
) -> None:
    away = Away.objects.create(first=TUE, last=TUE)
    covering = sign_in(people[Role.COVERING_COACH])
    page = covering.get(PATH, TRIP)
    assert "Saturday 12 December" in read(page)
    assert "Mark me as away" not in read(page)
    assert "take it back" not in read(page)
    assert covering.post(PATH, TRIP).status_code == 403
    assert covering.post(f"{PATH}{away.pk}/back/").status_code == 403
    bookkeeper = sign_in(people[Role.BOOKKEEPER])
    assert bookkeeper.get(PATH).status_code == 403
    upload.refresh_from_db()
    assert upload.day == TUE


def test_the_days_stand_on_the_month_page(browser: Browser, upload: Upload) -> None:
    browser.post(PATH, TRIP)
    days = [
        day for week in browser.get("/uploads/2026-12/").context["page"].weeks for day in week.days
    ]
    assert {day.day: day.off.why for day in days if day.off} == {
        TUE: "ill",
        date(2026, 12, 9): "ill",
    }
    assert [day.day for day in days if day.shown] == [SAT]


def _queries(browser: Browser) -> int:
    with CaptureQueriesContext(
        connection,
    ) as found:
        browser.get(PATH, TRIP)
    return len(found)


def test_the_number_of_queries_does_not_depend_on_how_much_there_is(
    browser: Browser, upload: Upload
) -> None:
    def time_away(n: int) -> None:
        day = TUE + timedelta(days=n)
        moved = factories.upload(
            day,
            factories.fitness_class(
                f"N {n}", series=factories.series(), part=1, state=State.OUTLINED
            ),
        )
        row = {"upload": moved.pk, "from": day.isoformat(), "to": None}
        Away.objects.create(first=day, last=day, moved=[row])

    browser.get(PATH)
    time_away(100)
    one = _queries(browser)
    for n in range(101, 130):
        time_away(n)
        factories.day_off(date(2027, 6, 1) + timedelta(days=n))
    assert Away.objects.count() == 30
    assert _queries(browser) == one
