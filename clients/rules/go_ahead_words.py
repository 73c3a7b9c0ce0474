"""The go-ahead and what was limited, in the words that pages print. Pure.

The strongest word is no yes: a letter is on file, and not everything is checked.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Protocol, TypeVar

from clients.rules.words import short_day_words, unless_quiet
from coach.scheduling.values import GoAhead, GoAheadWord, Limits

HIDDEN_LIMIT = "a limit not shown while quiet is on: see the letter"
NOT_ALL_CHECKED = "Not everything is checked: your own judgement decides."
_TICKED = {
    "no_impact": "no impact",
    "not_lying_flat": "not lying flat",
    "no_loaded_trunk_flexion": "no loaded curling of the trunk",
    "gentle_recovery_only": "gentle recovery work only",
}
_UP_TO = {
    "lift_at_most_kg": "lifting up to {} kg",
    "effort_at_most": "effort up to {} of 10",
    "heart_rate_at_most": "heart rate up to {} a minute",
}
# The order in which who may not train is told; what must not wait stands first.
STRICTEST_FIRST: tuple[GoAheadWord, ...] = (
    GoAheadWord.ON_HOLD,
    GoAheadWord.WAITING,
    GoAheadWord.RUN_OUT,
    GoAheadWord.LETTER_ON_FILE,
)


class HasWord(Protocol):
    """Whatever has the word of a day, or none where the reader may not see it."""

    @property
    def word(self) -> GoAheadWord | None:
        """The word."""


T = TypeVar("T", bound=HasWord)


def note_of(word: GoAheadWord) -> str:
    """What stands beside a word: beside a letter on file that not everything is checked."""
    return NOT_ALL_CHECKED if word is GoAheadWord.LETTER_ON_FILE else ""


def by_word(lines: Iterable[T]) -> list[tuple[GoAheadWord, str, list[T]]]:
    """(word, its note, the lines of it), those on hold first; words that nobody has left out."""
    found: dict[GoAheadWord, list[T]] = {word: [] for word in STRICTEST_FIRST}
    for line in lines:
        if line.word in found:
            found[line.word].append(line)
    return [(word, note_of(word), some) for word, some in found.items() if some]


@dataclass(frozen=True, slots=True)
class StandingWords:
    """The line under her name: the word, from when to when, what is limited, why, what mends it.

    For who may not see limits or reasons these are empty, and nothing stands in their place.
    """

    word: GoAheadWord
    limits: str = ""
    span: str = ""
    reasons: tuple[tuple[str, str], ...] = ()
    mend: str = ""

    @property
    def title(self) -> str:
        """The word as it begins a line."""
        return sentence(str(self.word))

    @property
    def mend_label(self) -> str:
        """What introduces the way out; with a letter on file there is nothing to mend yet."""
        return "Next" if self.word is GoAheadWord.LETTER_ON_FILE else "What mends it"

    @property
    def note(self) -> str:
        """What stands beside a letter on file."""
        return note_of(self.word)


def standing_words(
    found: GoAhead, today: date, *, quiet: bool, sees_limits: bool, sees_health: bool
) -> StandingWords:
    """The go-ahead for a reader who sees limits, or reasons as well, or the word alone."""
    return StandingWords(
        word=found.word,
        limits=sentence("; ".join(limit_words(found.limits, quiet=quiet))) if sees_limits else "",
        span=span_words(found, today, quiet=quiet) if sees_limits else "",
        reasons=tuple((one.reason, one.source) for one in found.reasons) if sees_health else (),
        mend=found.mend if sees_health else "",
    )


def span_words(found: GoAhead, today: date, *, quiet: bool) -> str:
    """ "Since 30 October 2026, until the birth": a letter on file always has an end."""
    since = found.since
    parts = (
        ["since today" if since == today else f"since {short_day_words(since)}"] if since else []
    )
    if found.until:
        parts.append(f"until {short_day_words(found.until)}")
    elif found.word is GoAheadWord.LETTER_ON_FILE:
        parts.append(until_end_words(quiet=quiet))
    return sentence(", ".join(parts))


def until_end_words(*, quiet: bool) -> str:
    """How long a letter holds that was given for the rest of a pregnancy."""
    return "until these weeks end" if quiet else "until the birth"


def limit_words(limits: Limits, *, quiet: bool) -> list[str]:
    """Each limit as a few words: "not lying flat", "effort up to 6 of 10", and what was added.

    An addition that a quiet client's page may not hold is not dropped: there is a limit.
    """
    ticked = [words for name, words in _TICKED.items() if getattr(limits, name)]
    numbers = ((words, getattr(limits, name)) for name, words in _UP_TO.items())
    others = (unless_quiet(one, quiet=quiet, instead=HIDDEN_LIMIT) for one in limits.others)
    return [*ticked, *(words.format(n) for words, n in numbers if n is not None), *others]


def sentence(text: str) -> str:
    """With its first letter large."""
    return text[:1].upper() + text[1:]
