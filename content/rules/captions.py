"""Captions of a filmed class, read from WebVTT, SRT or text with times, as cues. Pure.

Times are whole milliseconds. What cannot be trusted is refused with its line, never guessed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from io import StringIO
from itertools import pairwise

from webvtt import WebVTT
from webvtt.errors import MalformedCaptionError, MalformedFileError

MOST_LETTERS = 2_000_000
MOST_APART_MS = 60_000  # text with times: at most a minute from one time to the next
SLOWEST = 0.25  # words a second: fewer in a long paragraph stand nearer its beginning
LAST_WORDS_PER_SECOND = 2.5  # how long the last paragraph is taken to last; common practice
_LATIN = "cp1252"
_TAG = re.compile(r"<[^>]*>")
_SPACE = re.compile(r"\s+")
_STAMP = re.compile(r"^\s*[\[(]?((?:\d{1,2}:)?\d{1,2}:\d{2})[\])]?\s*[-–—:]?\s*(.*)$")
_VTT_TIME = re.compile(r"^(?:\d{2,}:)?[0-5]\d:[0-5]\d\.\d{3}$|^\d:[0-5]\d:[0-5]\d\.\d{3}$")
_SRT_TIME = re.compile(r"^\d{2,}:[0-5]\d:[0-5]\d[,.]\d{3}$")


class NotCaptions(ValueError):
    """Why a file cannot be read, in a sentence for the page."""


@dataclass(frozen=True, slots=True)
class Cue:
    """What is said between two times, in milliseconds."""

    start: int
    end: int
    text: str


@dataclass(frozen=True, slots=True)
class Captions:
    """The cues in order of time; `notice`: what was done to read the file, "" for nothing."""

    cues: tuple[Cue, ...]
    kind: str
    notice: str = ""


def read_captions(content: bytes) -> Captions:
    """A caption file whatever its kind; NotCaptions where it is none.

    WebVTT by W3C's syntax, SRT as it is in use (no standard), or text whose lines or paragraphs
    begin with a time, m:ss or h:mm:ss, in brackets or not.
    """
    text, notice = _decoded(content)
    if len(text) > MOST_LETTERS:
        raise NotCaptions("The file is too long for captions of a class.")
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    if not any(line.strip() for line in lines):
        raise NotCaptions("The file is empty.")
    kind = _kind(lines)
    cues = _READERS[kind](lines)
    if not cues:
        raise NotCaptions("No caption with a time was found in it.")
    return Captions(tuple(sorted(cues, key=lambda one: (one.start, one.end))), kind, notice)


def _decoded(content: bytes) -> tuple[str, str]:
    for mark, name in ((b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16")):
        if content.startswith(mark):
            try:
                return content.decode(name), ""
            except UnicodeDecodeError:
                raise NotCaptions("The file is not text.") from None
    try:
        return content.decode("utf-8-sig"), ""
    except UnicodeDecodeError:
        pass
    if b"\0" in content[:4096]:
        raise NotCaptions("The file is not text.")
    return content.decode(_LATIN, errors="replace"), "Read as Western European text, not UTF-8."


def _kind(lines: Sequence[str]) -> str:
    first = next(line for line in lines if line.strip())
    if re.match(r"^WEBVTT(?:[ \t]|$)", lines[0]):
        return "vtt"
    if first.upper().startswith("WEBVTT"):
        raise NotCaptions("A WebVTT file begins with WEBVTT on its first line, alone or a space.")
    if any("-->" in line for line in lines):
        return "srt"
    return "text"


def _vtt(lines: Sequence[str]) -> list[Cue]:
    _check_times(lines, _VTT_TIME, "00:01:02.500")
    return _cues(WebVTT.from_string, "\n".join(lines))


def _srt(lines: Sequence[str]) -> list[Cue]:
    _check_times(lines, _SRT_TIME, "00:01:02,500")
    whole = "\n".join(lines).strip() + "\n"
    return _cues(lambda text: WebVTT.from_buffer(StringIO(text), format="srt"), whole)


def _check_times(lines: Sequence[str], pattern: re.Pattern[str], example: str) -> None:
    """The library passes over, or misreads, times that are not of the format: they are refused."""
    for number, line in enumerate(lines, 1):
        if "-->" not in line:
            continue
        start, _, rest = (part.strip() for part in line.partition("-->"))
        end = rest.split()[0] if rest else ""
        if not (pattern.match(start) and pattern.match(end)):
            raise NotCaptions(f"Line {number} has a time that is not written like {example}.")
        if _ms(end) <= _ms(start):
            raise NotCaptions(f"Line {number} ends before it begins.")


def _ms(stamp: str) -> int:
    whole, _, part = stamp.replace(",", ".").partition(".")
    seconds = 0
    for piece in whole.split(":"):
        seconds = seconds * 60 + int(piece)
    return seconds * 1000 + int(part or 0)


def _cues(reader: object, text: str) -> list[Cue]:
    try:
        found = reader(text)  # type: ignore[operator]  # one of the two readers above
    except (MalformedCaptionError, MalformedFileError):
        raise NotCaptions("The file cannot be read as captions.") from None
    cues = (Cue(_ms(one.start), _ms(one.end), _plain(one.text)) for one in found)
    return [one for one in cues if one.text]


def _plain(text: str) -> str:
    words = _TAG.sub(" ", text)
    for entity, letter in (("&amp;", "&"), ("&lt;", "<"), ("&gt;", ">"), ("&nbsp;", " ")):
        words = words.replace(entity, letter)
    return _SPACE.sub(" ", words).strip()


def _text(lines: Sequence[str]) -> list[Cue]:
    """Paragraphs that begin with a time; each lasts until the next one."""
    begun: list[tuple[int, int, list[str]]] = []
    for number, line in enumerate(lines, 1):
        found = _STAMP.match(line)
        if found:
            begun.append((_seconds(found[1], number) * 1000, number, [found[2]]))
        elif begun:
            begun[-1][2].append(line)
        elif line.strip():
            raise NotCaptions("The first line has no time. Write times like 0:00 or 1:02:03.")
    _check_order(begun)
    return [one for one in _timed(begun) if one.text]


def _seconds(stamp: str, number: int) -> int:
    parts = [int(one) for one in stamp.split(":")]
    if any(one > 59 for one in parts[1:]):
        raise NotCaptions(f"Line {number}: {stamp} is not a time.")
    return sum(one * 60**power for power, one in enumerate(reversed(parts)))


def _check_order(begun: Sequence[tuple[int, int, list[str]]]) -> None:
    for (one, _, _), (two, number, _) in pairwise(begun):
        if two < one:
            raise NotCaptions(f"Line {number}: the time is earlier than the one before it.")
        if two - one > MOST_APART_MS:
            raise NotCaptions(
                f"Line {number}: more than a minute since the time before it; "
                "words could not be placed closely enough."
            )


def _timed(begun: Sequence[tuple[int, int, list[str]]]) -> Iterator[Cue]:
    for n, (start, _, parts) in enumerate(begun):
        text = _plain(" ".join(parts))
        words = len(text.split())
        if n + 1 < len(begun):
            end = min(begun[n + 1][0], start + max(int(words / SLOWEST * 1000), 1000))
        else:
            end = start + max(int(words / LAST_WORDS_PER_SECOND * 1000), 1000)
        yield Cue(start, max(end, start + 1), text)


_READERS = {"vtt": _vtt, "srt": _srt, "text": _text}


@dataclass(frozen=True, slots=True)
class Word:
    """One spoken word with its time: its place within its cue gives it, in milliseconds."""

    text: str
    at: int


_WORD = re.compile(r"[^\W_]+(?:[’'][^\W_]+)?")


def words_of(cues: Sequence[Cue]) -> list[Word]:
    """Every word with its time, in order."""
    found: list[Word] = []
    for cue in cues:
        length = max(len(cue.text), 1)
        for one in _WORD.finditer(cue.text):
            at = cue.start + (cue.end - cue.start) * one.start() // length
            found.append(Word(one[0].casefold().replace("’", "'"), at))
    return found
