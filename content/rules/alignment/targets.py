"""The planned intervals of a class that are looked for, with what may be said of each. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Protocol

from content.rules.alignment.spotted import Phrase, phrase
from content.rules.timeline import CHANGE, RIGHT, ROUND_REST, WORK, Interval, TimeLine

# How sure one is of an interval when these words are heard: common practice, no source.
NAME, ALIAS, CUE, SIDE = 1.0, 0.95, 0.9, 0.9
_OTHER_SIDE = (
    "other side", "switch sides", "change sides", "swap sides", "second side", "opposite side",
    "same on the right", "same again on the right", "right side",
)  # fmt: skip


class Spoken(Protocol):
    """What the aligner asks of an exercise."""

    @property
    def name(self) -> str:
        """What it is called."""

    @property
    def aliases(self) -> tuple[str, ...]:
        """What it is called when spoken."""

    @property
    def cues(self) -> tuple[str, ...]:
        """What is said while it is done."""


@dataclass(frozen=True, slots=True)
class Target:
    """A planned interval to be found. `key` stays the same while the plan does.

    `exercise`: its code, or the label of an item without one. `phrases` name it; `cues` are said
    while it is done; `turn`: to change to its side. Times in milliseconds; `pause_ms`: planned
    after it and its rest, until the next.
    """

    key: str
    exercise: str
    title: str
    side: str
    block: int
    planned_ms: int
    length_ms: int
    pause_ms: int
    phrases: tuple[Phrase, ...]
    cues: tuple[Phrase, ...] = ()
    turn: tuple[Phrase, ...] = ()

    @property
    def set(self) -> str:
        """The exercise at its place in the plan: both of its sides."""
        return self.key.rpartition(".")[0]

    @property
    def stretch(self) -> tuple[str, str, str]:
        """Block, pattern and round: within them exercises may be swapped."""
        block, pattern, _, turn, _ = self.key.split(".")
        return block, pattern, turn


def key_of(one: Interval) -> str:
    """The key of an interval of work: its place in the plan."""
    return f"{one.block}.{one.pattern}.{one.item}.{one.round}.{one.side}"


def targets_of(line: TimeLine, library: Mapping[str, Spoken]) -> tuple[Target, ...]:
    """The intervals of work of a class as targets, with what may be said of each."""
    return tuple(_target(one, pause, library) for one, pause in _with_pauses(line))


def _with_pauses(line: TimeLine) -> Iterator[tuple[Interval, int]]:
    """Each interval of work, with the seconds of change and round rest before the next."""
    held: Interval | None = None
    pause = 0
    for one in line.intervals:
        if one.kind == WORK:
            if held:
                yield held, pause
            held, pause = one, 0
        elif one.kind in (ROUND_REST, CHANGE):
            pause += one.seconds
    if held:
        yield held, pause


def _target(one: Interval, pause: int, library: Mapping[str, Spoken]) -> Target:
    known = library.get(one.exercise)
    title = known.name if known else one.label or one.exercise.replace("-", " ").capitalize()
    names = [(title, NAME), *((alias, ALIAS) for alias in (known.aliases if known else ()))]
    return Target(
        key=key_of(one),
        exercise=one.exercise or one.label,
        title=title,
        side=one.side,
        block=one.block,
        planned_ms=one.start * 1000,
        length_ms=one.seconds * 1000,
        pause_ms=pause * 1000,
        phrases=_phrases(names),
        cues=_phrases((cue, CUE) for cue in (known.cues if known else ())),
        turn=_phrases((text, SIDE) for text in _OTHER_SIDE) if one.side == RIGHT else (),
    )


def _phrases(texts: Iterable[tuple[str, float]]) -> tuple[Phrase, ...]:
    found = (phrase(text, worth) for text, worth in texts)
    return tuple(one for one in found if one)
