"""On-screen titles of a class: each exercise with its side and easier options. Pure.

Times are whole milliseconds of the film.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from content.rules.alignment.targets import key_of
from content.rules.design import Design
from content.rules.interval_words import easier, options_of, title_of
from content.rules.stamps import srt_text, srt_time, vtt_text, vtt_time
from content.rules.timeline import Interval, Sided, TimeLine


@dataclass(frozen=True, slots=True)
class Title:
    """Lines shown from `start` until `end`."""

    start: int
    end: int
    lines: tuple[str, ...]


def titles(
    design: Design,
    line: TimeLine,
    library: Mapping[str, Sided],
    *,
    starts: Mapping[str, int] | None = None,
    length: int | None = None,
) -> tuple[Title, ...]:
    """A title for each interval of work, in the order of the film.

    `starts`: when each really began, by its key; one that is not there was not filmed and has no
    title. None: as planned. No title reaches into the next one or beyond `length`, the film's.
    """
    found = sorted(_begun(line, starts), key=lambda pair: pair[0])
    shown = [
        Title(at, at + one.seconds * 1000, _lines(one, design, library)) for at, one in found
    ]  # fmt: skip
    return tuple(_apart(shown, length))


def _begun(line: TimeLine, starts: Mapping[str, int] | None) -> list[tuple[int, Interval]]:
    if starts is None:
        return [(one.start * 1000, one) for one in line.work]
    return [(starts[key_of(one)], one) for one in line.work if key_of(one) in starts]


def _lines(one: Interval, design: Design, library: Mapping[str, Sided]) -> tuple[str, ...]:
    lines = (title_of(one, library), easier(options_of(one, design, library)))
    return tuple(text for text in lines if text)


def _apart(shown: Sequence[Title], length: int | None) -> list[Title]:
    """Each ends where the next begins, at the latest; one that would last no time is left out."""
    ends = [min(one.end, two.start) for one, two in pairwise(shown)]
    ends += [one.end for one in shown[-1:]]
    if length is not None:
        ends = [min(end, length) for end in ends]
    return [
        Title(one.start, end, one.lines)
        for one, end in zip(shown, ends, strict=True)
        if end > one.start
    ]


def as_vtt(shown: Sequence[Title]) -> str:
    """A WebVTT file (W3C)."""
    cues = [
        f"{n}\n{vtt_time(one.start)} --> {vtt_time(one.end)}\n{_text(one, vtt_text)}"
        for n, one in enumerate(shown, 1)
    ]
    return "\n\n".join(["WEBVTT", *cues]) + "\n"


def as_srt(shown: Sequence[Title]) -> str:
    """An SRT file, which has no standard: numbered, a comma before the milliseconds."""
    cues = [
        f"{n}\n{srt_time(one.start)} --> {srt_time(one.end)}\n{_text(one, srt_text)}\n"
        for n, one in enumerate(shown, 1)
    ]
    return "\n".join(cues)


def _text(one: Title, safe: Callable[[str], str]) -> str:
    return "\n".join(safe(text) for text in one.lines)
