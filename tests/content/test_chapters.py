"""Chapters and times as text: what hosts ask, what WebVTT asks, never a time shifted."""

from __future__ import annotations

from html import unescape
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
        # What hosts ask is common practice that they publish: first at 0:00, at least three,
        # ascending, each at least 10 s, with a title.
        (at(0, 30, 60), 90, []),
        (at(0, 30), 90, ["few"]),
        (at(0, 9, 60), 90, ["short"]),
        (at(0, 10, 60), 90, []),
        (at(0, 30, 60), 65, ["short"]),
        (at(0, 30, 30), 90, ["short", "equal"]),
        (at(0, 60, 30), 90, ["order"]),
        (at(0, 30, 95), 90, ["order"]),
        (at(0, 9, 18), 29, ["brief", "short", "short"]),
        (at(0, 10, 20), 30, []),
        (at(0, 3599, 3600), 3700, ["short"]),
        (at(0, 3599, 3609), 3700, []),
        (at(0, 30, 60, titles="a4c"), 90, ["number"]),
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


def test_a_title_stands_on_one_line_of_the_list() -> None:
    assert (
        as_list([Chapter("Squat\n0:00  Not a chapter", None, 0)]) == "0:00 Squat 0:00 Not a chapter"
    )


def test_no_time_is_shifted_in_list_or_track() -> None:
    """Cut down to the second in the list, to the millisecond in the track."""
    chapters = [Chapter(title, None, ms) for title, ms in (("a", 400), ("b", 65_999))]
    assert as_list(chapters) == "0:00 a\n1:05 b"
    read = WebVTT.from_buffer(StringIO(as_vtt(chapters, 90_000))).captions
    assert [(one.start, one.end) for one in read] == [
        ("00:00:00.400", "00:01:05.999"), ("00:01:05.999", "00:01:30.000"),
    ]  # fmt: skip


def test_chapters_that_begin_together_share_one_of_the_track_in_the_order_of_their_times() -> None:
    """W3C WebVTT: cues of chapters do not overlap and end later than they begin."""
    written = as_vtt(at(0, 60, 30, 30), 90_000)
    read = WebVTT.from_buffer(StringIO(written)).captions
    assert [(one.start, one.end, one.text) for one in read] == [
        ("00:00:00.000", "00:00:30.000", "a"),
        ("00:00:30.000", "00:01:00.000", "c, d"),
        ("00:01:00.000", "00:01:30.000", "b"),
    ]


def test_the_track_is_read_back_by_another_library() -> None:
    named = zip(("Warm-up", "Main part & cues", "Cool-down"), (0, 310, 2465), strict=True)
    written = as_vtt([Chapter(title, None, start * 1000) for title, start in named], 3_690_500)
    read = WebVTT.from_buffer(StringIO(written)).captions
    assert [(one.start, one.end, one.text) for one in read] == [
        ("00:00:00.000", "00:05:10.000", "Warm-up"),
        ("00:05:10.000", "00:41:05.000", "Main part &amp; cues"),
        ("00:41:05.000", "01:01:30.500", "Cool-down"),
    ]


def test_a_film_that_ends_before_its_last_chapter_or_a_chapter_without_a_title_has_no_track() -> (
    None
):
    with pytest.raises(ValueError, match="The class ends before “c” begins"):
        as_vtt(at(0, 30, 60), 60_000)
    with pytest.raises(ValueError, match="The chapter at 0:30 has no title"):
        as_vtt(at(0, 30, 60, titles="a c"), 90_000)
    assert as_vtt((), 90_000) == "WEBVTT\n\n"


@pytest.mark.parametrize(
    "title", ["5 < 6 & 7 --> 3", "<script>x</script>", "a\n\nb", "00:01 --> 00:02"]
)
def test_no_title_breaks_the_track(title: str) -> None:
    written = as_vtt([Chapter(title, None, 0), Chapter("next", None, 10_000)], 20_000)
    read = WebVTT.from_buffer(StringIO(written)).captions
    assert [(one.start, unescape(one.text)) for one in read] == [
        ("00:00:00.000", " ".join(title.split())), ("00:00:10.000", "next"),
    ]  # fmt: skip
