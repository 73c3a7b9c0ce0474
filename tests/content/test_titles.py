"""On-screen titles, read back by webvtt-py; times by the table of W3C's WebVTT rules."""

from __future__ import annotations

from dataclasses import replace
from io import StringIO

import pytest
import webvtt

from content.rules.design import MAIN, Block, Design, Item, Pattern
from content.rules.stamps import list_time, srt_time, vtt_time
from content.rules.timeline import timeline
from content.rules.titles import Title, as_srt, as_vtt, titles
from tests.content.filming import CLASS, LIBRARY

LINE = timeline(CLASS, LIBRARY)
SHOWN = titles(CLASS, LINE, LIBRARY)
PLANNED = [
    (0, 30, ("Arm swing",)),
    (30, 60, ("Talk",)),
    (65, 105, ("Wall press", "Easier: Arm swing")),
    (125, 165, ("Side kick, left", "Easier: Toe tap")),
    (185, 225, ("Side kick, right", "Easier: Toe tap")),
    (255, 295, ("Wall press", "Easier: Arm swing")),
    (315, 355, ("Side kick, left", "Easier: Toe tap")),
    (375, 415, ("Side kick, right", "Easier: Toe tap")),
    (415, 475, ("Toe tap, sides in turn",)),
]


def seconds(shown: tuple[Title, ...]) -> list[tuple[float, float, tuple[str, ...]]]:
    return [(one.start / 1000, one.end / 1000, one.lines) for one in shown]


def read(text: str, kind: str) -> list[tuple[float, float, list[str]]]:
    """What webvtt-py reads."""
    found = webvtt.from_buffer(StringIO(text), format=kind)
    return [(one.start_in_seconds, one.end_in_seconds, one.lines) for one in found.captions]


def test_as_planned_each_exercise_has_its_title_while_it_is_done() -> None:
    assert seconds(SHOWN) == PLANNED


@pytest.mark.parametrize("kind", ["vtt", "srt"])
def test_another_library_reads_the_same_titles_at_the_same_times(kind: str) -> None:
    text = as_vtt(SHOWN) if kind == "vtt" else as_srt(SHOWN)
    assert read(text, kind) == [(start, end, list(lines)) for start, end, lines in PLANNED]


def test_as_filmed_they_come_when_it_was_filmed_and_those_left_out_do_not() -> None:
    starts = {
        "0.0.0.1.": 4_250,
        "1.0.0.1.": 80_000,
        "1.0.1.1.left": 100_500,
        "2.0.0.1.alternating": 70_000,
    }
    shown = titles(CLASS, LINE, LIBRARY, starts=starts, length=130_001)
    assert [(one.start, one.end, one.lines[0]) for one in shown] == [
        (4_250, 34_250, "Arm swing"),
        (70_000, 80_000, "Toe tap, sides in turn"),
        (80_000, 100_500, "Wall press"),
        (100_500, 130_001, "Side kick, left"),
    ]


def test_two_found_at_one_moment_leave_no_title_without_time() -> None:
    starts = {"0.0.0.1.": 5_000, "0.0.1.1.": 5_000, "2.0.0.1.alternating": 90_000}
    shown = titles(CLASS, LINE, LIBRARY, starts=starts, length=90_000)
    assert [(one.start, one.end) for one in shown] == [(5_000, 35_000)]


def test_nothing_found_is_no_title_and_both_files_stay_sound() -> None:
    shown = titles(CLASS, LINE, LIBRARY, starts={})
    assert (shown, as_vtt(shown), as_srt(shown)) == ((), "WEBVTT\n", "")


def test_what_could_be_read_as_markup_is_not() -> None:
    """`&` and `<` are escaped in WebVTT (W3C), an arrow is in neither; SRT knows no escapes."""
    name = "Push & pull <b> 5 < 6 --> go"
    design = Design((Block(MAIN, "", (Pattern((Item("", name),), 10, 0),)),))
    shown = titles(design, timeline(design, {}), {})
    vtt, srt = as_vtt(shown), as_srt(shown)
    assert "Push &amp; pull &lt;b&gt; 5 &lt; 6 --&gt; go" in vtt
    assert [text.count("-->") for text in (vtt, srt)] == [1, 1]
    assert len(read(vtt, "vtt")) == len(read(srt, "srt")) == 1


def test_no_blank_line_cuts_a_title_in_two() -> None:
    shown = (replace(SHOWN[0], lines=("Arm\n\nswing", "Easier:  one\r\nor two")),)
    wanted = [(0, 30, ["Arm swing", "Easier: one or two"])]
    assert read(as_vtt(shown), "vtt") == wanted
    assert read(as_srt(shown), "srt") == wanted


@pytest.mark.parametrize(
    ("seconds", "vtt", "listed"),
    [
        (0, "00:00:00.000", "0:00"),
        (59.9996, "00:01:00.000", "0:59"),
        (599, "00:09:59.000", "9:59"),
        (3599.9996, "01:00:00.000", "59:59"),
        (3600, "01:00:00.000", "1:00:00"),
        (36000, "10:00:00.000", "10:00:00"),
        (360000, "100:00:00.000", "100:00:00"),
    ],
)
def test_times_never_show_60(seconds: float, vtt: str, listed: str) -> None:
    """WebVTT (W3C): minutes and seconds 00 to 59; a list is cut down, never rounded up."""
    assert vtt_time(round(seconds * 1000)) == vtt
    assert srt_time(round(seconds * 1000)) == vtt.replace(".", ",")
    assert list_time(int(seconds * 1000)) == listed
