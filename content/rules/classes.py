"""What is true of classes: states and their groups, stages and effort in words, hours of work.

Pure: codes of states are those of the model, codes of stages those of `Stage`.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

from coach.scheduling.values import SERVABLE_STAGES, Stage

IDEA, OUTLINED, FILMED, EDITED = "idea", "outlined", "filmed", "edited"
SCHEDULED, PUBLISHED, WITHDRAWN = "scheduled", "published", "withdrawn"
IN_HAND: tuple[str, ...] = (EDITED, SCHEDULED)
TO_BE_MADE: tuple[str, ...] = (IDEA, OUTLINED, FILMED)

MOST_HOURS = 200
NO_STAGE_EXCLUDED = "no stage excluded"
STAGES_NOT_KNOWN = "stages not known"


@dataclass(frozen=True, slots=True)
class Group:
    """States that a list shows together."""

    code: str
    title: str
    states: tuple[str, ...]


GROUPS: tuple[Group, ...] = (
    Group("ideas", "ideas and outlines", (IDEA, OUTLINED)),
    Group("making", "in the making", (FILMED,)),
    Group("waiting", "finished and waiting", IN_HAND),
    Group("published", "published", (PUBLISHED,)),
    Group("withdrawn", "withdrawn", (WITHDRAWN,)),
)

# Effort from 0 to 10 in our own words, by how well she could talk: common practice, no source.
EFFORT_WORDS: tuple[str, ...] = (
    "at rest",
    "barely moving",
    "very easy, could sing",
    "easy, chatting freely",
    "comfortable, chatting",
    "working, in full sentences",
    "working well, in short sentences",
    "hard, a few words at a time",
    "very hard, single words",
    "close to the limit, no talking",
    "all there is",
)


def states_to_choose(state: str, *, uploaded: bool) -> tuple[str, ...]:
    """The states that an edit may leave a class in; `uploaded`: it has a day that stands.

    Published comes only from publishing, withdrawn only from withdrawing; a class that is ready
    and has a day is scheduled. A withdrawn class can be brought back: to published if it was.
    """
    if state == PUBLISHED:
        return (PUBLISHED,)
    ready = SCHEDULED if uploaded else EDITED
    if state == WITHDRAWN:
        return (WITHDRAWN, PUBLISHED) if uploaded else (WITHDRAWN, *TO_BE_MADE, EDITED)
    return (*TO_BE_MADE, ready)


def next_state(state: str, *, uploaded: bool) -> str:
    """The one step onwards that a class in the making can take; empty when there is none."""
    if state not in TO_BE_MADE:
        return ""
    order = (*TO_BE_MADE, SCHEDULED if uploaded else EDITED)
    return order[order.index(state) + 1]


def wanted_act(state: str, day: date | None, *, today: date) -> str:
    """What a class asks for next: "publish" once its day has come, "place" when it is finished
    and has none, "change" while it is being made; empty when it asks for nothing."""
    if state in {PUBLISHED, WITHDRAWN}:
        return ""
    if day and day <= today:
        return "publish"
    if state in TO_BE_MADE:
        return "change"
    return "" if day else "place"


def work_left(state: str, minutes: int) -> int:
    """Minutes of work still needed: none once a class is finished, whatever was typed."""
    return minutes if state in TO_BE_MADE or state == WITHDRAWN else 0


def in_order(codes: Iterable[str]) -> list[str]:
    """Codes of stages without doubles in the order of stages; ValueError for others."""
    wanted = {Stage(code) for code in codes}
    if not wanted <= set(SERVABLE_STAGES):
        raise ValueError("no class is made for this stage")
    return [str(stage) for stage in SERVABLE_STAGES if stage in wanted]


_TRIMESTERS = {Stage.TRIMESTER_1: "1", Stage.TRIMESTER_2: "2", Stage.TRIMESTER_3: "3"}
# First and last completed week of each stage after a pregnancy; None: without an end.
_WEEKS: dict[Stage, tuple[int, int | None]] = {
    Stage.WEEKS_0_6: (0, 6),
    Stage.WEEKS_6_12: (6, 12),
    Stage.WEEKS_12_26: (12, 26),
    Stage.WEEKS_26_52: (26, 52),
    Stage.WEEKS_52_ON: (52, None),
}


def stages_in_words(codes: Collection[str]) -> str:
    """Whom a class suits, short: "trimester 3 · from 6 weeks since"; none means not known."""
    if not codes:
        return STAGES_NOT_KNOWN
    if set(SERVABLE_STAGES) <= set(codes):
        return NO_STAGE_EXCLUDED
    trimesters = [number for stage, number in _TRIMESTERS.items() if stage in codes]
    parts = (_trimesters_in_words(trimesters), _weeks_in_words(_joined_weeks(codes)))
    return " · ".join(part for part in parts if part)


def _trimesters_in_words(numbers: list[str]) -> str:
    if len(numbers) == len(_TRIMESTERS):
        return "all trimesters"
    many = "s" if len(numbers) > 1 else ""
    return f"trimester{many} {' and '.join(numbers)}" if numbers else ""


def _joined_weeks(codes: Collection[str]) -> list[tuple[int, int | None]]:
    """Neighbouring stages as one span of weeks."""
    spans: list[tuple[int, int | None]] = []
    for stage, (first, last) in _WEEKS.items():
        if stage not in codes:
            continue
        if spans and spans[-1][1] == first:
            spans[-1] = (spans[-1][0], last)
        else:
            spans.append((first, last))
    return spans


def _weeks_in_words(spans: list[tuple[int, int | None]]) -> str:
    if not spans:
        return ""
    if spans == [(0, None)]:
        return "any week since"
    words = [f"{first}–{last}" if last else f"from {first}" for first, last in spans]
    return f"{' and '.join(words)} weeks since"


def effort_in_words(effort: int | None) -> str:
    """ "4 of 10: comfortable, chatting"; None is not known."""
    return "not known" if effort is None else f"{effort} of 10: {EFFORT_WORDS[effort]}"


_CLOCK = re.compile(r"(\d+)\s*(?::|h)\s*(\d{1,2})\s*(?:m|min)?")
_HOURS = re.compile(r"(\d+(?:[.,]\d+)?|[.,]\d+)\s*(?:h|hrs?|hours?)?")
_MINUTES = re.compile(r"(\d+)\s*(?:m|mins?|minutes?)")


def minutes_from_hours(text: str) -> int:
    """Whole minutes from hours as people type them: 2.5, 2,5, 2:30, 2 h 30, 45 min.

    ValueError with a sentence for the page for anything else, and beyond `MOST_HOURS`.
    """
    typed = text.strip().lower()
    minutes = _read_minutes(typed)
    if minutes is None:
        raise ValueError("Write hours like 2.5 or 2:30.")
    if minutes > MOST_HOURS * 60:
        raise ValueError(f"At most {MOST_HOURS} hours.")
    return minutes


def _read_minutes(typed: str) -> int | None:
    if found := _CLOCK.fullmatch(typed):
        hours, minutes = int(found[1]), int(found[2])
        return hours * 60 + minutes if minutes < 60 else None
    if found := _MINUTES.fullmatch(typed):
        return int(found[1])
    if found := _HOURS.fullmatch(typed):
        exact = Decimal(found[1].replace(",", ".")) * 60
        return int(exact.to_integral_value(ROUND_HALF_UP))
    return None


def hours_to_type(minutes: int) -> str:
    """The same minutes as a form shows them: "2:30", "2"."""
    hours, rest = divmod(minutes, 60)
    return f"{hours}:{rest:02}" if rest else str(hours)


def hours_in_words(minutes: int) -> str:
    """The same in a sentence: "2 h 30 min", "45 min", "3 h"."""
    hours, rest = divmod(minutes, 60)
    parts = (f"{hours} h" if hours else "", f"{rest} min" if rest or not hours else "")
    return " ".join(part for part in parts if part)
