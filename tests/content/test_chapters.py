"""Chapters and times as text: what hosts ask, what WebVTT asks, never a time shifted."""

from __future__ import annotations

from io import StringIO

import pytest
from webvtt import WebVTT

from content.rules.chapters import Chapter, as_list, as_vtt, planned_chapters, problems
from content.rules.design import Block, Design, Item, Pattern
from content.rules.exercises import exercises
from content.rules.stamps import list_time, srt_text, srt_time, vtt_text, vtt_time
from content.rules.timeline import timeline

TABLE = exercises()


def at(*starts: int | None, titles: str = "abcdefgh") -> tuple[Chapter, ...]:
    """Chapters at so many seconds."""
    return tuple(
        Chapter(titles[n], None, None if one is None else one * 1000)
        for n, one in enumerate(starts)
    )


@pytest.mark.parametrize(
    ("ms", "vtt", "srt", "shown"),
    [
        # Round to whole milliseconds first, then split; a list cuts down. Computed.
        (0, "00:00:00.000", "00:00:00,000", "0:00"),
        (60_000, "00:01:00.000", "00:01:00,000", "1:00"),
        (59_999, "00:00:59.999", "00:00:59,999", "0:59"),
        (599_000, "00:09:59.000", "00:09:59,000", "9:59"),
        (3_599_999, "00:59:59.999", "00:59:59,999", "59:59"),
        (3_600_000, "01:00:00.000", "01:00:00,000", "1:00:00"),
        (36_000_000, "10:00:00.000", "10:00:00,000", "10:00:00"),
        (360_000_000, "100:00:00.000", "100:00:00,000", "100:00:00"),
    ],
)
def test_times_as_text(ms: int, vtt: str, srt: str, shown: str) -> None:
    assert (vtt_time(ms), srt_time(ms), list_time(ms)) == (vtt, srt, shown)


def test_text_is_escaped_for_webvtt_and_left_for_srt() -> None:
    """W3C WebVTT: & and < are escaped, a cue holds no arrow and no blank line."""
    assert vtt_text("5 < 6 & 7 --> 3\n\nx") == "5 &lt; 6 &amp; 7 --&gt; 3 x"
    assert srt_text("5 < 6 & 7 --> 3\n\nx") == "5 < 6 & 7 → 3 x"


def test_both_sides_of_an_exercise_are_one_chapter() -> None:
    row = Pattern((Item("clam"), Item("bridge"), Item("", "Drink")), 40, 20, 2)
    line = timeline(Design((Block(patterns=(row,)),)), TABLE)
    assert [(one.title, one.start) for one in planned_chapters(line, TABLE)] == [
        ("Clam", 0), ("Bridge", 120_000), ("Drink", 180_000),
        ("Clam", 240_000), ("Bridge", 360_000), ("Drink", 420_000),
    ]  # fmt: skip


def test_the_list_begins_at_nought_with_a_welcome_where_nothing_else_does() -> None:
    assert as_list(at(20, 65, 3600)) == "0:00 Welcome\n0:20 a\n1:05 b\n1:00:00 c"
    assert as_list(at(0, 65)) == "0:00 a\n1:05 b"
    assert as_list(at(5, None, 65)) == "0:00 Welcome\n0:05 a\n1:05 c"


@pytest.mark.parametrize(
    ("chapters", "length", "kinds"),
    [
        # What hosts ask is common practice that they publish: first at 0:00, at least three, each
        # at least 10 s.
        (at(0, 30, 60), 90, []),
        (at(0, 30), 90, ["few"]),
        (at(0, 9, 60), 90, ["short"]),
        (at(0, 10, 60), 90, []),
        (at(0, 30, 60), 65, ["short"]),
        (at(0, 30, 30), 90, ["short", "equal"]),
        (at(0, 30, 60, titles=" bc"), 90, ["untitled"]),
        (at(5, 60, 90), 120, ["short"]),
        (at(), 90, ["few"]),
    ],
)
def test_why_a_host_would_not_take_the_list(
    chapters: tuple[Chapter, ...], length: int, kinds: list[str]
) -> None:
    assert [one.kind for one in problems(chapters, length * 1000)] == kinds


def test_a_long_title_is_only_told() -> None:
    long = (Chapter("x" * 50, None, 0), *at(30, 60))
    assert [one.kind for one in problems(long, 90_000)] == ["long"]


def test_the_track_is_read_back_by_another_library() -> None:
    named = zip(("Warm-up", "Main part & cues", "Cool-down"), (0, 310, 2465), strict=True)
    written = as_vtt([Chapter(title, None, start * 1000) for title, start in named], 3_690_500)
    read = WebVTT.from_buffer(StringIO(written))
    assert [(one.start, one.end, one.text) for one in read] == [
        ("00:00:00.000", "00:05:10.000", "Warm-up"),
        ("00:05:10.000", "00:41:05.000", "Main part &amp; cues"),
        ("00:41:05.000", "01:01:30.500", "Cool-down"),
    ]


def test_a_film_that_ends_before_its_last_chapter_has_no_track() -> None:
    with pytest.raises(ValueError, match="begins when it should have ended"):
        as_vtt(at(0, 30, 60), 60_000)
