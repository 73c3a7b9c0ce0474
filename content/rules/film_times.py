"""Times of a film as a coach types and reads them, and aligned times as they are stored. Pure."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from content.rules.alignment import Aligned, Found, Overrun, Target
from content.rules.alignment.aligned import overrun
from content.rules.timeline import TimeLine, clock

LONGEST_MS = 6 * 3600 * 1000
NOT_A_TIME = "Write minutes and seconds of the film, like 4:05 or 4:05.5, or 1:02:03."
_TIME = re.compile(r"^(?:(\d{1,2}):(?=\d\d:))?(\d{1,3}):([0-5]\d)(?:[.,](\d))?$", re.ASCII)
_WORDS = ((0.8, "clear"), (0.6, "likely"), (0.0, "uncertain"))


def film_time(text: str) -> int:
    """Milliseconds from "4:05", "4:05.5" or "1:02:03"; ValueError with a sentence otherwise."""
    found = _TIME.match(text.strip())
    if not found or (found[1] and int(found[2]) > 59):
        raise ValueError(NOT_A_TIME)
    seconds = int(found[1] or 0) * 3600 + int(found[2]) * 60 + int(found[3])
    if seconds * 1000 > LONGEST_MS:
        raise ValueError("No film is longer than six hours.")
    return seconds * 1000 + int(found[4] or 0) * 100


def film_clock(ms: int) -> str:
    """ "4:05.5", to the tenth of a second that can be typed, cut down; "4:05" on the second."""
    tenth = ms % 1000 // 100
    return clock(ms // 1000) + (f".{tenth}" if tenth else "")


def confidence_words(found: Found) -> str:
    """How sure a time is, as a word with its figure; by hand it needs none."""
    if found.at is None:
        return "not found"
    if found.fixed:
        return "put right by hand"
    word = next(word for least, word in _WORDS if found.confidence >= least)
    return f"{word}, {round(found.confidence * 100)} %"


def stored(aligned: Aligned) -> list[dict[str, Any]]:
    """As JSON keeps it; the exercise and its planned time tell later whether the plan changed."""
    return [
        {
            "key": one.target.key,
            "at": one.at,
            "confidence": one.confidence,
            "exercise": one.target.exercise,
            "planned": one.target.planned_ms,
        }
        for one in aligned.found
    ]


def restored(
    rows: Sequence[Mapping[str, Any]],
    targets: Sequence[Target],
    fixed: Mapping[str, int],
    line: TimeLine,
    end: int | None,
) -> Aligned:
    """What was stored, for the intervals of the design as it is now, without aligning anew."""
    known = {row["key"]: row for row in rows}
    found = tuple(_found(one, known.get(one.key), fixed) for one in targets)
    there: tuple[Overrun, ...] = overrun(line, found, end)
    return Aligned(found, there)


def _found(target: Target, row: Mapping[str, Any] | None, fixed: Mapping[str, int]) -> Found:
    if row is None or row.get("exercise", target.exercise) != target.exercise:
        return Found(target, None, 0.0)
    if target.key in fixed:
        return Found(target, fixed[target.key], 1.0, True)
    return Found(target, row["at"], row["confidence"])


def of_earlier_design(rows: Sequence[Mapping[str, Any]], targets: Sequence[Target]) -> bool:
    """Whether the design is another by now than the one that was aligned."""
    then = [(row["key"], row.get("exercise"), row.get("planned")) for row in rows]
    return then != [(one.key, one.exercise, one.planned_ms) for one in targets]
