"""How wide a width counted in fingers is called, where that is published; and change. Pure.

Only fingers are graded: no grading of millimetres is agreed on. A grade is a word for a width and
no diagnosis. Nothing is turned from one unit into the other here.
"""

from __future__ import annotations

from dataclasses import dataclass

from clients.rules.measuring import FINGERS

COUNTED_FROM = 2
COUNTED = "Two fingers and more are counted as wide (Sperstad and others 2016)."
GRADES: tuple[tuple[float, str], ...] = ((2, "mild"), (3, "moderate"), (4, "severe"))
"""From how many fingers on which word. Sperstad and others 2016, after Candido and others 2005.

From memory, and printed with ends that overlap ("2–3", "3–4"): read here as from 2 to under 3,
from 3 to under 4, from 4 on.
"""
SOURCE = "Sperstad and others 2016, after Candido and others 2005"


@dataclass(frozen=True, slots=True)
class Grade:
    """A published word for a width; `uncertain`: it comes from memory."""

    word: str
    source: str
    uncertain: bool

    @property
    def words(self) -> str:
        """ "moderate (uncertain, from memory: …)"."""
        return f"{self.word} ({'uncertain, from memory: ' if self.uncertain else ''}{self.source})"


def counts_as_wide(fingers: float) -> bool:
    """Whether a width counts in the survey that palpated: exactly two fingers do.

    Sperstad and others. Br J Sports Med 2016;50(17):1092-1096.
    """
    return fingers >= COUNTED_FROM


def grade_of(value: float, unit: str) -> Grade | None:
    """The word for a width in fingers, always marked uncertain; None under two fingers.

    ValueError for millimetres: nothing sourced grades them.
    """
    if unit != FINGERS:
        raise ValueError("only a width in fingers is graded")
    found = [word for least, word in GRADES if value >= least]
    return Grade(found[-1], SOURCE, uncertain=True) if found else None


def percent_change(old: float, new: float) -> float | None:
    """By how many percent a width became narrower, below 0 where it became wider.

    (old − new) ÷ old; None where the old one was 0 or less, of which there are no percent.
    """
    return (old - new) / old * 100 if old > 0 else None


def change_words(old: float, new: float) -> str:
    """ "25.0 % narrower", "12.5 % wider", "as before", "in percent not applicable"."""
    if old == new:
        return "as before"
    percent = percent_change(old, new)
    if percent is None:
        return "in percent not applicable"
    return f"{abs(percent):.1f} % {'narrower' if percent > 0 else 'wider'}"
