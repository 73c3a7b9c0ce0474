"""What is to be made: which steps are done, the page by day, and the part on a class's page."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry
from coach.practice.permissions import Role
from content.actions import making as actions
from content.actions.uploads import Refused
from content.models import ClassCheck, FilmedTimes, FitnessClass
from content.queries.making import checklist, class_making, in_making
from content.queries.making_page import late_classes, making_page, next_filming
from tests import factories
from tests.clients.pages import read
from tests.conftest import sign_in

TODAY = date(2026, 12, 3)
WEDNESDAY = 2
HTMX = {"HX-Request": "true", "HX-Target": "making"}
CAPTION_ITEMS = ("captions-read", "chapters-made")


@pytest.fixture(autouse=True)
def _said(practice: Any) -> None:
    factories.wishes(film_weekdays=[WEDNESDAY])


def made(title: str, publish: date, **values: Any) -> FitnessClass:
    item = factories.fitness_class(title, **{"state": "outlined", "minutes_of_work": 60, **values})
    factories.upload(publish, item)
    return item


def tick(item: FitnessClass, *codes: str, done: bool = True) -> None:
    for code in codes:
        actions.tick(by=SYSTEM, item=item, code=code, done=done, today=TODAY)


def steps(item: FitnessClass) -> dict[str, date]:
    return {at.step: at.day for at in in_making(TODAY).steps if at.making == item.pk}


@pytest.mark.parametrize(
    ("state", "left"),
    [
        ("idea", ["outline", "film", "edit", "captions", "schedule"]),
        ("outlined", ["film", "edit", "captions", "schedule"]),
        ("filmed", ["edit", "captions", "schedule"]),
        ("edited", ["captions", "schedule"]),
        ("scheduled", ["captions"]),
        ("published", []),
        ("withdrawn", []),
    ],
)
def test_a_state_says_which_steps_are_done(state: str, left: list[str]) -> None:
    assert list(steps(made("Strong hips", date(2027, 1, 12), state=state))) == left


def test_captions_kept_are_captions_done() -> None:
    item = made("Strong hips", date(2027, 1, 12), state="edited")
    FilmedTimes.objects.create(item=item)
    assert list(steps(item)) == ["schedule"]


def test_captions_are_done_once_all_that_is_said_of_them_is_ticked() -> None:
    item = made("Strong hips", date(2027, 1, 12), state="edited")
    tick(item, "captions-read")
    assert list(steps(item)) == ["captions", "schedule"]
    tick(item, "chapters-made")
    assert list(steps(item)) == ["schedule"]
    tick(item, "chapters-made", done=False)
    assert list(steps(item)) == ["captions", "schedule"]


def test_with_no_item_about_captions_nothing_says_that_they_are_done() -> None:
    item = made("Strong hips", date(2027, 1, 12), state="edited")
    for code in CAPTION_ITEMS:
        actions.retire_check_item(by=SYSTEM, code=code, retired=True)
    assert list(steps(item)) == ["captions", "schedule"]


def test_a_cancelled_upload_is_not_made() -> None:
    item = factories.fitness_class("Strong hips", state="idea")
    when = in_making(TODAY).wanted.created_at
    factories.upload(date(2027, 1, 12), item, cancelled_at=when)
    assert in_making(TODAY).steps == ()


def test_the_next_filming_day_has_its_classes_by_publish_day() -> None:
    second = made("Second", date(2027, 1, 2))
    first = made("First", date(2026, 12, 26))
    made("Filmed already", date(2026, 12, 22), state="filmed")
    line = next_filming(in_making(TODAY))
    assert line is not None
    assert (line.day, line.act, line.note) == (
        date(2026, 12, 16),
        "Film two",
        "out 26 December, 2 January",
    )
    assert [upload.item for upload in line.uploads] == [first, second]


def test_a_late_class_is_told_once_with_what_slips_and_a_free_day() -> None:
    """Filmed on the 9th at the earliest, it is out six days later; the 15th, her Tuesday, is taken,
    the next Saturday is a day off."""
    made("Late", date(2026, 12, 12))
    made("There already", date(2026, 12, 15), state="scheduled")
    factories.day_off(date(2026, 12, 19))
    (one,) = late_classes(in_making(TODAY))
    assert (one.upload.item.title, one.act, one.when) == ("Late", "Film", date(2026, 12, 9))
    assert one.why == "Its day was 2 December."
    assert one.what_to_do == (
        "It can be out on Tuesday 15 December at the earliest, not on Saturday 12 December."
    )
    assert one.offered == date(2026, 12, 22)


def test_what_is_late_but_can_be_in_time_says_by_when() -> None:
    made("Late", date(2026, 12, 8), state="filmed")
    (one,) = late_classes(in_making(TODAY))
    assert (one.act, one.offered) == ("Edit", None)
    assert one.what_to_do == "Done today, it can still be out on Tuesday 8 December."


def test_classes_beyond_the_hours_are_told_apart_and_offered_different_days() -> None:
    for n in range(2):
        made(f"Long {n}", date(2027, 1, 12 + n), state="filmed", minutes_of_work=6000)
    page = making_page(TODAY)
    assert page.late == ()
    assert [one.upload.item.title for one in page.too_much] == ["Long 0", "Long 1"]
    days = [one.offered for one in page.too_much]
    assert None not in days
    assert len(set(days)) == 2


def test_the_hours_of_the_weeks_add_up() -> None:
    """Ready two days before: 10 h in the week of 7 December, 2 h in that of 14 December. From
    4 to 6 December there are three sevenths of eight hours, 3 h 25."""
    made("One", date(2026, 12, 12), state="filmed", minutes_of_work=600)
    made("Two", date(2026, 12, 18), state="filmed", minutes_of_work=120)
    rows = [
        (one.monday, one.needed, one.there, one.over, one.short) for one in making_page(TODAY).hours
    ]
    assert rows == [
        (date(2026, 11, 30), "0:00", "3:25", "3:25", False),
        (date(2026, 12, 7), "10:00", "8:00", "1:25", False),
        (date(2026, 12, 14), "2:00", "8:00", "7:25", False),
    ]


def test_hours_that_are_not_known_are_said_to_be(browser: Browser) -> None:
    made("One", date(2027, 1, 12), minutes_of_work=0)
    assert making_page(TODAY).hours_unknown == 1
    assert "Hours not known for 1 class: nothing is counted for it." in read(
        browser.get("/uploads/making/")
    )


def test_the_page_goes_by_day_and_names_a_day_once(browser: Browser) -> None:
    made("Calm back", date(2027, 1, 12), state="filmed")
    made("Strong hips", date(2027, 1, 12), state="filmed")
    made("Slow squats", date(2027, 1, 10), state="filmed")
    words = read(browser.get("/uploads/making/"))
    assert "Week 1 4 January to 10 January 2027" in words
    assert (
        "Mon 4 Edit : Slow squats out 10 January Wed 6 Edit two : Calm back , Strong hips "
        "out 12 January Wed 6 Caption : Slow squats out 10 January"
    ) in words.replace(" :", " :")


def test_the_move_that_is_offered_moves_the_upload(browser: Browser) -> None:
    item = made("Late", date(2026, 12, 12))
    page = browser.get("/uploads/making/").content.decode()
    pk = item.uploads.get().pk
    assert f'action="/uploads/2026-12/move/{pk}/"' in page
    assert 'name="day" value="2026-12-15"' in page
    browser.post(f"/uploads/2026-12/move/{pk}/", {"day": "2026-12-15"})
    assert item.uploads.get().day == date(2026, 12, 15)
    assert "not on" not in read(browser.get("/uploads/making/"))


def test_who_may_only_look_is_offered_nothing_to_press(
    people: dict[str, Any], practice: Any
) -> None:
    item = made("Late", date(2026, 12, 12))
    reading = sign_in(people[Role.BOOKKEEPER])
    assert reading.get("/uploads/making/").status_code == 403
    assert reading.post(f"/uploads/making/{item.pk}/check/").status_code == 403


def queries_of(browser: Browser, path: str) -> int:
    with CaptureQueriesContext(connection) as captured:
        assert browser.get(path).status_code == 200
    return len(captured)


@pytest.mark.parametrize("path", ["/uploads/making/", "/classes/{}/"])
def test_the_number_of_queries_is_the_same_with_one_and_with_thirty(
    browser: Browser, path: str
) -> None:
    item = made("First", date(2026, 12, 12), state="idea")
    tick(item, "design-checked")
    path = path.format(item.pk)
    queries_of(browser, path)
    one = queries_of(browser, path)
    for n in range(29):
        other = made(f"Class {n}", TODAY + timedelta(days=10 + n), state="idea")
        tick(other, "design-checked", "sound-checked")
    assert queries_of(browser, path) == one


class TestAClass:
    """The part on the page of one class."""

    def test_its_steps_have_days_and_the_next_one_is_open(self) -> None:
        item = made("Strong hips", date(2027, 1, 12))
        shown = class_making(item, today=TODAY)
        assert shown is not None
        told = [(one.step, one.done, one.next, one.day) for one in shown.sections]
        assert told == [
            ("outline", True, False, None),
            ("film", False, True, date(2026, 12, 30)),
            ("edit", False, False, date(2027, 1, 6)),
            ("captions", False, False, date(2027, 1, 8)),
            ("schedule", False, False, date(2027, 1, 10)),
        ]

    def test_without_a_day_it_has_a_checklist_all_the_same(self) -> None:
        item = factories.fitness_class("Strong hips", state="filmed")
        tick(item, "watched-through", *CAPTION_ITEMS)
        shown = class_making(item, today=TODAY)
        assert shown is not None
        assert (shown.publish, {one.day for one in shown.sections}) == (None, {None})
        assert [(one.step, one.ticked, one.done) for one in shown.sections][2:] == [
            ("edit", 1, False),
            ("captions", 2, True),
            ("schedule", 0, False),
        ]

    @pytest.mark.parametrize("state", ["published", "withdrawn"])
    def test_what_is_out_has_none(self, state: str, browser: Browser) -> None:
        item = factories.fitness_class("Strong hips", state=state)
        assert class_making(item, today=TODAY) is None
        assert 'id="making"' not in browser.get(f"/classes/{item.pk}/").content.decode()

    def test_a_tick_works_as_a_plain_form(self, browser: Browser, owner: Any) -> None:
        item = made("Strong hips", date(2027, 1, 12))
        url = f"/uploads/making/{item.pk}/check/"
        answer = browser.post(url, {"code": "sound-checked", "done": "on"})
        assert answer["Location"] == f"/classes/{item.pk}/#making"
        row = ClassCheck.objects.get()
        assert (row.item, row.code, row.done_on, row.by) == (item, "sound-checked", TODAY, owner)
        browser.post(url, {"code": "sound-checked"})
        assert ClassCheck.objects.count() == 0

    def test_with_htmx_only_the_part_comes_back_and_the_step_stays_open(
        self, browser: Browser
    ) -> None:
        item = made("Strong hips", date(2027, 1, 12))
        url = f"/uploads/making/{item.pk}/check/"
        answer = browser.post(url, {"code": "promises-read", "done": "on"}, headers=HTMX)
        text = answer.content.decode()
        assert text.lstrip().startswith('<div id="making"')
        assert "<html" not in text
        assert text.count("<details open>") == 2  # filming, which is next, and the one ticked in
        assert 'id="tick-promises-read" aria-pressed="true"' in text

    def test_twice_is_once_and_each_change_is_one_entry(self) -> None:
        item = made("Strong hips", date(2027, 1, 12))
        tick(item, "sound-checked", "sound-checked")
        tick(item, "sound-checked", done=False)
        tick(item, "sound-checked", done=False)
        trail = AuditEntry.objects.filter(subject_kind="content.fitnessclass").order_by("pk")
        assert [(one.verb, one.fields) for one in trail] == [
            ("ticked", ["sound-checked"]),
            ("took back a tick", ["sound-checked"]),
        ]

    def test_an_item_that_is_not_asked_for_is_not_ticked(self, browser: Browser) -> None:
        item = made("Strong hips", date(2027, 1, 12))
        actions.retire_check_item(by=SYSTEM, code="sound-checked", retired=True)
        for code in ("sound-checked", "no-such"):
            with pytest.raises(Refused, match="not on the checklist any more"):
                tick(item, code)
        url = f"/uploads/making/{item.pk}/check/"
        answer = browser.post(url, {"code": "no-such", "done": "on"}, headers=HTMX)
        assert "That item is not on the checklist any more." in answer.content.decode()
        assert browser.post(url, {"code": "!"}).status_code == 400

    def test_the_checklist_of_what_is_out_is_closed(self) -> None:
        item = factories.fitness_class("Strong hips", state="published")
        with pytest.raises(Refused, match="“Strong hips” is published: its checklist is closed"):
            tick(item, "sound-checked")

    def test_a_class_that_is_not_there_is_404(self, browser: Browser) -> None:
        assert browser.post("/uploads/making/9/check/", {"code": "x"}).status_code == 404


def test_every_item_of_the_table_is_asked_for() -> None:
    assert {one.step for one in checklist()} == {
        "outline", "film", "edit", "captions", "schedule",
    }  # fmt: skip
