"""The chapters of a class: from its plan, or from when things really began. Pure.

What hosts ask of a list in a description is common practice that they publish: the first at 0:00,
at least three, rising, at least ten seconds each. What breaks that is said; no time is shifted.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from coach.scheduling.values import Finding, Severity
from content.rules.alignment.aligned import Aligned, Found
from content.rules.stamps import list_time, vtt_text, vtt_time
from content.rules.timeline import Interval, Sided, TimeLine

WELCOME = "Welcome"
LEAST, LEAST_MS = 3, 10_000
LONG_TITLE = 49
SOURCE = "common practice: rules for chapter lists that video hosts publish"


@dataclass(frozen=True, slots=True)
class Chapter:
    """One chapter. Times in milliseconds; `planned` None: not of the plan, `start` None: not found.

    `confidence`: 0 to 1 where it was found in captions, None otherwise.
    """

    title: str
    planned: int | None
    start: int | None
    confidence: float | None = None


def planned_chapters(line: TimeLine, library: Mapping[str, Sided]) -> tuple[Chapter, ...]:
    """A chapter for each exercise as planned; both sides of one are one chapter."""
    return tuple(
        Chapter(_title(first, library), first.start * 1000, first.start * 1000)
        for first in _firsts(list(line.work))
    )


def _firsts(work: Sequence[Interval]) -> list[Interval]:
    """The first interval of each exercise in a row."""
    return [next(group) for _, group in groupby(work, key=_same)]


def _same(one: Interval) -> tuple[int, int, int, int, str, str]:
    return one.block, one.pattern, one.item, one.round, one.exercise, one.label


def _title(one: Interval, library: Mapping[str, Sided]) -> str:
    known = library.get(one.exercise)
    return known.name if known else one.label or one.exercise.replace("-", " ").capitalize()


def filmed_chapters(aligned: Aligned) -> tuple[Chapter, ...]:
    """A chapter for each exercise that was found, when it was filmed, then those not found."""
    groups = [list(group) for _, group in groupby(aligned.found, key=_item)]
    found = [_chapter(group) for group in groups]
    there = sorted((one for one in found if one.start is not None), key=lambda one: one.start or 0)
    return (*there, *(one for one in found if one.start is None))


def _item(one: Found) -> str:
    return one.target.key.rpartition(".")[0]


def _chapter(group: Sequence[Found]) -> Chapter:
    """Both sides of an exercise: it begins with whichever began first."""
    starts = [one for one in group if one.at is not None]
    first = min(starts, key=lambda one: one.at or 0, default=group[0])
    target = group[0].target
    return Chapter(target.title, target.planned_ms, first.at, first.confidence)


def with_welcome(chapters: Sequence[Chapter]) -> tuple[Chapter, ...]:
    """Those that have a start, with one at 0:00 before them where the first begins later."""
    there = tuple(one for one in chapters if one.start is not None)
    if not there or list_time(there[0].start or 0) == "0:00":
        return there
    return (Chapter(WELCOME, 0, 0), *there)


def as_list(chapters: Sequence[Chapter]) -> str:
    """The lines to paste into a description: "0:00 Welcome"."""
    lines = (f"{list_time(one.start or 0)} {_plain(one)}" for one in with_welcome(chapters))
    return "\n".join(lines)


def _plain(one: Chapter) -> str:
    """Its title on one line."""
    return " ".join(one.title.split())


def as_vtt(chapters: Sequence[Chapter], length: int) -> str:
    """A WebVTT chapter track; ValueError with a sentence where there can be none.

    `length` of the class in milliseconds. A chapter ends where the next begins (W3C WebVTT: cues of
    chapters do not overlap, and end later than they begin); those that begin together share one.
    """
    there = sorted(with_welcome(chapters), key=lambda one: one.start or 0)
    cues = []
    for n, (start, end, titles) in enumerate(_together(there, length), 1):
        if end <= start:
            raise ValueError(f"The class ends before “{titles[0]}” begins.")
        if not all(titles):
            raise ValueError(f"The chapter at {list_time(start)} has no title.")
        cues.append(f"{n}\n{vtt_time(start)} --> {vtt_time(end)}\n{vtt_text(', '.join(titles))}")
    return "WEBVTT\n\n" + "\n\n".join(cues) + ("\n" if cues else "")


def _together(there: Sequence[Chapter], length: int) -> list[tuple[int, int, list[str]]]:
    """Start, end and titles of those that begin together."""
    groups = [(at, list(same)) for at, same in groupby(there, key=lambda one: one.start or 0)]
    ends = [*(at for at, _ in groups[1:]), length]
    return [
        (at, end, [_plain(one) for one in same])
        for (at, same), end in zip(groups, ends, strict=False)
    ]


def _ends(there: Sequence[Chapter], length: int) -> list[int]:
    """Where each ends: where the next begins, the last with the class."""
    return [*(one.start or 0 for one in there[1:]), *([length] if there else [])]


def problems(chapters: Sequence[Chapter], length: int) -> list[Finding]:
    """Why a host would not take the list as it is, each in words; none where it would.

    `length` of the class in milliseconds.
    """
    there = with_welcome(chapters)
    ends = _ends(there, length)
    found = list(_against_all(there, length))
    for one, end in zip(there, ends, strict=True):
        found += _against(one, end // 1000 - (one.start or 0) // 1000)
        found += _against_title(one)
    for one, two in pairwise(there):
        if list_time(one.start or 0) == list_time(two.start or 0):
            found.append(_problem("equal", f"“{one.title}” and “{two.title}” begin together."))
    return found


def _against_all(there: Sequence[Chapter], length: int) -> Iterator[Finding]:
    if len(there) < LEAST:
        yield _problem("few", f"At least {LEAST} chapters are wanted: there are {len(there)}.")
    if length < LEAST * LEAST_MS:
        words = f"The class lasts {length // 1000} s: {LEAST} chapters of 10 s do not fit into it."
        yield _problem("brief", words)


def _against(one: Chapter, lasts: int) -> Iterator[Finding]:
    if lasts < 0:
        words = f"“{one.title}” begins after what should follow it, or after the end."
        yield _problem("order", words)
    elif lasts * 1000 < LEAST_MS:
        yield _problem("short", f"“{one.title}” lasts {lasts} s: at least 10 s are wanted.")


def _against_title(one: Chapter) -> Iterator[Finding]:
    title = _plain(one)
    if not title:
        yield _problem("untitled", f"The chapter at {list_time(one.start or 0)} has no title.")
    elif title[0].isdigit():
        words = f"“{title}” begins with a number: some hosts read it as part of the time."
        yield _problem("number", words)
    if len(title) > LONG_TITLE:
        yield _problem("long", f"“{title}” is longer than some hosts show.")


def _problem(kind: str, reason: str) -> Finding:
    return Finding(kind, Severity.CAUTION, reason, SOURCE)
