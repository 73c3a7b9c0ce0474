"""The stream and its texts against the published standards.

Sources: RFC 5545 (iCalendar) and RFC 7986 (newer properties); the section stands beside each
check and the expected lines were worked out from the texts by hand.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import icalendar
import pytest

from coach.feeds.ical import to_ical
from tests.feeds.calendars import (
    all_day,
    calendar,
    content_lines,
    events,
    lines,
    physical_lines,
)

# The stream (RFC 5545 sections 3.1, 3.4 and 3.6)


def test_a_file_is_one_calendar_with_version_and_product_once() -> None:
    read = content_lines(to_ical(calendar(all_day())))
    assert read[0] == ("BEGIN", "", "VCALENDAR")
    assert read[-1] == ("END", "", "VCALENDAR")
    assert [line for line in read if line[0] == "VERSION"] == [("VERSION", "", "2.0")]  # 3.7.4
    assert len([line for line in read if line[0] == "PRODID"]) == 1  # 3.7.3


def test_every_line_ends_with_cr_lf_and_the_last_one_too() -> None:
    """RFC 5545 section 3.1."""
    body = to_ical(calendar(all_day(description="one\ntwo\r\nthree\rfour")))
    assert body.count(b"\r") == body.count(b"\n") == body.count(b"\r\n")
    assert body.endswith(b"END:VCALENDAR\r\n")


@pytest.mark.parametrize(
    ("letter", "count", "octets"),
    [
        ("x", 66, [74]),
        ("x", 68, [74, 3]),
        ("Ü", 40, [74, 15]),  # 75 octets would cut a letter of two in half
        ("\N{GRINNING FACE}", 30, [72, 57]),
    ],
)
def test_long_lines_are_folded_between_letters(letter: str, count: int, octets: list[int]) -> None:
    """RFC 5545 section 3.1: at most 75 octets, the leading space of a continuation included."""
    body = to_ical(calendar(all_day(summary=letter * count)))
    sent = physical_lines(body)
    first = next(place for place, line in enumerate(sent) if line.startswith(b"SUMMARY"))
    assert [len(line) for line in sent[first : first + len(octets)]] == octets
    assert events(body)[0]["SUMMARY"] == letter * count


def test_75_octets_are_never_passed_in_a_long_feed() -> None:
    """RFC 5545 section 3.1, over 2,000 rows."""
    many = [all_day(uid=f"entry-{n}", summary=f"Ünit {n}, " * (n % 40)) for n in range(2000)]
    body = to_ical(calendar(*many))
    assert max(map(len, physical_lines(body))) <= 75
    assert len(events(body)) == 2000


def test_blanks_at_both_ends_of_a_text_survive_also_over_a_fold() -> None:
    """RFC 5545 section 3.1: unfolding takes away one blank and no more."""
    typed = "  lead" + " " * 150 + "trail  "
    assert events(to_ical(calendar(all_day(summary=typed))))[0]["SUMMARY"] == typed


# Text (RFC 5545 section 3.3.11)


@pytest.mark.parametrize(
    ("typed", "written"),
    [
        ("Kurs A; Kern, Teil 1", r"Kurs A\; Kern\, Teil 1"),
        ('a;b,c\\d\ne\r\nf"g:h', r'a\;b\,c\\d\ne\nf"g:h'),  # colon and quote stay as they are
        ("a\rb\u2028c\u2029d\x85e", r"a\nb\nc\nd\ne"),
        (r"typed \N and \n", r"typed \\N and \\n"),
        ("a\\b, c; d\n", r"a\\b\, c\; d\n"),  # the backslash is escaped first
        ("nul\x00vt\x0bff\x0cdel\x7fesc\x1b", "nulvtffdelesc"),  # section 3.1, CONTROL
        ("tab\tstays", "tab\tstays"),
        ("half \ud83d of a pair", "half  of a pair"),  # section 3.1.4: the stream is UTF-8
    ],
)
def test_text_is_escaped_and_controls_are_left_out(typed: str, written: str) -> None:
    body = to_ical(calendar(all_day(summary=typed, description=f"x{typed}")))
    assert events(body)[0]["SUMMARY"] == written
    assert events(body)[0]["DESCRIPTION"] == f"x{written}"


def test_categories_are_a_list_whose_own_commas_are_not_escaped() -> None:
    """RFC 5545 section 3.8.1.2."""
    body = to_ical(calendar(all_day(categories=("A,B", "C"))))
    assert lines(body, "CATEGORIES") == [r"CATEGORIES:A\,B,C"]
    read = icalendar.Calendar.from_ical(body).events[0]["CATEGORIES"]
    assert list(read) == ["A,B", "C"]


@pytest.mark.parametrize(
    ("name", "written"),
    [
        ("Plan, Woche; 1", r"Plan\, Woche\; 1"),
        ("A\r\nX-EVIL:1", r"A\nX-EVIL:1"),
    ],
)
def test_the_name_is_escaped_in_both_its_forms(name: str, written: str) -> None:
    """RFC 7986 section 5.1; X-WR-CALNAME is in no standard (common practice, no source)."""
    body = to_ical(calendar(name=name))
    assert lines(body, "NAME") == [f"NAME:{written}"]
    assert lines(body, "X-WR-CALNAME") == [f"X-WR-CALNAME:{written}"]


def test_a_name_puts_no_line_in_when_python_drops_its_assertions() -> None:
    """RFC 5545 section 3.1; the library guards this one with an assertion only."""
    program = (
        "from tests.feeds.calendars import *; from coach.feeds.ical import to_ical; import sys;"
        r"sys.stdout.buffer.write(to_ical(calendar(all_day(), name='A\r\nX-EVIL:1')))"
    )
    ran = subprocess.run(
        [sys.executable, "-O", "-c", program],
        cwd=Path(__file__).parents[2],
        capture_output=True,
        check=True,
    )
    assert ran.stdout == to_ical(calendar(all_day(), name="A\r\nX-EVIL:1"))
