"""The words of a client's pages, and those of a quiet client's, which name weeks and no more.

Pure. Codes of the forms are neutral too, because they stand in the pages' source.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from coach.scheduling.dates import gestational_age, quiet_label
from coach.scheduling.trimesters import DEFAULT_SCHEME, TrimesterScheme
from coach.scheduling.values import Stage

# What no page of a quiet client holds, in any form: tests read the rendered pages for these.
NEVER_IF_QUIET = (
    "baby", "babies", "bump", "birth", "born", "due", "pregnan", "trimester",
    "mother", "mum", "newborn", "gestation",
)  # fmt: skip

CARRYING, DELIVERED, LOST = "carrying", "delivered", "lost"


@dataclass(frozen=True, slots=True)
class Words:
    """One way of naming things."""

    one: str
    many: str
    add: str
    due: str
    expected: str
    born: str
    mode: str
    ended: str
    ended_after: str
    dated: str
    situations: tuple[tuple[str, str], ...]
    ends: tuple[tuple[str, str], ...]
    birth: str
    loss: str
    asks: str


PLAIN = Words(
    one="Pregnancy",
    many="Pregnancies",
    add="Add a pregnancy",
    due="Due date",
    expected="Babies expected",
    born="Babies born",
    mode="Kind of birth",
    ended="Day it ended",
    ended_after="Day of the birth",
    dated="Due date known from",
    situations=((CARRYING, "pregnant"), (DELIVERED, "after a birth"), (LOST, "after a loss")),
    ends=((DELIVERED, "with a birth"), (LOST, "with a loss")),
    birth="Birth",
    loss="Loss",
    asks="Past the due date, nothing recorded: ask how she is",
)
QUIET = Words(
    one="Dates",
    many="Dates",
    add="Add dates",
    due="Day of 40 weeks",
    expected="How many",
    born="How many",
    mode="How",
    ended="Day it ended",
    ended_after="Day it ended",
    dated="Weeks counted from",
    situations=((CARRYING, "weeks running"), (DELIVERED, "ended"), (LOST, "ended with a loss")),
    ends=((DELIVERED, "ended"), (LOST, "ended with a loss")),
    birth="Ended",
    loss="Ended",
    asks="Past 40 weeks, nothing recorded: ask how she is",
)


AT_FORTY_WEEKS = "At 40 weeks today, nothing recorded: ask how she is"


def words_for(quiet: bool) -> Words:
    """The words for a client's pages."""
    return QUIET if quiet else PLAIN


def says_too_much(text: str) -> bool:
    """Whether a text holds a word that no page of a quiet client may hold."""
    return any(word in text.casefold() for word in NEVER_IF_QUIET)


def unless_quiet(text: str, *, quiet: bool, instead: str = "") -> str:
    """What somebody typed; for a quiet client `instead` of it where it says too much."""
    return instead if quiet and says_too_much(text) else text


def stage_words(stage: Stage, *, quiet: bool, scheme: TrimesterScheme = DEFAULT_SCHEME) -> str:
    """A stage as a list prints it; for a quiet client in weeks, as the scheme cuts them."""
    return quiet_label(stage, scheme) if quiet else stage.label


def worked_out(due: date, today: date | None, *, quiet: bool) -> str:
    """What a day typed comes to: "Due date Sunday 21 February 2027: 28w4d today."

    Without `today`, for one that is over, only the date.
    """
    words = f"{'40 weeks on' if quiet else 'Due date'} {day_words(due)}"
    if today is None:
        return f"{words}."
    age = gestational_age(due, today)
    return f"{words}: {age} today." if age else f"{words}: not begun yet today."


def day_words(day: date) -> str:
    """ "Sunday 21 February 2027"."""
    return f"{day:%A} {day.day} {day:%B %Y}"


def short_day_words(day: date) -> str:
    """ "21 February 2027"."""
    return f"{day.day} {day:%B %Y}"
