"""Values in, iCalendar bytes out (RFC 5545, 5546 and 7986). Reads no clock and no database.

The icalendar library writes the lines, but is not trusted: what it would let through is cleaned
or refused here, and the finished bytes are checked. A feed is a plain snapshot, without METHOD.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import icalendar
from icalendar import vDuration, vText, vUri
from icalendar.cal import Component

PRODUCT = "-//Coach back office//Calendar feed//EN"
CONTENT_TYPE = "text/calendar; charset=utf-8"
LONGEST_LINE = 75  # octets without the line end, RFC 5545 section 3.1
_UNIX_EPOCH = datetime(1970, 1, 1)  # noqa: DTZ001  # an onset in VTIMEZONE is local time

_OPAQUE_UID = re.compile(r"[A-Za-z0-9-]{1,254}")  # RFC 7986 section 5.3
_WEB_ADDRESS = re.compile(r"https?://[!-~]+")  # visible ASCII: nothing to escape or fold wrongly
_LINE_ENDS = re.compile("\r\n|[\r\x85\u2028\u2029]")
# RFC 5545 section 3.1 forbids the first two runs; the later ones are no text either: C1 controls
# and halves of surrogate pairs, which UTF-8 cannot write.
_NOT_TEXT = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff]")
_NOT_A_LINE = re.compile(rb"[\x00-\x08\x0a-\x1f\x7f]")


class BadCalendar(ValueError):
    """A value that no right calendar can hold; the message says which."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One event: all day from `first` to `last`, both included, or timed from `start` to `end`.

    `stamp` is when the row last changed. Raise `sequence` whenever the day, the time or the
    cancellation changes (RFC 5546 section 2.1.4) and keep `uid` for ever. Raises BadCalendar.
    """

    uid: UUID | str
    summary: str
    stamp: datetime
    first: date | None = None
    last: date | None = None
    start: datetime | None = None
    end: datetime | None = None
    description: str = ""
    url: str = ""
    created: datetime | None = None
    sequence: int = 0
    cancelled: bool = False
    categories: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        _refuse_unless(_is_opaque(self.uid), "a UID is letters, digits and hyphens, up to 254")
        _refuse_unless(0 <= self.sequence < 2**31, "a sequence runs from 0 to 2147483647")
        _refuse_unless(
            not self.url or _WEB_ADDRESS.fullmatch(self.url) is not None,
            "a link begins with http:// or https:// and holds only visible ASCII",
        )
        for moment in (self.stamp, self.start, self.end, self.created):
            _refuse_naive(moment)
        _refuse_wrong_span(self)

    @property
    def begins(self) -> date:
        """DTSTART: a date, or a moment in UTC in whole seconds."""
        return self.first if self.first is not None else _utc(self.start)

    @property
    def ends(self) -> date:
        """DTEND, exclusive: the day after the last one, or a moment in UTC."""
        return self.last + timedelta(days=1) if self.last is not None else _utc(self.end)


@dataclass(frozen=True, slots=True, kw_only=True)
class Calendar:
    """Entries under a name; `refresh` is the shortest time between two fetches.

    `stamp` is when anything in it last changed. Raises BadCalendar.
    """

    uid: UUID | str
    name: str
    entries: tuple[Entry, ...]
    stamp: datetime
    refresh: timedelta

    def __post_init__(self) -> None:
        _refuse_unless(_is_opaque(self.uid), "a UID is letters, digits and hyphens, up to 254")
        _refuse_unless(self.refresh >= timedelta(minutes=1), "a refresh is a minute at the least")
        _refuse_naive(self.stamp)
        uids = {str(entry.uid) for entry in self.entries}
        _refuse_unless(len(uids) == len(self.entries), "two entries have one UID")


def to_ical(calendar: Calendar) -> bytes:
    """The calendar as a file: the same values always give the same bytes.

    The order of `entries` does not matter. Raises BadCalendar if the library wrote a line that
    no right file has.
    """
    root = icalendar.Calendar()
    for name, value in _heading(calendar):
        root.add(name, value)
    root.add("refresh-interval", calendar.refresh, parameters={"VALUE": "DURATION"})
    root.add("x-published-ttl", vDuration(calendar.refresh))
    for entry in sorted(calendar.entries, key=_order):
        root.add_component(_event(entry))
    if not calendar.entries:
        root.add_component(_utc_zone())
    return _checked(root.to_ical(sorted=False), events=len(calendar.entries))


def etag(body: bytes) -> str:
    """A strong entity tag over the bytes, quoted (RFC 9110 section 8.8.3)."""
    return f'"{hashlib.sha256(body).hexdigest()}"'


def _heading(calendar: Calendar) -> Iterable[tuple[str, object]]:
    yield "version", _Text("2.0")
    yield "prodid", _Text(PRODUCT)
    yield "uid", _Text(str(calendar.uid))
    yield "last-modified", _utc(calendar.stamp)
    # NAME is RFC 7986; the other is not in a standard and the one that most programs show.
    yield "name", _Text(calendar.name)
    yield "x-wr-calname", _Text(calendar.name)


def _event(entry: Entry) -> Component:
    event = icalendar.Event()
    for name, value in (*_identity(entry), *_wording(entry)):
        event.add(name, value)
    return event


def _identity(entry: Entry) -> Iterable[tuple[str, object]]:
    yield "uid", _Text(str(entry.uid))
    yield "dtstamp", _utc(entry.stamp)
    if entry.created is not None:
        yield "created", _utc(entry.created)
    yield "last-modified", _utc(entry.stamp)
    yield "sequence", entry.sequence
    yield "status", _Text("CANCELLED" if entry.cancelled else "CONFIRMED")
    yield "dtstart", entry.begins
    yield "dtend", entry.ends


def _wording(entry: Entry) -> Iterable[tuple[str, object]]:
    yield "summary", _Text(entry.summary)
    if entry.description:
        yield "description", _Text(entry.description)
    if entry.categories:
        # A list of texts: the comma between them is not escaped (RFC 5545 section 3.8.1.2).
        yield "categories", _TextList(",".join(map(_escaped, entry.categories)))
    if entry.url:
        yield "url", vUri(entry.url)
    # Something to do on a day does not make the day busy (RFC 5545 section 3.8.2.7).
    yield "transp", _Text("TRANSPARENT" if _is_all_day(entry) else "OPAQUE")


class _Text(vText):
    r"""TEXT escaped to the letter: the library reads a typed ``\N`` as a line break."""

    def to_ical(self) -> bytes:
        return _escaped(self).encode()


class _TextList(vText):
    """Texts that are escaped already."""

    def to_ical(self) -> bytes:
        return self.encode()


def _escaped(text: str) -> str:
    """RFC 5545 section 3.3.11, the backslash first; control characters are left out."""
    clean = _NOT_TEXT.sub("", _LINE_ENDS.sub("\n", text))
    clean = clean.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,")
    return clean.replace("\n", "\\n")


def _utc_zone() -> Component:
    """A calendar holds at least one component (RFC 5545 section 3.6): this one says nothing."""
    zone, standard = icalendar.Timezone(), icalendar.TimezoneStandard()
    zone.add("tzid", "UTC")
    standard.add("dtstart", _UNIX_EPOCH)
    standard.add("tzoffsetfrom", timedelta(0))
    standard.add("tzoffsetto", timedelta(0))
    zone.add_component(standard)
    return zone


def _checked(body: bytes, *, events: int) -> bytes:
    lines = body.split(b"\r\n")
    _refuse_unless(lines.pop() == b"", "the last line has no end")
    for line in lines:
        _refuse_unless(len(line) <= LONGEST_LINE, "a line is longer than 75 octets")
        _refuse_unless(_NOT_A_LINE.search(line) is None, "a line holds a control character")
    _refuse_unless(lines.count(b"BEGIN:VEVENT") == events, "the number of events is wrong")
    return body


def _order(entry: Entry) -> tuple[str, str]:
    return f"{entry.begins:%Y%m%dT%H%M%S}", str(entry.uid)


def _utc(moment: datetime | None) -> datetime:
    if moment is None:
        raise BadCalendar("a time is missing")
    return moment.astimezone(UTC).replace(microsecond=0)


def _is_all_day(entry: Entry) -> bool:
    return entry.first is not None


def _refuse_wrong_span(entry: Entry) -> None:
    days = [day for day in (entry.first, entry.last) if day is not None]
    times = [_utc(moment) for moment in (entry.start, entry.end) if moment is not None]
    one_kind = sorted((len(days), len(times))) == [0, 2]
    _refuse_unless(one_kind, "an entry has two days or two times, and not both")
    _refuse_unless(not any(isinstance(day, datetime) for day in days), "a day is a plain date")
    if days:
        _refuse_unless(days[0] <= days[1] < date.max, "the last day is before the first")
    else:
        _refuse_unless(times[0] < times[1], "the end is not after the start")


def _is_opaque(uid: UUID | str) -> bool:
    return _OPAQUE_UID.fullmatch(str(uid)) is not None


def _refuse_naive(moment: datetime | None) -> None:
    _refuse_unless(moment is None or moment.utcoffset() is not None, "a time has no zone")


def _refuse_unless(right: bool, otherwise: str) -> None:
    if not right:
        raise BadCalendar(otherwise)
