"""Caption files as they come: what is read, what is refused and with which line.

The table of inputs is that of W3C's WebVTT (index.bs) tried in a browser's own reader; SRT has no
standard: common practice.
"""

from __future__ import annotations

from io import StringIO

import pytest
from webvtt import WebVTT

from content.rules.captions import Captions, Cue, NotCaptions, read_captions, words_of

ONE = (Cue(1000, 2500, "Squat"),)
TIMES = "00:01.000 --> 00:02.500"


def read(text: str) -> Captions:
    return read_captions(text.encode())


def vtt(times: str = TIMES, payload: str = "Squat") -> str:
    return f"WEBVTT\n\n{times}\n{payload}\n"


@pytest.mark.parametrize(
    ("what", "text"),
    [
        ("as it should be", vtt()),
        ("a byte order mark first", "\ufeff" + vtt()),
        ("CRLF", vtt().replace("\n", "\r\n")),
        ("CR alone", vtt().replace("\n", "\r")),
        ("words after WEBVTT", vtt().replace("WEBVTT", "WEBVTT of a class")),
        ("no blank line after WEBVTT", vtt().replace("\n\n", "\n")),
        ("one digit for the hour", vtt("0:00:01.000 --> 0:00:02.500")),
        ("hours of two digits", vtt("00:00:01.000 --> 00:00:02.500")),
        ("an arrow without spaces", vtt("00:01.000-->00:02.500")),
        ("settings after the times", vtt(TIMES + " align:start position:0%")),
        ("an identifier", vtt("warm-up\n" + TIMES)),
        ("a note", vtt().replace("\n\n", "\n\nNOTE spoken by hand\n\n")),
        ("a style", vtt().replace("\n\n", "\n\nSTYLE\n::cue { color: red }\n\n")),
        ("tags", vtt(payload="<v Ana><b>Squat</b></v>")),
    ],
)  # fmt: skip
def test_webvtt_that_is_read(what: str, text: str) -> None:
    assert read(text) == Captions(ONE, "vtt"), what


@pytest.mark.parametrize(
    ("what", "text", "line"),
    [
        ("a comma before the thousandths", vtt("00:00:01,000 --> 00:00:02,500"), "Line 3"),
        ("two digits of a fraction", vtt("00:01.00 --> 00:02.50"), "Line 3"),
        ("no fraction", vtt("00:01 --> 00:02"), "Line 3"),
        ("one digit for the minute", vtt("0:01.000 --> 0:02.500"), "Line 3"),
        ("sixty minutes", vtt("60:00.000 --> 60:01.000"), "Line 3"),
        ("sixty minutes with hours", vtt("00:60:00.000 --> 00:60:01.000"), "Line 3"),
        ("sixty seconds", vtt("00:00:60.000 --> 00:01:01.000"), "Line 3"),
        ("an end at the start", vtt("00:01.000 --> 00:01.000"), "Line 3"),
        ("an end before the start", vtt("00:02.000 --> 00:01.000"), "Line 3"),
        ("no end", vtt("00:02.000 -->"), "Line 3"),
        ("lower case", vtt().replace("WEBVTT", "webvtt"), "WEBVTT"),
        ("letters that follow", vtt().replace("WEBVTT", "WEBVTTX"), "WEBVTT"),
        ("a blank line before", "\n" + vtt(), "WEBVTT"),
        ("no cue at all", "WEBVTT\n\n", "No caption"),
        ("only cues without words", vtt(payload=""), "No caption"),
    ],
)
def test_webvtt_that_is_refused(what: str, text: str, line: str) -> None:
    with pytest.raises(NotCaptions) as refused:
        read(text)
    assert line in str(refused.value), what


def test_a_bad_time_is_named_by_the_line_of_the_file() -> None:
    text = vtt() + "\n00:03.000 --> 00:04.000\nLunge\n\n00:05.000 --> 00:6.000\nRest\n"
    with pytest.raises(NotCaptions, match=r"^Line 9 has a time that is not written like"):
        read(text)


def test_entities_are_letters_again() -> None:
    assert read(vtt(payload="5 &lt; 6 &amp; 7 &gt; 3&nbsp;now")).cues[0].text == "5 < 6 & 7 > 3 now"


def test_lines_of_a_cue_are_one_text() -> None:
    assert read(vtt(payload="bird\ndog")).cues[0].text == "bird dog"


def test_cues_without_a_blank_line_between_and_out_of_order() -> None:
    text = "WEBVTT\n\n00:05.000 --> 00:06.000\nlater\n00:01.000 --> 00:02.000\nfirst\n"
    assert [(one.start, one.text) for one in read(text).cues] == [(1000, "first"), (5000, "later")]


def test_overlapping_cues_are_kept() -> None:
    text = vtt() + "\n00:02.000 --> 00:04.000\nLunge\n"
    assert [(one.start, one.end) for one in read(text).cues] == [(1000, 2500), (2000, 4000)]


def test_rolling_captions_with_times_inside() -> None:
    """As recognisers write them: the last line repeated, a time before each word."""
    text = vtt(
        "00:00:01.000 --> 00:00:02.500 align:start position:0%",
        "now<00:00:01.200><c> squat</c><00:00:01.900><c> down</c>",
    )
    assert read(text).cues == (Cue(1000, 2500, "now squat down"),)


# --- SRT: common practice, no standard

SRT = "1\n00:00:01,000 --> 00:00:02,500\nSquat\n"


@pytest.mark.parametrize(
    ("what", "text"),
    [
        ("as it is in use", SRT),
        ("CRLF", SRT.replace("\n", "\r\n")),
        ("a byte order mark", "\ufeff" + SRT),
        ("a full stop for the comma", SRT.replace(",", ".")),
        ("blank lines first", "\n\n" + SRT),
        ("a place on the picture after the times", SRT.replace("500\n", "500 X1:0 X2:9\n")),
        ("tags", SRT.replace("Squat", "<i>Squat</i>")),
    ],
)
def test_srt_that_is_read(what: str, text: str) -> None:
    assert read(text) == Captions(ONE, "srt"), what


@pytest.mark.parametrize(
    ("what", "text", "line"),
    [
        ("one digit of a fraction", SRT.replace("02,500", "02,5"), "Line 2"),
        ("no hours", SRT.replace("00:00:", "00:"), "Line 2"),
        ("an end before the start", SRT.replace("02,500", "00,500"), "Line 2"),
        ("sixty seconds", SRT.replace("01,000", "60,000"), "Line 2"),
        ("no number", SRT.partition("\n")[2], "cannot be read"),
    ],
)
def test_srt_that_is_refused(what: str, text: str, line: str) -> None:
    with pytest.raises(NotCaptions) as refused:
        read(text)
    assert line in str(refused.value), what


def test_srt_keeps_a_line_that_is_a_number_and_needs_no_blank_line() -> None:
    text = SRT.replace("Squat", "2026") + "2\n00:00:03,000 --> 00:00:04,000\nLunge\n"
    assert [one.text for one in read(text).cues] == ["2026", "Lunge"]


# --- text with times


@pytest.mark.parametrize(
    "text",
    [
        "0:01 Squat\n0:03 Lunge",
        "[0:01] Squat\n[0:03] Lunge",
        "(0:01) Squat\n(0:03) Lunge",
        "00:01 - Squat\n00:03 – Lunge",
        "0:00:01 Squat\n0:00:03 Lunge",
        "0:01\nSquat\n0:03\nLunge",
        "\n\n0:01 Squat\n\n0:03 Lunge\n",
        "0:01: Squat\r\n0:03: Lunge\r\n",
    ],
)
def test_text_whose_lines_begin_with_a_time(text: str) -> None:
    found = read(text)
    assert (found.kind, found.notice) == ("text", "")
    assert [(one.start, one.text) for one in found.cues] == [(1000, "Squat"), (3000, "Lunge")]


def test_a_paragraph_goes_on_until_the_next_time() -> None:
    found = read("0:00 hello and\nwelcome\n\nto this class\n0:40 squat down")
    assert [(one.start, one.end, one.text) for one in found.cues] == [
        (0, 24_000, "hello and welcome to this class"),
        (40_000, 41_000, "squat down"),
    ]


def test_text_over_an_hour() -> None:
    found = read("59:40 rest\n1:00:05 squat\n1:00:50 lunge")
    assert [one.start for one in found.cues] == [3_580_000, 3_605_000, 3_650_000]


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("squat and lunge", "The first line has no time"),
        ("0:00 squat\n1:01 lunge", "Line 2: more than a minute"),
        ("0:30 squat\n\n0:10 lunge", "Line 3: the time is earlier"),
        ("0:00 squat\n0:75 lunge", "Line 2: 0:75 is not a time"),
        ("0:00\n0:10\n0:20", "No caption with a time"),
    ],
)
def test_text_that_is_refused(text: str, sentence: str) -> None:
    with pytest.raises(NotCaptions, match=sentence):
        read(text)


# --- bytes


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be"])
def test_utf_16_with_its_mark(encoding: str) -> None:
    mark = {"utf-16-le": b"\xff\xfe", "utf-16-be": b"\xfe\xff"}.get(encoding, b"")
    assert read_captions(mark + vtt().encode(encoding)) == Captions(ONE, "vtt")


def test_western_european_bytes_are_read_with_a_notice() -> None:
    found = read_captions(vtt(payload="Plié, café").encode("cp1252"))
    assert found.cues[0].text == "Plié, café"
    assert found.notice == "Read as Western European text, not UTF-8."


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "empty"),
        (b" \r\n\n\t", "empty"),
        (b"\xff\xfe\x00", "not text"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "not text"),
    ],
)
def test_bytes_that_are_no_captions(content: bytes, sentence: str) -> None:
    with pytest.raises(NotCaptions, match=sentence):
        read_captions(content)


def test_two_million_letters_are_the_most() -> None:
    head = vtt()
    assert read(head + "a" * (2_000_000 - len(head))).cues[0].start == 1000
    with pytest.raises(NotCaptions, match="too long"):
        read(head + "a" * (2_000_001 - len(head)))


def test_the_same_cues_as_a_library_reads() -> None:
    """Read back by webvtt-py, which is well kept: the same starts, ends and words."""
    text = vtt() + "\n01:00:03.000 --> 01:00:04.250\nReverse lunge,\nleft\n"
    theirs = WebVTT.from_buffer(StringIO(text))
    assert [(one.start, one.end, one.text) for one in read(text).cues] == [
        (round(cue.start_in_seconds * 1000) + cue.start_time.milliseconds,
         round(cue.end_in_seconds * 1000) + cue.end_time.milliseconds,
         cue.text.replace("\n", " "))
        for cue in theirs
    ]  # fmt: skip


# --- words


def test_the_place_of_a_word_gives_its_time() -> None:
    words = words_of((Cue(10_000, 20_000, "Don’t rush: twenty"),))
    assert [(one.text, one.at) for one in words] == [
        ("don't", 10_000), ("rush", 13_333), ("twenty", 16_666),
    ]  # fmt: skip
