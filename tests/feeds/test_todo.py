"""What is to be done as calendar entries: initials, a day, and nothing of why."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta

import icalendar
import pytest
import recurring_ical_events

from clients.actions import record_end, record_warning_sign, resume, snooze
from clients.models import Client, MeasuringPolicy, Pregnancy
from clients.rules.words import NEVER_IF_QUIET
from coach import clock
from coach.feeds import entries
from coach.feeds.ical import Calendar, Entry, to_ical
from coach.feeds.models import Kind
from coach.practice.audit import SYSTEM
from coach.practice.models import Practice
from coach.scheduling.dates import Ending
from tests import factories_diary as made
from tests.feeds.calendars import events, lines, physical_lines

TODAY = date(2026, 12, 3)
NOW = datetime(2026, 12, 3, 9, tzinfo=UTC)


@pytest.fixture(autouse=True)
def _galway(practice: Practice) -> None:
    Practice.objects.update(created_at=made.CAME, changed_at=made.CAME)


def feed(today: date = TODAY, **changes: str) -> Calendar:
    place = Practice.objects.get()
    for name, value in changes.items():
        setattr(place, name, value)
    return entries.calendar_of(
        Kind.TODO, practice=place, today=today, absolute=lambda path: f"https://coach.example{path}"
    )


def entry(today: date = TODAY) -> Entry:
    (only,) = feed(today).entries
    return only


def orla() -> Client:
    """30 weeks on 12 November, when she was last measured: wanted again on 10 December."""
    client = made.pregnant("Orla Kinsale", date(2027, 1, 21))
    made.assessed(client, date(2026, 11, 12), at=made.CAME)
    return client


def test_a_reassessment_is_an_all_day_entry_by_initials() -> None:
    client = orla()
    (told,) = feed().entries
    assert told == Entry(
        uid=told.uid,
        summary="Reassess O.K.",
        url=f"https://coach.example/clients/{client.pk}/",
        first=date(2026, 12, 10),
        last=date(2026, 12, 10),
        created=made.CAME,
        stamp=made.CAME,
        categories=("To do",),
    )


def test_a_first_assessment_is_two_weeks_from_the_day_she_came() -> None:
    made.afterwards("Ines Prado", date(2026, 7, 1))
    assert (entry().summary, entry().first) == ("Assess I.P.", date(2026, 11, 16))


def test_on_hold_it_is_never_to_assess_her() -> None:
    record_warning_sign(by=SYSTEM, client=orla(), code="dizzy", happened_on=date(2026, 12, 1))
    assert (entry().summary, entry().first) == ("Write to O.K.", date(2026, 12, 10))


def test_a_snoozed_one_comes_back_on_its_day_and_the_calendar_says_that_it_changed() -> None:
    snooze(by=SYSTEM, client=orla(), until=date(2026, 12, 20), reason="On holiday")
    assert (feed().entries, feed().stamp) == ((), NOW)
    assert feed(date(2026, 12, 19)).entries == ()
    assert entry(date(2026, 12, 20)).summary == "Reassess O.K."
    assert feed(date(2026, 12, 20)).stamp == datetime(2026, 12, 20, tzinfo=UTC)


def test_after_a_loss_it_is_not_there_until_it_is_resumed() -> None:
    client = made.afterwards("Ines Prado", date(2026, 9, 1), "loss", quiet=True)
    assert feed().entries == ()
    resume(by=SYSTEM, client=client)
    assert (entry().summary, entry().stamp) == ("Assess I.P.", NOW)


def test_another_number_of_the_practice_moves_it_and_the_calendar_says_so() -> None:
    orla()
    values = {"reassessment": {"every-t3": 3}}
    MeasuringPolicy.objects.create(begins=TODAY, values=values, at=NOW)
    assert (entry().first, feed().stamp) == (date(2026, 12, 3), NOW)


def test_a_letter_is_on_its_last_day_however_far_ahead() -> None:
    client = made.afterwards("Tove Rask", date(2026, 6, 1), standing="paused")
    made.letter(client, date(2026, 11, 20), until=date(2027, 6, 30))
    assert (entry().summary, entry().first, entry().last) == (
        "Letter of T.R. runs out",
        date(2027, 6, 30),
        date(2027, 6, 30),
    )


def test_a_letter_until_the_end_of_it_has_no_day_to_tell() -> None:
    client = made.pregnant("Tove Rask", date(2027, 1, 21), standing="paused")
    made.letter(client, date(2026, 11, 20), until_birth=True)
    assert feed().entries == ()


def test_nothing_of_health_is_in_the_file() -> None:
    """No name, reason, stage, or week, whatever is known of her."""
    client = orla()
    lost = made.afterwards("Ines Prado", date(2026, 9, 1), "loss", quiet=True)
    resume(by=SYSTEM, client=lost)
    made.letter(client, date(2026, 11, 20), until=date(2026, 12, 20))
    record_warning_sign(by=SYSTEM, client=client, code="dizzy", happened_on=date(2026, 12, 1))
    body = to_ical(feed()).decode().replace("\r\n ", "")
    assert {line.partition(":")[0] for line in body.splitlines() if "VALUE" not in line} == {
        "BEGIN", "VERSION", "PRODID", "UID", "LAST-MODIFIED", "NAME", "X-WR-CALNAME",
        "X-PUBLISHED-TTL", "DTSTAMP", "CREATED", "SEQUENCE", "STATUS", "SUMMARY", "CATEGORIES",
        "URL", "TRANSP", "END",
    }  # fmt: skip
    assert sorted(event["SUMMARY"] for event in events(to_ical(feed()))) == [
        "Assess I.P.",
        "Write to O.K.",
    ]
    never = (*NEVER_IF_QUIET, "orla", "kinsale", "ines", "prado", "week", "loss", "stage", "dizz")
    told = re.sub(r"(?m)^PRODID.*$", "", body).lower()
    assert [word for word in never if word in told] == []


def test_an_identity_says_nothing_and_stays() -> None:
    """RFC 7986 section 5.3: no name, host or key in a UID."""
    client = orla()
    first = entry().uid
    Client.objects.filter(pk=client.pk).update(name="Orla Kinsale-Byrne")
    assert entry().uid == first
    assert str(client.uid) not in str(first)


def test_one_client_may_have_both_and_two_clients_never_share_one() -> None:
    for _ in range(2):
        client = orla()
        made.letter(client, date(2026, 11, 20), until=date(2026, 12, 20))
    found = feed().entries
    assert len({one.uid for one in found}) == len(found) == 4


def test_the_same_rows_give_the_same_bytes_on_another_day() -> None:
    made.letter(orla(), date(2026, 11, 20), until=date(2027, 1, 10))
    made.afterwards("Ines Prado", date(2026, 7, 1))
    days = [TODAY + timedelta(days=n) for n in range(30)]
    assert len({to_ical(feed(day)) for day in days}) == 1


def test_a_day_that_moves_raises_sequence_and_stamp_and_keeps_the_identity() -> None:
    """RFC 5546 section 2.1.4."""
    client = orla()
    before = entry()
    made.assessed(client, date(2026, 12, 2), at=NOW)
    after = entry()
    assert (before.first, after.first) == (date(2026, 12, 10), date(2026, 12, 30))
    assert after.uid == before.uid
    assert (before.stamp, after.stamp) == (made.CAME, NOW)
    assert before.sequence == 0
    assert after.sequence == 31 * 86400 + 3600


@pytest.mark.parametrize("change", ["client", "pregnancy", "letter"])
def test_a_change_of_any_row_it_rests_on_stamps_it(
    change: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    client = orla()
    monkeypatch.setenv("COACH_TODAY", "2026-12-04")
    later = clock.now()
    if change == "client":
        Client.objects.update(name="Orla Lund", changed_at=later)
    elif change == "pregnancy":
        Pregnancy.objects.update(due=date(2027, 1, 22), changed_at=later)
    else:
        made.letter(client, date(2026, 11, 20))
    reassess = next(one for one in feed().entries if one.summary.startswith("Reassess"))
    assert (reassess.stamp, feed().stamp) == (later, later)


def test_a_loss_entered_at_noon_leaves_nothing_of_what_was_there(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    client = orla()
    made.letter(client, date(2026, 11, 20), until=date(2026, 12, 20))
    assert len(feed().entries) == 2
    monkeypatch.setattr(clock, "now", lambda: NOW + timedelta(hours=3))
    (pregnancy,) = client.pregnancies.all()
    record_end(by=SYSTEM, pregnancy=pregnancy, ended=date(2026, 12, 2), ending=Ending.LOSS)
    assert feed().entries == ()
    resume(by=SYSTEM, client=client)
    assert (entry().summary, entry().first) == ("Reassess O.K.", date(2027, 1, 13))
    assert lines(to_ical(feed()), "STATUS") == ["STATUS:CONFIRMED"]


def test_past_her_date_she_goes_out_of_it_and_the_calendar_says_that_it_changed() -> None:
    """Else a program that asks by date alone would never hear of it."""
    made.assessed(made.pregnant("Orla Kinsale", date(2026, 12, 4)), date(2026, 11, 4))
    assert [one.first for one in feed(date(2026, 12, 4)).entries] == [date(2026, 12, 2)]
    assert feed(date(2026, 12, 4)).stamp == made.CAME
    assert feed(date(2026, 12, 5)).entries == ()
    assert feed(date(2026, 12, 5)).stamp == datetime(2026, 12, 5, tzinfo=UTC)  # Dublin in winter
    assert feed(date(2027, 1, 9)).stamp == datetime(2026, 12, 5, tzinfo=UTC)


def test_a_letter_that_ran_out_goes_out_of_it_and_the_calendar_says_that_it_changed() -> None:
    client = made.afterwards("Tove Rask", date(2026, 6, 1), standing="paused")
    made.letter(client, date(2026, 11, 20), until=date(2026, 12, 9))
    assert len(feed(date(2026, 12, 9)).entries) == 1
    assert feed(date(2026, 12, 9)).stamp == NOW
    assert feed(date(2026, 12, 10)).entries == ()
    assert feed(date(2026, 12, 10)).stamp == datetime(2026, 12, 10, tzinfo=UTC)


def test_its_calendar_is_another_than_that_of_the_uploads() -> None:
    place = Practice.objects.get()
    uploads = entries.calendar_of(Kind.UPLOADS, practice=place, today=TODAY, absolute=str)
    assert feed().uid != uploads.uid
    assert feed(name="Tuam Mothers; moving").name == "To do · Tuam Mothers; moving"


def test_an_empty_feed_is_a_calendar_without_events() -> None:
    body = to_ical(feed())
    assert icalendar.Calendar.from_ical(body).events == []
    assert physical_lines(body)[0] == b"BEGIN:VCALENDAR"


def test_other_programs_find_each_on_its_day() -> None:
    made.letter(orla(), date(2026, 11, 20), until=date(2026, 12, 20))
    read = recurring_ical_events.of(icalendar.Calendar.from_ical(to_ical(feed())))
    days = [date(2026, 12, n) for n in (9, 10, 11, 20)]
    assert {day: [str(one["SUMMARY"]) for one in read.at(day)] for day in days} == {
        date(2026, 12, 9): [],
        date(2026, 12, 10): ["Reassess O.K."],
        date(2026, 12, 11): [],
        date(2026, 12, 20): ["Letter of O.K. runs out"],
    }
