"""Values to bytes: what is refused, what order does, and what nasty texts cannot do."""

from __future__ import annotations

import dataclasses
import random
import unicodedata
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import icalendar
import pytest
import recurring_ical_events
from hypothesis import given
from hypothesis import strategies as st

from coach.feeds import ical
from coach.feeds.ical import BadCalendar, Entry, etag, to_ical
from tests.feeds.calendars import (
    STAMP,
    all_day,
    calendar,
    content_lines,
    events,
    physical_lines,
    timed,
    unescaped,
)

NASTY = st.text(
    st.one_of(
        st.sampled_from(list('\\;,:"^%nN \t\r\n\x00\x0b\x1b\x7f\x85\u2028\u2029\ufeff\ud800ÜX-')),
        st.characters(),
    ),
    max_size=200,
)
ONE_ENTRY = {
    "UID",
    "DTSTAMP",
    "LAST-MODIFIED",
    "SEQUENCE",
    "STATUS",
    "DTSTART",
    "DTEND",
    "SUMMARY",
    "TRANSP",
}
MOMENTS = st.datetimes(
    datetime.fromisoformat("1971-01-01"),
    datetime.fromisoformat("2100-01-01"),
    timezones=st.timezones(),
)


def as_kept(typed: str) -> str:
    """What of a typed text a calendar can hold: line ends as LF, no controls, no half pairs."""
    for line_end in ("\r\n", "\r", "\x85", "\u2028", "\u2029"):
        typed = typed.replace(line_end, "\n")
    kept = ("Cc", "Cs")
    return "".join(c for c in typed if c in "\t\n" or unicodedata.category(c) not in kept)


@given(summary=NASTY, description=NASTY, name=NASTY, categories=st.lists(NASTY, max_size=3))
def test_no_text_breaks_a_line_or_puts_one_in(
    summary: str, description: str, name: str, categories: list[str]
) -> None:
    row = all_day(summary=summary, description=description, categories=tuple(categories))
    body = to_ical(calendar(row, name=name))
    assert max(map(len, physical_lines(body))) <= 75
    (read,) = events(body)
    optional = {"DESCRIPTION"} if description else set()
    assert set(read) == ONE_ENTRY | optional | ({"CATEGORIES"} if categories else set())
    assert unescaped(read["SUMMARY"]) == as_kept(summary)
    assert unescaped(read.get("DESCRIPTION", "")) == as_kept(description)
    heading = {line[0]: line[2] for line in content_lines(body)[:9]}
    assert unescaped(heading["NAME"]) == unescaped(heading["X-WR-CALNAME"]) == as_kept(name)


@given(summary=NASTY, categories=st.lists(NASTY, min_size=1, max_size=3))
def test_another_reader_sees_the_same_text(summary: str, categories: list[str]) -> None:
    row = all_day(summary=summary, categories=tuple(categories))
    (read,) = icalendar.Calendar.from_ical(to_ical(calendar(row))).events
    assert str(read["SUMMARY"]) == as_kept(summary)
    assert [str(category) for category in read["CATEGORIES"]] == list(map(as_kept, categories))


@given(first=st.dates(date(1, 1, 1), date(9999, 12, 30)), more=st.integers(0, 400))
def test_all_day_entries_read_back_with_their_days(first: date, more: int) -> None:
    last = date.fromordinal(min(first.toordinal() + more, date.max.toordinal() - 1))
    read = icalendar.Calendar.from_ical(to_ical(calendar(all_day(first=first, last=last))))
    assert (read.events[0].start, read.events[0].end) == (first, last + timedelta(days=1))


@given(start=MOMENTS, minutes=st.integers(1, 3000))
def test_timed_entries_read_back_as_the_same_moments(start: datetime, minutes: int) -> None:
    end = start.astimezone(UTC) + timedelta(minutes=minutes)
    body = to_ical(calendar(timed(start, end)))
    (read,) = recurring_ical_events.of(icalendar.Calendar.from_ical(body)).all()
    assert read.start == start.astimezone(UTC).replace(microsecond=0)
    assert read.end == end.replace(microsecond=0)


def test_the_order_of_the_rows_does_not_matter() -> None:
    rows = [all_day(uid=f"entry-{n}", first=day, last=day) for n, day in enumerate([TUESDAY] * 5)]
    rows += [timed(datetime(2026, 3, 30, n, tzinfo=UTC), uid=f"hour-{n}") for n in range(5)]
    shuffled = random.Random(7).sample(rows, len(rows))
    assert to_ical(calendar(*rows)) == to_ical(calendar(*shuffled))
    assert [event["UID"] for event in events(to_ical(calendar(*shuffled)))] == [
        *(f"hour-{n}" for n in range(5)),
        *(f"entry-{n}" for n in range(5)),
    ]


TUESDAY = date(2026, 3, 31)


def test_a_uuid_and_its_text_are_the_same_identity() -> None:
    uid = UUID("0f3e2a54-8f5c-4d0a-9a53-1b1d6a0c7a11")
    assert to_ical(calendar(all_day(uid=uid))) == to_ical(calendar(all_day(uid=str(uid))))


@pytest.mark.parametrize(
    "times",
    [
        {"first": None, "last": None},
        {"last": None},
        {"first": None},
        {"start": STAMP},
        {"start": STAMP, "end": STAMP + timedelta(hours=1)},
        {"first": None, "last": None, "start": STAMP},
        {"first": None, "last": None, "end": STAMP},
    ],
)
def test_an_entry_has_days_or_times(times: dict[str, datetime | None]) -> None:
    with pytest.raises(BadCalendar, match="two days or two times"):
        all_day(**times)


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"last": date(2026, 3, 29)}, "before the first"),
        ({"last": date.max}, "before the first"),
        ({"last": STAMP + timedelta(days=90)}, "plain date"),
        ({"sequence": -1}, "sequence"),
        ({"sequence": 2**31}, "sequence"),
        ({"url": "javascript:alert(1)"}, "link"),
        ({"url": "https://example.org/\r\nX-EVIL:1"}, "link"),
        ({"url": "https://example.org/a b"}, "link"),
        ({"url": "https://example.org/ü"}, "link"),
    ],
)
def test_a_wrong_value_is_refused_with_its_reason(wrong: dict[str, object], message: str) -> None:
    with pytest.raises(BadCalendar, match=message):
        all_day(**wrong)


@pytest.mark.parametrize("length", [timedelta(0), timedelta(hours=-1), timedelta(milliseconds=5)])
def test_an_end_that_is_not_after_the_start_is_refused(length: timedelta) -> None:
    with pytest.raises(BadCalendar, match="not after the start"):
        timed(STAMP, STAMP + length)


def test_values_cannot_be_changed_afterwards() -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        all_day().summary = "Another"  # type: ignore[misc]  # the point of the test


@pytest.mark.parametrize(
    "wrong",
    [
        b"BEGIN:VCALENDAR\r\nEND:VCALENDAR",
        b"SUMMARY:" + b"x" * 68 + b"\r\n",
        b"SUMMARY:a\nb\r\n",
        b"SUMMARY:a\rb\r\n",
        b"SUMMARY:a\x00b\r\n",
        b"BEGIN:VEVENT\r\nBEGIN:VEVENT\r\n",
    ],
)
def test_bytes_that_no_right_file_has_are_never_handed_out(
    wrong: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(ical.icalendar.Calendar, "to_ical", lambda calendar, sorted: wrong)
    with pytest.raises(BadCalendar):
        to_ical(calendar(all_day()))


def test_the_tag_of_two_fetches_is_equal_and_of_a_changed_feed_is_not() -> None:
    fetched = [etag(to_ical(calendar(all_day()))) for _ in range(2)]
    assert fetched[0] == fetched[1]
    assert etag(to_ical(calendar(all_day(sequence=1)))) != fetched[0]


def test_every_field_of_an_entry_shows_in_the_bytes() -> None:
    plain = to_ical(calendar(all_day()))
    changed = {
        "uid": "entry-2",
        "summary": "Edit the class",
        "stamp": STAMP + timedelta(minutes=1),
        "first": date(2026, 3, 29),
        "last": date(2026, 3, 31),
        "description": "Strength",
        "url": "https://example.org/",
        "created": STAMP,
        "sequence": 1,
        "cancelled": True,
        "categories": ("Uploads",),
    }
    untried = {field.name for field in dataclasses.fields(Entry)} - set(changed)
    assert untried == {"start", "end"}
    assert [n for n, v in changed.items() if to_ical(calendar(all_day(**{n: v}))) == plain] == []
