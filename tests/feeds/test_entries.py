"""Uploads as calendar entries: what each one says, and what a program is told of changes."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from typing import Any

import icalendar
import pytest
import recurring_ical_events

from coach.feeds import entries, queries
from coach.feeds.ical import Calendar, Entry, to_ical
from coach.practice.audit import SYSTEM
from coach.practice.models import Practice
from content.actions import uploads as content_actions
from content.models import FitnessClass, Upload
from tests import factories
from tests.feeds.calendars import events

DAY = date(2026, 12, 8)
MADE = datetime(2026, 11, 2, 8, tzinfo=UTC)
LATER = datetime(2026, 11, 20, 8, tzinfo=UTC)


@pytest.fixture(autouse=True)
def _galway(practice: Practice) -> None:
    Practice.objects.update(created_at=MADE, changed_at=MADE)


def feed(today: date = date(2026, 12, 3), **changes: Any) -> Calendar:
    place = Practice.objects.get()
    for name, value in changes.items():
        setattr(place, name, value)
    return entries.uploads_calendar(
        queries.uploads(),
        practice=place,
        today=today,
        absolute=lambda path: f"https://coach.example{path}",
        wishes=queries.wishes(),
    )


def entry() -> Entry:
    (only,) = feed().entries
    return only


def made(title: str = "Strong hips", **values: Any) -> FitnessClass:
    """A class that was last changed in the beginning."""
    return factories.fitness_class(title, **{"created_at": MADE, "changed_at": MADE, **values})


def placed(day: date = DAY, item: FitnessClass | None = None, **values: Any) -> Upload:
    values = {"created_at": MADE, "changed_at": MADE, **values}
    return factories.upload(day, item or made(), **values)


def test_an_upload_is_an_all_day_entry_on_its_day() -> None:
    upload = placed()
    assert entry() == Entry(
        uid=upload.uid,
        summary="Publish: Strong hips",
        description="core · 20 min · no stage excluded\nStill to do: schedule it.",
        url=f"https://coach.example/classes/{upload.item_id}/",
        first=DAY,
        last=DAY,
        created=MADE,
        stamp=MADE,
        sequence=0,
        cancelled=False,
        categories=("Uploads",),
    )


def test_the_time_of_day_stands_in_the_words_of_what_still_comes_out() -> None:
    factories.wishes(publish_at=time(7, 30), created_at=LATER, changed_at=LATER)
    placed()
    assert entry().description.endswith("Still to do: schedule it.\nAt 07:30, Europe/Dublin.")
    assert (entry().stamp, entry().sequence) == (LATER, 0)


def test_what_is_out_has_no_time_of_day_any_more() -> None:
    factories.wishes(publish_at=time(7, 30), created_at=LATER, changed_at=LATER)
    placed(item=made(state="published"))
    assert ("At 07:30" in entry().description, entry().stamp) == (False, MADE)


@pytest.mark.parametrize(
    ("state", "summary", "to_do"),
    [
        ("idea", "Publish: Strong hips", "outline, film, edit and schedule it (about 3 h 20 min"),
        ("outlined", "Publish: Strong hips", "film, edit and schedule it (about 3 h 20 min"),
        ("filmed", "Publish: Strong hips", "edit and schedule it (about 3 h 20 min"),
        ("edited", "Publish: Strong hips", "schedule it."),
        ("scheduled", "Publish: Strong hips", "nothing, it is scheduled."),
        ("published", "Published: Strong hips", None),
        ("withdrawn", "Withdrawn: Strong hips", None),
    ],
)
def test_each_state_says_what_is_still_to_do(state: str, summary: str, to_do: str | None) -> None:
    placed(item=made(state=state, minutes_of_work=200))
    assert entry().summary == summary
    lines = entry().description.split("\n")
    expected = ["core · 20 min · no stage excluded"]
    if to_do is not None:
        end = " of work)." if "(" in to_do else ""
        expected.append(f"Still to do: {to_do}{end}")
    assert lines == expected


def test_no_work_known_is_not_called_a_length_of_time() -> None:
    placed(item=made(state="idea", minutes_of_work=0))
    assert entry().description.endswith("Still to do: outline, film, edit and schedule it.")


def test_a_part_names_its_series_and_stages_that_are_not_known_say_so() -> None:
    series = factories.series("Back on your feet")
    placed(item=made(series=series, part=3, stages=[], state="published"))
    assert entry().description == "core · 20 min · stages not known\nPart 3 of Back on your feet"


@pytest.mark.parametrize("changed", ["upload", "class", "series"])
def test_the_stamp_is_the_latest_change_of_what_the_entry_tells(changed: str) -> None:
    stamps = {name: LATER if name == changed else MADE for name in ("upload", "class", "series")}
    series = factories.series("Back on your feet")
    type(series).objects.update(changed_at=stamps["series"])
    item = made(series=series, part=1, changed_at=stamps["class"])
    placed(item=item, changed_at=stamps["upload"])
    assert (entry().stamp, feed().stamp) == (LATER, LATER)


def test_the_same_rows_give_the_same_bytes_on_another_day() -> None:
    for n in range(12):
        placed(DAY + timedelta(days=n % 5), made(f"Class {n}"))
    days = [date(2026, 12, 3), date(2026, 12, 4), date(2027, 12, 4)]
    assert len({to_ical(feed(day)) for day in days}) == 1


def test_a_moved_upload_keeps_its_identity_and_raises_its_sequence() -> None:
    upload = placed()
    before = entry()
    content_actions.move(by=SYSTEM, upload=upload, day=date(2026, 12, 10))
    after = entry()
    assert (after.uid, after.sequence) == (before.uid, before.sequence + 1)
    assert (after.first, after.last) == (date(2026, 12, 10), date(2026, 12, 10))
    assert after.stamp > before.stamp


def test_an_upload_taken_off_stays_as_cancelled_on_its_day() -> None:
    upload = placed()
    content_actions.take_off(by=SYSTEM, upload=upload)
    (told,) = events(to_ical(feed()))
    assert (told["UID"], told["STATUS"], told["SEQUENCE"]) == (str(upload.uid), "CANCELLED", "1")
    assert told["DTSTART"] == "20261208"


def test_a_class_placed_again_has_a_new_identity_beside_the_cancelled_one() -> None:
    upload = placed()
    content_actions.take_off(by=SYSTEM, upload=upload)
    content_actions.place(by=SYSTEM, item=upload.item, day=date(2026, 12, 12))
    told = {row.uid: row.cancelled for row in feed().entries}
    assert told.pop(upload.uid) is True
    assert list(told.values()) == [False]


@pytest.mark.parametrize(
    ("zone", "last_day"),
    [
        ("Europe/Dublin", date(2026, 11, 30)),
        ("Australia/Sydney", date(2026, 12, 1)),
        ("America/New_York", date(2026, 11, 30)),
    ],
)
def test_a_cancelled_upload_is_told_for_sixty_days(zone: str, last_day: date) -> None:
    placed(date(2026, 10, 6), cancelled_at=datetime(2026, 10, 1, 20, tzinfo=UTC), sequence=1)
    after = last_day + timedelta(days=1)
    assert [row.cancelled for row in feed(last_day, time_zone=zone).entries] == [True]
    assert feed(after, time_zone=zone).entries == ()


def test_an_upload_that_leaves_the_feed_changes_its_stamp() -> None:
    """Else a program that asks by date alone would never hear of it."""
    cancelled = datetime(2026, 10, 1, 20, tzinfo=UTC)
    placed(date(2026, 10, 6), cancelled_at=cancelled, changed_at=cancelled)
    assert feed(date(2026, 11, 30)).stamp == MADE
    assert feed(date(2026, 12, 1)).stamp == datetime(2026, 12, 1, tzinfo=UTC)  # Dublin in winter


def test_a_changed_name_of_the_practice_changes_the_stamp() -> None:
    assert feed(changed_at=LATER).stamp == LATER
    assert feed(name="Tuam Mothers; moving").name == "Uploads · Tuam Mothers; moving"


def test_two_practices_have_two_calendars_and_one_keeps_its_own() -> None:
    ours = feed().uid
    assert feed(name="Renamed", time_zone="Australia/Sydney").uid == ours
    assert feed(created_at=MADE + timedelta(microseconds=1)).uid != ours


def test_an_empty_feed_is_a_calendar_without_events() -> None:
    assert icalendar.Calendar.from_ical(to_ical(feed())).events == []


def test_other_programs_find_each_upload_on_its_day() -> None:
    placed(DAY, made("Strong hips"))
    placed(DAY + timedelta(days=3), made("Breath; first"))
    read = recurring_ical_events.of(icalendar.Calendar.from_ical(to_ical(feed())))
    shown = {day: [str(e["SUMMARY"]) for e in read.at(day)] for day in (DAY, date(2026, 12, 9))}
    assert shown == {DAY: ["Publish: Strong hips"], date(2026, 12, 9): []}
    assert [str(e["SUMMARY"]) for e in read.at(date(2026, 12, 11))] == ["Publish: Breath; first"]


def test_no_client_is_in_the_feed() -> None:
    person = factories.client("Aoife Ní Mharcaigh")
    factories.pregnancy(person, due=date(2027, 2, 1))
    placed(item=made(note="for Aoife Ní Mharcaigh, after her scan"))
    body = to_ical(feed()).decode()
    assert "Aoife" not in body
    assert "scan" not in body
