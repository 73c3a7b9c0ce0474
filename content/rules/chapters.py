"""The chapters of a class: from its plan, or from when things really began. Pure.

What hosts ask of a list in a description is common practice that they publish: the first at 0:00,
at least three, rising, at least ten seconds each. What breaks that is said; no time is shifted.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
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
    if not there or there[0].start == 0:
        return there
    if list_time(there[0].start or 0) == "0:00":
        return (replace(there[0], start=0), *there[1:])
    return (Chapter(WELCOME, 0, 0), *there)


def as_list(chapters: Sequence[Chapter]) -> str:
    """The lines to paste into a description: "0:00 Welcome"."""
    lines = (f"{list_time(one.start or 0)} {one.title}" for one in with_welcome(chapters))
    return "\n".join(lines)


def as_vtt(chapters: Sequence[Chapter], length: int) -> str:
    """A WebVTT chapter track; ValueError where the class ends before its last chapter begins.

    `length` of the class in milliseconds. A chapter ends where the next begins.
    """
    there = with_welcome(chapters)
    ends = _ends(there, length)
    cues = []
    for n, (one, end) in enumerate(zip(there, ends, strict=True), 1):
        if end <= (one.start or 0):
            raise ValueError(f"“{one.title}” begins when it should have ended.")
        cues.append(f"{n}\n{vtt_time(one.start or 0)} --> {vtt_time(end)}\n{vtt_text(one.title)}")
    return "WEBVTT\n\n" + "\n\n".join(cues) + ("\n" if cues else "")


def _ends(there: Sequence[Chapter], length: int) -> list[int]:
    """Where each ends: where the next begins, the last with the class."""
    return [*(one.start or 0 for one in there[1:]), *([length] if there else [])]


def problems(chapters: Sequence[Chapter], length: int) -> list[Finding]:
    """Why a host would not take the list as it is, each in words; none where it would.

    `length` of the class in milliseconds.
    """
    there = with_welcome(chapters)
    found = []
    if len(there) < LEAST:
        words = f"At least {LEAST} chapters are wanted: there are {len(there)}."
        found.append(_problem("few", words))
    ends = _ends(there, length)
    for one, end in zip(there, ends, strict=True):
        found += _against(one, end // 1000 - (one.start or 0) // 1000)
    for one, two in pairwise(there):
        if list_time(one.start or 0) == list_time(two.start or 0):
            found.append(_problem("equal", f"“{one.title}” and “{two.title}” begin together."))
    return found


def _against(one: Chapter, lasts: int) -> Iterator[Finding]:
    if lasts * 1000 < LEAST_MS:
        yield _problem("short", f"“{one.title}” lasts {lasts} s: at least 10 s are wanted.")
    if not one.title.strip():
        yield _problem("untitled", f"The chapter at {list_time(one.start or 0)} has no title.")
    elif len(one.title) > LONG_TITLE:
        yield _problem("long", f"“{one.title}” is longer than some hosts show.")


def _problem(kind: str, reason: str) -> Finding:
    return Finding(kind, Severity.CAUTION, reason, SOURCE)
