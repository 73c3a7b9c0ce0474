"""Example values, and a strict reader of iCalendar written from RFC 5545 and nothing else."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta
from typing import Any

from coach.feeds.ical import Calendar, Entry

STAMP = datetime(2026, 3, 1, 9, 30, tzinfo=UTC)

# contentline = name *(";" param) ":" value (RFC 5545 section 3.1)
_SAFE = r'[^\x00-\x08\x0a-\x1f\x7f";:,]*'
_QUOTED = r'"[^\x00-\x08\x0a-\x1f\x7f"]*"'
_VALUE = f"(?:{_QUOTED}|{_SAFE})"
_LINE = re.compile(
    rf"([A-Za-z0-9-]+)((?:;[A-Za-z0-9-]+={_VALUE}(?:,{_VALUE})*)*):([^\x00-\x08\x0a-\x1f\x7f]*)"
)


def all_day(**changes: Any) -> Entry:
    given = {
        "uid": "entry-1",
        "summary": "Film the class",
        "stamp": STAMP,
        "first": date(2026, 3, 30),
        "last": date(2026, 3, 30),
    }
    return Entry(**{**given, **changes})


def timed(start: datetime, end: datetime | None = None, **changes: Any) -> Entry:
    given = {"uid": "entry-1", "summary": "Session", "stamp": STAMP}
    return Entry(start=start, end=end or start + timedelta(hours=1), **{**given, **changes})


def calendar(*entries: Entry, **changes: Any) -> Calendar:
    given = {"uid": "calendar-1", "name": "Uploads", "stamp": STAMP, "refresh": timedelta(hours=6)}
    return Calendar(entries=entries, **{**given, **changes})


def physical_lines(body: bytes) -> list[bytes]:
    """The lines as sent. Every one ends with CRLF, and no CR or LF stands elsewhere (3.1)."""
    assert body.endswith(b"\r\n")
    lines = body[:-2].split(b"\r\n")
    assert [line for line in lines if b"\r" in line or b"\n" in line] == []
    return lines


def content_lines(body: bytes) -> list[tuple[str, str, str]]:
    """(name, parameters, raw value) of every line, unfolded as bytes and decoded after (3.1)."""
    physical_lines(body)
    unfolded = body.replace(b"\r\n ", b"").replace(b"\r\n\t", b"").decode()
    found = []
    for line in unfolded.removesuffix("\r\n").split("\r\n"):
        match = _LINE.fullmatch(line)
        assert match is not None, line
        found.append((match[1], match[2], match[3]))
    return found


def lines(body: bytes, name: str) -> list[str]:
    """The unfolded lines of one property."""
    return [f"{n}{params}:{value}" for n, params, value in content_lines(body) if n == name]


def events(body: bytes) -> list[dict[str, str]]:
    """Each VEVENT as raw values by property name; a property given twice fails."""
    found: list[dict[str, str]] = []
    inside = False
    for name, _, value in content_lines(body):
        if (name, value) in {("BEGIN", "VEVENT"), ("END", "VEVENT")}:
            inside = name == "BEGIN"
            found.extend([{}] if inside else [])
        elif inside:
            assert name not in found[-1]
            found[-1][name] = value
    return found


def unescaped(raw: str) -> str:
    """TEXT as it was typed (RFC 5545 section 3.3.11), read once from left to right."""
    meant = {"n": "\n", "N": "\n", "\\": "\\", ";": ";", ",": ","}
    return re.sub(r"\\(.)", lambda escape: meant[escape[1]], raw)
