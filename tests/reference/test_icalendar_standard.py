"""The calendar bytes against the published standards.

Sources: RFC 5545 (iCalendar), RFC 5546 (how changes are told), RFC 7986 (newer properties),
RFC 9110 (entity tags). The section stands beside each check; the expected lines were worked out
from the texts by hand. Reading back uses a reader of our own written from RFC 5545 alone, and the
icalendar and recurring-ical-events libraries.
"""

from __future__ import annotations

import os
import re
import time
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import icalendar
import pytest
import recurring_ical_events

from coach.feeds.ical import BadCalendar, etag, to_ical
from tests.feeds.calendars import (
    STAMP,
    all_day,
    calendar,
    content_lines,
    events,
    lines,
    timed,
    unescaped,
)

BERLIN = ZoneInfo("Europe/Berlin")


@pytest.fixture(params=["UTC", "Australia/Sydney", "America/New_York"])
def machine_zone(request: pytest.FixtureRequest) -> Iterator[str]:
    """Run the test on a machine that is set to this zone."""
    before = os.environ.get("TZ")
    os.environ["TZ"] = request.param
    time.tzset()
    yield request.param
    del os.environ["TZ"]
    if before is not None:
        os.environ["TZ"] = before
    time.tzset()


# Days and times (RFC 5545 sections 3.3.4, 3.3.5, 3.6.1 and 3.8.2)


@pytest.mark.parametrize(
    ("first", "last", "start", "end"),
    [
        (date(2026, 12, 24), date(2026, 12, 26), "20261224", "20261227"),
        (date(2007, 6, 28), date(2007, 7, 8), "20070628", "20070709"),  # the sample of 3.6.1
        (date(2028, 2, 28), date(2028, 2, 28), "20280228", "20280229"),
        (date(2026, 12, 31), date(2026, 12, 31), "20261231", "20270101"),
    ],
)
def test_days_are_dates_and_the_end_is_the_day_after(
    first: date, last: date, start: str, end: str
) -> None:
    body = to_ical(calendar(all_day(first=first, last=last)))
    assert lines(body, "DTSTART") == [f"DTSTART;VALUE=DATE:{start}"]
    assert lines(body, "DTEND") == [f"DTEND;VALUE=DATE:{end}"]
    expanded = recurring_ical_events.of(icalendar.Calendar.from_ical(body))
    days = [first + timedelta(days=n) for n in range(-1, (last - first).days + 2)]
    assert [len(expanded.at(day)) for day in days] == [0, *[1] * (len(days) - 2), 0]


def local(zone: str, text: str, fold: int = 0) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(zone), fold=fold)


@pytest.mark.parametrize(
    ("start", "written"),
    [
        (local("Europe/Berlin", "2026-03-30 18:00"), "20260330T160000Z"),
        # The two samples of section 3.3.5: 1:30 twice is the first one, and the 2:30 that does not
        # exist is read with the offset before the gap.
        (local("America/New_York", "2007-11-04 01:30"), "20071104T053000Z"),
        (local("America/New_York", "2007-03-11 02:30"), "20070311T073000Z"),
        # Both edges of summer time, from the published time zone database.
        (local("Europe/Berlin", "2026-03-29 02:30"), "20260329T013000Z"),
        (local("Europe/Berlin", "2026-10-25 02:30"), "20261025T003000Z"),
        (local("Europe/Berlin", "2026-10-25 02:30", fold=1), "20261025T013000Z"),
        (local("America/Chicago", "2026-11-01 02:00"), "20261101T080000Z"),
        (local("Australia/Sydney", "2026-04-05 02:30"), "20260404T153000Z"),
        (local("Australia/Sydney", "2026-10-04 02:30"), "20261003T163000Z"),
        (local("Asia/Kolkata", "2026-07-01 00:00"), "20260630T183000Z"),
        (local("Pacific/Apia", "2011-12-30 12:00"), "20111230T220000Z"),
        # A fixed offset is no zone that a reader knows: UTC instead.
        (datetime(2026, 3, 30, 18, tzinfo=timezone(timedelta(hours=2))), "20260330T160000Z"),
    ],
)
def test_times_are_written_in_utc(start: datetime, written: str, machine_zone: str) -> None:
    """RFC 5545 section 3.3.5, form 2, whatever the machine's own zone is."""
    body = to_ical(calendar(timed(start, start.astimezone(UTC) + timedelta(hours=1))))
    assert lines(body, "DTSTART") == [f"DTSTART:{written}"]
    assert b"TZID" not in body
    (read,) = icalendar.Calendar.from_ical(body).events
    assert read.end - read.start == timedelta(hours=1)


def test_a_time_without_a_zone_is_refused() -> None:
    """RFC 5545 section 3.3.5, form 1, "floating", means another moment for each reader."""
    floating = STAMP.replace(tzinfo=None)
    for field in ("stamp", "created"):
        with pytest.raises(BadCalendar, match="zone"):
            all_day(**{field: floating})
    for start, end in ((floating, STAMP), (STAMP, floating)):
        with pytest.raises(BadCalendar, match="zone"):
            timed(start, end)
    with pytest.raises(BadCalendar, match="zone"):
        calendar(stamp=floating)


def test_the_same_calendar_gives_the_same_file_in_every_zone(machine_zone: str) -> None:
    """The whole file, line by line: nothing of the machine and nothing of the moment is in it."""
    late = timed(local("Europe/Berlin", "2026-03-30 18:00"), uid="entry-2", sequence=3)
    body = to_ical(calendar(late, all_day(url="https://example.org/c/1/")))
    assert body.decode().split("\r\n") == [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//Coach back office//Calendar feed//EN",
        "UID:calendar-1",
        "LAST-MODIFIED:20260301T093000Z",
        "NAME:Uploads",
        "X-WR-CALNAME:Uploads",
        "REFRESH-INTERVAL;VALUE=DURATION:PT6H",
        "X-PUBLISHED-TTL:PT6H",
        "BEGIN:VEVENT",
        "UID:entry-1",
        "DTSTAMP:20260301T093000Z",
        "LAST-MODIFIED:20260301T093000Z",
        "SEQUENCE:0",
        "STATUS:CONFIRMED",
        "DTSTART;VALUE=DATE:20260330",
        "DTEND;VALUE=DATE:20260331",
        "SUMMARY:Film the class",
        "URL:https://example.org/c/1/",
        "TRANSP:TRANSPARENT",
        "END:VEVENT",
        "BEGIN:VEVENT",
        "UID:entry-2",
        "DTSTAMP:20260301T093000Z",
        "LAST-MODIFIED:20260301T093000Z",
        "SEQUENCE:3",
        "STATUS:CONFIRMED",
        "DTSTART:20260330T160000Z",
        "DTEND:20260330T170000Z",
        "SUMMARY:Session",
        "TRANSP:OPAQUE",
        "END:VEVENT",
        "END:VCALENDAR",
        "",
    ]


# Identity and change (RFC 5545 section 3.8.7, RFC 5546 section 2.1.4, RFC 7986 section 5)


def test_stamps_are_utc_and_those_of_the_row() -> None:
    """RFC 5545 section 3.8.7.2: without METHOD the stamp is when it last changed."""
    stamp = datetime(2026, 3, 1, 10, 30, tzinfo=BERLIN)
    (read,) = events(to_ical(calendar(all_day(stamp=stamp, created=STAMP))))
    assert (read["DTSTAMP"], read["LAST-MODIFIED"]) == ("20260301T093000Z", "20260301T093000Z")
    assert read["CREATED"] == "20260301T093000Z"


def test_the_calendar_carries_its_own_identity_and_stamp() -> None:
    """RFC 7986 sections 5.3 and 5.4: once each, and neither invented at each call."""
    heading = content_lines(to_ical(calendar()))
    assert [value for name, _, value in heading if name == "UID"] == ["calendar-1"]
    assert [value for name, _, value in heading if name == "LAST-MODIFIED"] == ["20260301T093000Z"]


@pytest.mark.parametrize("uid", ["a@example.org", "", "a b", "a\r\nX-EVIL:1", "x" * 255, "ü"])
def test_an_identity_that_names_a_host_or_breaks_the_form_is_refused(uid: str) -> None:
    """RFC 7986 section 5.3."""
    with pytest.raises(BadCalendar, match="UID"):
        all_day(uid=uid)
    with pytest.raises(BadCalendar, match="UID"):
        calendar(uid=uid)


def test_an_edited_row_keeps_its_identity_and_gets_a_later_stamp() -> None:
    """RFC 5546 section 2.1.4: the sequence may stay."""
    later = STAMP + timedelta(minutes=5)
    before, after = (
        events(to_ical(calendar(row)))[0]
        for row in (all_day(), all_day(summary="Film it", stamp=later))
    )
    changed = {name for name in before if before[name] != after[name]}
    assert changed == {"SUMMARY", "DTSTAMP", "LAST-MODIFIED"}


def test_a_cancelled_row_keeps_identity_and_day() -> None:
    """RFC 5546 section 2.1.4 and RFC 5545 section 3.8.1.11."""
    later = STAMP + timedelta(minutes=5)
    before, after = (
        events(to_ical(calendar(row)))[0]
        for row in (all_day(), all_day(cancelled=True, sequence=1, stamp=later))
    )
    assert after == {
        **before,
        "STATUS": "CANCELLED",
        "SEQUENCE": "1",
        "DTSTAMP": "20260301T093500Z",
        "LAST-MODIFIED": "20260301T093500Z",
    }


def test_two_entries_with_one_identity_are_refused() -> None:
    """RFC 5545 section 3.8.4.7."""
    with pytest.raises(BadCalendar, match="one UID"):
        calendar(all_day(), all_day(summary="Another"))


# The feed as a whole


def test_an_empty_calendar_holds_one_time_zone() -> None:
    """RFC 5545 section 3.6, component = 1*(...), and 3.6.5 for what a VTIMEZONE needs."""
    read = content_lines(to_ical(calendar()))
    start = read.index(("BEGIN", "", "VTIMEZONE"))
    assert read[start : start + 8] == [
        ("BEGIN", "", "VTIMEZONE"),
        ("TZID", "", "UTC"),
        ("BEGIN", "", "STANDARD"),
        ("DTSTART", "", "19700101T000000"),
        ("TZOFFSETFROM", "", "+0000"),
        ("TZOFFSETTO", "", "+0000"),
        ("END", "", "STANDARD"),
        ("END", "", "VTIMEZONE"),
    ]
    assert icalendar.Calendar.from_ical(to_ical(calendar())).events == []


@pytest.mark.parametrize(
    ("refresh", "written"),
    [
        (timedelta(hours=1), "PT1H"),
        (timedelta(hours=6), "PT6H"),
        (timedelta(minutes=90), "PT1H30M"),
        (timedelta(days=7), "P7D"),
        (timedelta(days=1, hours=2), "P1DT2H"),
    ],
)
def test_the_refresh_names_its_type(refresh: timedelta, written: str) -> None:
    """RFC 7986 section 5.7: VALUE is required. Durations: RFC 5545 section 3.3.6."""
    body = to_ical(calendar(refresh=refresh))
    assert lines(body, "REFRESH-INTERVAL") == [f"REFRESH-INTERVAL;VALUE=DURATION:{written}"]
    assert lines(body, "X-PUBLISHED-TTL") == [f"X-PUBLISHED-TTL:{written}"]


def test_a_refresh_that_is_not_positive_is_refused() -> None:
    """RFC 7986 section 5.7."""
    for refresh in (timedelta(0), timedelta(hours=-1)):
        with pytest.raises(BadCalendar, match="refresh"):
            calendar(refresh=refresh)


def test_a_feed_has_no_method_and_no_alarm() -> None:
    """RFC 5545 sections 3.7.2 and 3.6.6: a plain snapshot that makes no telephone ring."""
    body = to_ical(calendar(all_day(), timed(STAMP, uid="entry-2")))
    names = {name for name, _, _ in content_lines(body)}
    assert names.isdisjoint({"METHOD", "TRIGGER", "ORGANIZER", "ATTENDEE", "RRULE"})


def test_a_day_with_something_to_do_is_not_a_busy_day() -> None:
    """RFC 5545 section 3.8.2.7."""
    read = events(to_ical(calendar(all_day(), timed(STAMP, uid="entry-2"))))
    assert {event["UID"]: event["TRANSP"] for event in read} == {
        "entry-1": "TRANSPARENT",
        "entry-2": "OPAQUE",
    }


def test_the_product_identifier_has_the_form_of_a_public_one() -> None:
    """RFC 5545 section 3.7.3, after ISO 9070: the form of an unregistered owner."""
    (product,) = lines(to_ical(calendar()), "PRODID")
    assert re.fullmatch(r"PRODID:-//[^/]+//[^/]+//EN", product)


def test_a_link_is_written_as_it_is() -> None:
    """RFC 5545 sections 3.3.13 and 3.8.4.6: a URI is not escaped like a text."""
    link = "https://example.org/classes/1/?a=1;b=2,3"
    body = to_ical(calendar(all_day(url=link)))
    assert lines(body, "URL") == [f"URL:{link}"]
    assert icalendar.Calendar.from_ical(body).events[0]["URL"] == link


def test_the_entity_tag_is_strong_and_follows_the_bytes() -> None:
    """RFC 9110 section 8.8.3: quoted, no W/ in front, only etagc between the quotes."""
    one, other = to_ical(calendar(all_day())), to_ical(calendar(all_day(summary="Edit it")))
    assert re.fullmatch(r'"[\x21\x23-\x7e]+"', etag(one))
    assert etag(one) == etag(bytes(one))
    assert etag(one) != etag(other)


def test_reading_back_gives_what_was_typed() -> None:
    typed = 'Lunch; "early", 50 % off\\ 3:1\n^n tail'
    body = to_ical(calendar(all_day(summary=typed)))
    assert unescaped(events(body)[0]["SUMMARY"]) == typed
    assert str(icalendar.Calendar.from_ical(body).events[0]["SUMMARY"]) == typed
