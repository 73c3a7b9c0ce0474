"""What can be true of one pregnancy and of several: what is wrong with dates, in sentences. Pure.

The sentences name no baby, birth or due date: a quiet client's page shows them too.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from clients.rules.words import short_day_words
from coach.scheduling.dates import (
    LONGEST_DAYS,
    TERM_DAYS,
    Ending,
    PregnancyDates,
    gestational_age,
)
from coach.scheduling.dating import CONCEPTION_TO_TERM_DAYS

MODES: dict[str, str] = {"vaginal": "vaginal", "assisted": "assisted", "caesarean": "caesarean"}
# Degrees as in RCOG Green-top Guideline 29 (2015), section 4: classification.
TEARS: dict[str, str] = {
    "none": "no tear",
    "first": "first degree",
    "second": "second degree",
    "third": "third degree",
    "fourth": "fourth degree",
    "cut": "cut (episiotomy)",
    "some": "a tear, degree not known",
}
SURGICAL: dict[str, str] = {"yes": "with surgery", "no": "without surgery"}
MOST_BABIES = 8
# Both are common practice, no source: they catch a mistyped year and refuse nothing likely.
LONG_PAST_DUE_DAYS = 300
LONGEST_AGO_DAYS = 40 * 366


@dataclass(frozen=True, slots=True)
class PregnancyFacts:
    """All that is kept of one pregnancy, as stored; None and "" are "not known".

    `tear` is one of TEARS and `wound` free text, both of a birth; `gestation` ("9w0d", as told)
    and `surgical` (one of SURGICAL) are of a loss.
    """

    due: date | None = None
    dated_by: str = ""
    expected: int = 1
    ended: date | None = None
    ending: str = ""
    birth_mode: str = ""
    born: int | None = None
    tear: str = ""
    wound: str = ""
    gestation: str = ""
    surgical: str = ""

    @property
    def dates(self) -> PregnancyDates:
        """What the rules of stage want to know."""
        ending = Ending(self.ending) if self.ending else None
        return PregnancyDates(due=self.due, ended=self.ended, ending=ending)

    @property
    def of_the_end(self) -> dict[str, Any]:
        """How it ended, beside the day and the kind."""
        names = ("birth_mode", "born", "tear", "wound", "gestation", "surgical")
        return {name: getattr(self, name) for name in names}

    def ended_by(self, ending: Ending, on: date, **of_the_end: Any) -> PregnancyFacts:
        """The same pregnancy, over; `of_the_end`: any of birth_mode, born, tear and the rest."""
        return replace(self, ending=str(ending), ended=on, **of_the_end)


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong with one field of PregnancyFacts, as a sentence to put beside it."""

    field: str
    sentence: str


def problems(
    facts: PregnancyFacts, *, others: Sequence[PregnancyDates], today: date
) -> list[Problem]:
    """Everything that speaks against keeping these facts beside her other pregnancies.

    `today` is the latest date it is anywhere that matters: where she is, or where the coach is.
    """
    one = facts.dates
    found = [*_against_end(one, today)] if one.over else [*_against_due(one.due, today)]
    found += _against_answers(facts)
    return found or [*_against_others(one, others)]


def _against_answers(facts: PregnancyFacts) -> Iterable[Problem]:
    """What was said of another kind of end than the one recorded, and what is in no list."""
    of_a_birth = facts.birth_mode or facts.born is not None or facts.tear or facts.wound
    of_a_loss = facts.gestation or facts.surgical
    if (of_a_birth and facts.ending != Ending.BIRTH) or (of_a_loss and facts.ending != Ending.LOSS):
        yield Problem("ending", "Say how it ended: what follows belongs to one answer.")
    if not 1 <= facts.expected <= MOST_BABIES:
        yield Problem("expected", f"A number from 1 to {MOST_BABIES}.")
    lists = (("birth_mode", MODES), ("tear", TEARS), ("surgical", SURGICAL))
    for field, choices in lists:
        if getattr(facts, field) not in {"", *choices}:
            yield Problem(field, "Choose one of the answers.")
    if facts.gestation and not _is_gestation(facts.gestation):
        yield Problem("gestation", "Write weeks and days, like 9w0d.")


def _is_gestation(text: str) -> bool:
    """Whether it reads as completed weeks, with or without days, not past the longest."""
    found = re.fullmatch(r"([0-9]{1,2})w(?:([0-6])d)?", text)
    return found is not None and 7 * int(found[1]) + int(found[2] or 0) <= LONGEST_DAYS


def _against_due(due: date | None, today: date) -> Iterable[Problem]:
    if due is None:
        return
    if (due - today).days > TERM_DAYS:
        yield Problem("due", "That is more than 40 weeks ahead, so it has not begun: check it.")
    elif (today - due).days > LONG_PAST_DUE_DAYS:
        yield Problem(
            "due",
            f"That makes 40 weeks on {short_day_words(due)}, over {LONG_PAST_DUE_DAYS} days ago: "
            "say how and when it ended, or check the date.",
        )


def _against_end(one: PregnancyDates, today: date) -> Iterable[Problem]:
    if one.ended is None or one.ending is None:
        missing = ("ended", "Say on which day.") if one.ending else ("ending", "Say how it ended.")
        yield Problem(*missing)
    elif one.ended > today:
        yield Problem("ended", "That day has not come yet.")
    elif (today - one.ended).days > LONGEST_AGO_DAYS:
        yield Problem("ended", "That is over 40 years ago: check the year.")
    elif one.due is not None:
        yield from _against_length(one.due, one.ended)


def _against_length(due: date, ended: date) -> Iterable[Problem]:
    begun = _conceived(due)
    if ended < begun:
        yield Problem(
            "ended",
            f"By its dates it began about {short_day_words(begun)}, after that: check both.",
        )
    age = gestational_age(due, ended)
    if age is not None and age.days > LONGEST_DAYS:
        yield Problem("ended", f"By its dates that would be after {age.weeks} weeks: check both.")


def _conceived(due: date) -> date:
    """About when it began in truth; day 0 of the count is two weeks earlier, when it had not."""
    return due - timedelta(days=CONCEPTION_TO_TERM_DAYS)


def _against_others(one: PregnancyDates, others: Sequence[PregnancyDates]) -> Iterable[Problem]:
    for other in others:
        if sentence := _overlap(one, other):
            yield Problem("ended" if one.over else "due", sentence)
            return


def _overlap(one: PregnancyDates, other: PregnancyDates) -> str:
    """Why two cannot both be; empty when they can, or when too little is known to tell."""
    if not one.over and not other.over:
        return "An earlier one has no end recorded: say first how and when that ended."
    first, second = _in_time(one, other)
    if first.ended is None or second.due is None:
        return ""
    begun = _conceived(second.due)
    if begun > first.ended:
        return ""
    return (
        f"The later one would have begun about {short_day_words(begun)}, before the earlier one "
        f"ended on {short_day_words(first.ended)}: check both."
    )


def _in_time(one: PregnancyDates, other: PregnancyDates) -> tuple[PregnancyDates, PregnancyDates]:
    """The one that ended first, then the other; one without an end is the later."""
    return (one, other) if (one.ended or date.max) <= (other.ended or date.max) else (other, one)
