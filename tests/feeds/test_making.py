"""The days on which classes are made, as calendar entries (RFC 5545, RFC 5546, RFC 7986)."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any
from uuid import uuid5

import icalendar
import pytest
import recurring_ical_events

from coach import clock
from coach.feeds import entries
from coach.feeds.ical import Calendar, Entry, to_ical
from coach.feeds.models import Kind
from coach.practice.audit import SYSTEM
from coach.practice.models import Practice
from content.actions import classes as class_actions
from content.actions import planning
from content.actions.making import tick
from content.actions.uploads import move
from content.models import DayOff, FilmedTimes, FitnessClass, Upload, Wishes
from tests import factories
from tests.feeds.calendars import events, lines

TODAY = date(2026, 12, 3)
NOW = datetime(2026, 12, 3, 9, tzinfo=UTC)
MADE = datetime(2026, 11, 2, 8, tzinfo=UTC)
LATER = datetime(2026, 11, 20, 8, tzinfo=UTC)


@pytest.fixture(autouse=True)
def _galway(practice: Practice) -> None:
    """Filming on Wednesdays; leads are 21, 10, 6, 4 and 2 days."""
    Practice.objects.update(created_at=MADE, changed_at=MADE)
    factories.wishes(film_weekdays=[2], created_at=MADE, changed_at=MADE)


def feed(today: date = TODAY) -> Calendar:
    return entries.calendar_of(
        Kind.UPLOADS,
        practice=Practice.objects.get(),
        today=today,
        absolute=lambda path: f"https://coach.example{path}",
    )


def made(title: str, publish: date, state: str = "outlined", **values: Any) -> Upload:
    stamps = {"created_at": MADE, "changed_at": MADE}
    item = factories.fitness_class(title, state=state, **{**stamps, **values})
    return factories.upload(publish, item, **stamps)


def steps(today: date = TODAY) -> list[Entry]:
    return [one for one in feed(today).entries if one.categories == ("Making",)]


def told(today: date = TODAY) -> list[tuple[date | None, str]]:
    return sorted((one.first, one.summary) for one in steps(today))  # type: ignore[type-var]  # all-day


def one(summary: str, today: date = TODAY) -> Entry:
    return next(entry for entry in steps(today) if entry.summary == summary)


def later(monkeypatch: pytest.MonkeyPatch) -> datetime:
    """From here on rows are written on the day after."""
    monkeypatch.setenv("COACH_TODAY", "2026-12-04")
    return clock.now()


def test_every_step_to_come_is_an_all_day_entry_of_its_own() -> None:
    upload = made("Strong hips", date(2027, 1, 12), "filmed")
    assert told() == [
        (date(2027, 1, 6), "Edit: Strong hips"),
        (date(2027, 1, 8), "Caption: Strong hips"),
        (date(2027, 1, 10), "Schedule: Strong hips"),
    ]
    assert one("Edit: Strong hips") == Entry(
        uid=uuid5(upload.uid, "edit"),
        summary="Edit: Strong hips",
        description="Strong hips: out on Tuesday 12 January 2027",
        url=f"https://coach.example/classes/{upload.item_id}/",
        first=date(2027, 1, 6),
        last=date(2027, 1, 6),
        created=MADE,
        stamp=MADE,
        sequence=0,
        categories=("Making",),
    )


def test_a_filming_day_is_one_entry_with_its_classes_by_publish_day() -> None:
    made("Second", date(2027, 1, 2))
    made("First", date(2026, 12, 26))
    film = one("Film two: First, Second")
    assert (film.first, film.last, film.url) == (
        date(2026, 12, 16),
        date(2026, 12, 16),
        "https://coach.example/uploads/making/",
    )
    assert film.description == (
        "First: out on Saturday 26 December 2026\nSecond: out on Saturday 2 January 2027"
    )


def test_a_step_goes_once_it_is_done(monkeypatch: pytest.MonkeyPatch) -> None:
    upload = made("Strong hips", date(2027, 1, 12))
    before = {summary for _, summary in told()}
    at = later(monkeypatch)
    class_actions.step_on(by=SYSTEM, item=upload.item)
    assert before - {summary for _, summary in told()} == {"Film: Strong hips"}
    FilmedTimes.objects.create(item=upload.item)
    assert [summary for _, summary in told()] == ["Edit: Strong hips", "Schedule: Strong hips"]
    class_actions.step_on(by=SYSTEM, item=upload.item)
    assert (told(), feed().stamp) == ([], at)


@pytest.mark.parametrize("state", ["published", "withdrawn"])
def test_what_is_out_or_withdrawn_is_not_made(state: str) -> None:
    made("Strong hips", date(2027, 1, 12), state)
    assert told() == []


def test_a_cancelled_upload_takes_its_steps_with_it(monkeypatch: pytest.MonkeyPatch) -> None:
    upload = made("Strong hips", date(2027, 1, 12), "filmed")
    at = later(monkeypatch)
    class_actions.withdraw(by=SYSTEM, item=upload.item, reason="No")
    assert (told(), feed().stamp) == ([], at)


def test_the_same_rows_give_the_same_bytes_until_something_is_late() -> None:
    """RFC 5545, 3.8.7.2: the stamp of a plain snapshot is that of the last change, never now."""
    for n in range(12):
        made(f"Class {n}", date(2027, 1, 12) + timedelta(days=n))
    days = [TODAY + timedelta(days=n) for n in range(14)]  # the first filming day is the 16th
    assert len({to_ical(feed(day)) for day in days}) == 1


def test_on_one_day_the_bytes_are_the_same_even_when_all_is_late() -> None:
    for n in range(5):
        made(f"Class {n}", TODAY + timedelta(days=n), "idea", minutes_of_work=600)
    assert to_ical(feed()) == to_ical(feed())
    assert to_ical(feed()) != to_ical(feed(TODAY + timedelta(days=1)))


def test_what_time_alone_moves_has_a_later_stamp_and_a_higher_sequence() -> None:
    """RFC 5546, 2.1.4. Edited by the 6th: it stands on each day from the 7th on. Where she is it
    is UTC in winter."""
    made("Strong hips", date(2026, 12, 12), "filmed")
    days = [date(2026, 12, n) for n in (6, 7, 8)]
    found = [one("Edit: Strong hips", day) for day in days]
    assert [entry.first for entry in found] == days
    assert len({entry.uid for entry in found}) == 1
    stamps = [MADE, *(datetime(2026, 12, n, tzinfo=UTC) for n in (7, 8))]
    assert [entry.stamp for entry in found] == stamps
    assert [feed(day).stamp for day in days] == stamps
    sequences = [entry.sequence for entry in found]
    assert sequences == [int((at - MADE).total_seconds()) for at in stamps]


def test_what_is_late_moves_nothing_of_another_class() -> None:
    made("Late", date(2026, 12, 5), "filmed")
    made("Calm back", date(2027, 1, 12), "filmed")
    found = [one("Edit: Calm back", TODAY + timedelta(days=n)) for n in range(5)]
    assert {(entry.first, entry.stamp) for entry in found} == {(date(2027, 1, 6), MADE)}


def test_a_filming_day_that_was_missed_is_another_day() -> None:
    made("Strong hips", date(2026, 12, 19))
    days = [date(2026, 12, n) for n in (9, 10)]
    found = [one("Film: Strong hips", day) for day in days]
    assert [entry.first for entry in found] == [date(2026, 12, 9), date(2026, 12, 16)]
    assert found[0].uid != found[1].uid
    assert feed(days[1]).stamp == datetime(2026, 12, 10, tzinfo=UTC)
    assert feed(date(2026, 12, 13)).entries[0].stamp == MADE


def test_a_moved_upload_moves_its_steps_with_a_higher_sequence(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    upload = made("Strong hips", date(2027, 1, 12), "filmed")
    before = one("Edit: Strong hips")
    at = later(monkeypatch)
    move(by=SYSTEM, upload=upload, day=date(2027, 1, 16))
    after = one("Edit: Strong hips")
    assert (before.first, after.first) == (date(2027, 1, 6), date(2027, 1, 10))
    assert (after.uid, after.stamp) == (before.uid, at)
    assert after.sequence > before.sequence


def test_a_class_that_joins_a_filming_day_changes_its_entry_and_not_its_identity(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    made("First", date(2026, 12, 26))
    before = one("Film: First")
    at = later(monkeypatch)
    factories.upload(date(2026, 12, 29), factories.fitness_class("Second", state="outlined"))
    after = one("Film two: First, Second")
    assert (after.uid, after.first, after.stamp) == (before.uid, before.first, at)
    assert after.sequence > before.sequence


def _lead(upload: Upload) -> None:
    planning.change_wishes(by=SYSTEM, lead_edit=7)


def _off(upload: Upload) -> None:
    planning.add_day_off(by=SYSTEM, day=date(2027, 1, 6))


def _on_again(upload: Upload) -> None:
    planning.remove_day_off(by=SYSTEM, off=DayOff.objects.get(day=date(2027, 1, 10)))


def _tick(upload: Upload) -> None:
    tick(by=SYSTEM, item=upload.item, code="chapters-made", done=True, today=TODAY)


def _untick(upload: Upload) -> None:
    tick(by=SYSTEM, item=upload.item, code="captions-read", done=False, today=TODAY)


@pytest.mark.parametrize("act", [_lead, _off, _on_again, _tick, _untick])
def test_whatever_the_days_rest_on_stamps_them(act: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    upload = made("Strong hips", date(2027, 1, 12), "filmed")
    factories.day_off(date(2027, 1, 10))
    tick(by=SYSTEM, item=upload.item, code="captions-read", done=True, today=TODAY)
    assert feed().stamp == NOW
    at = later(monkeypatch)
    act(upload)
    assert (one("Edit: Strong hips").stamp, feed().stamp) == (at, at)


def test_an_untouched_class_keeps_its_stamp_when_another_is_ticked(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    made("Calm back", date(2027, 1, 12), "filmed")
    other = made("Strong hips", date(2027, 1, 12), "filmed")
    later(monkeypatch)
    tick(by=SYSTEM, item=other.item, code="captions-read", done=True, today=TODAY)
    assert one("Edit: Calm back").stamp == MADE


def test_nothing_of_a_client_is_in_it() -> None:
    person = factories.client("Aoife Ní Mharcaigh")
    factories.pregnancy(person, due=date(2027, 2, 1))
    made("Strong hips", date(2027, 1, 12), note="for Aoife Ní Mharcaigh, after her scan")
    body = to_ical(feed()).decode()
    assert ("Aoife" in body, "scan" in body) == (False, False)


def test_every_identity_is_there_once_and_says_nothing() -> None:
    """RFC 7986, 5.3."""
    for n in range(7):
        made(f"Class {n}", date(2027, 1, 12) + timedelta(days=n), "idea")
    found = events(to_ical(feed()))
    uids = [event["UID"] for event in found]
    assert len(set(uids)) == len(uids) == 7 * 5 + 3  # seven a class less filming; three days
    assert lines(to_ical(feed()), "STATUS") == ["STATUS:CONFIRMED"] * len(uids)


def test_other_programs_find_each_on_its_day() -> None:
    made("Breath; first", date(2027, 1, 12))
    read = recurring_ical_events.of(icalendar.Calendar.from_ical(to_ical(feed())))
    days = [date(2026, 12, 30), date(2027, 1, 6), date(2027, 1, 12)]
    assert [[str(event["SUMMARY"]) for event in read.at(day)] for day in days] == [
        ["Film: Breath; first"],
        ["Edit: Breath; first"],
        ["Publish: Breath; first"],
    ]


def test_before_she_has_said_any_wish_there_are_days_all_the_same() -> None:
    Wishes.objects.all().delete()
    made("Strong hips", date(2027, 1, 12))
    assert told()[0] == (date(2027, 1, 2), "Film: Strong hips")
    assert FitnessClass.objects.count() == 1
