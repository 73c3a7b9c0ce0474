"""What stands beside the word of the go-ahead: an exception, and what to do for who may not know
the reasons. Pure.

Policy of the practice. None of it tells why.
"""

from __future__ import annotations

from datetime import date

from clients.rules.happened import HIDDEN
from clients.rules.words import short_day_words, unless_quiet
from coach.scheduling.values import GoAhead, GoAheadWord, Limits

_NOT_YET = "No training until the owner of the practice says so."
_STOPPED = "Do not train her. She sees her own clinician first."
_WITHIN = "Train her within these limits and no further."
_NOTHING_AGAINST = "Nothing in what is recorded is against training her."
IF_SHE_SAYS = (
    "If she tells of anything new: stop, refer her to her clinician, in an emergency ring the "
    "number of the place where she is, and tell the owner of the practice the same day."
)


def to_do(found: GoAhead) -> str:
    """What a coach who covers is to do; any limit is named, whatever the word."""
    if found.word is GoAheadWord.ON_HOLD:
        return _STOPPED
    if not found.word.may_train:
        return _NOT_YET
    return _NOTHING_AGAINST if found.limits == Limits() else _WITHIN


def bookable(word: GoAheadWord) -> str:
    """What an assistant who books is told."""
    return "bookable" if word.may_train else "not bookable"


def exception_words(day: date, reason: str, *, quiet: bool) -> str:
    """ "trained by exception on 3 December 2026: the letter is in the post"; the word stays."""
    told = unless_quiet(reason, quiet=quiet, instead=HIDDEN)
    return f"trained by exception on {short_day_words(day)}: {told}"
