"""The go-ahead and what was limited, in the words that pages print. Pure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Protocol, TypeVar

from clients.rules.words import short_day_words, unless_quiet
from coach.scheduling.values import GoAhead, GoAheadWord, Limits

HIDDEN_LIMIT = "a limit not shown while quiet is on: see the letter"
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
    GoAheadWord.YES_WITH_LIMITS,
    GoAheadWord.YES,
    GoAheadWord.SCREENED,
    GoAheadWord.NO_LETTER_REQUIRED,
)


class HasWord(Protocol):
    """Whatever has the word of a day, or none where the reader may not see it."""

    @property
    def word(self) -> GoAheadWord | None:
        """The word."""


T = TypeVar("T", bound=HasWord)


def not_checked_words(unchecked: Iterable[str]) -> str:
    """ "Not checked: how old a letter is.", or nothing where every rule is on."""
    found = "; ".join(unchecked)
    return f"Not checked: {found}." if found else ""


def by_word(lines: Iterable[T]) -> list[tuple[GoAheadWord, list[T]]]:
    """(word, the lines of it), those on hold first; words that nobody has left out."""
    found: dict[GoAheadWord, list[T]] = {word: [] for word in STRICTEST_FIRST}
    for line in lines:
        if line.word in found:
            found[line.word].append(line)
    return [(word, some) for word, some in found.items() if some]


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
    unchecked: str = ""

    @property
    def title(self) -> str:
        """The word as it begins a line."""
        return sentence(str(self.word))

    @property
    def mend_label(self) -> str:
        """What introduces the way out; where she may train there is nothing to mend yet."""
        return "Next" if self.word.may_train else "What mends it"


def standing_words(
    found: GoAhead, today: date, *, quiet: bool, sees_limits: bool, sees_health: bool
) -> StandingWords:
    """The go-ahead for a reader who sees limits, or reasons as well, or the word alone.

    What is not checked stands beside the word for everybody who reads it.
    """
    return StandingWords(
        word=found.word,
        limits=sentence("; ".join(limit_words(found.limits, quiet=quiet))) if sees_limits else "",
        span=span_words(found, today, quiet=quiet) if sees_limits else "",
        reasons=tuple((one.reason, one.source) for one in found.reasons) if sees_health else (),
        mend=found.mend if sees_health else "",
        unchecked=not_checked_words(found.unchecked),
    )


def span_words(found: GoAhead, today: date, *, quiet: bool) -> str:
    """ "Since 30 October 2026, until the birth, at the latest 12 February 2027"."""
    since = found.since
    parts = (
        ["since today" if since == today else f"since {short_day_words(since)}"] if since else []
    )
    if found.until_end:
        parts.append(until_end_words(quiet=quiet))
    if found.until:
        latest = "at the latest " if found.until_end else "until "
        parts.append(f"{latest}{short_day_words(found.until)}")
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
