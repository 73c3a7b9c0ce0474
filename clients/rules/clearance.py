"""What cannot be true of a clearance or of a warning sign, in sentences beside their fields. Pure.

The sentences name no baby, birth or due date: a quiet client's page shows them too.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from clients.rules.facts import ClearanceFact, ClearanceWord, ClientFacts, SignFact
from clients.rules.pregnancies import LONGEST_AGO_DAYS, Problem
from clients.rules.warning_signs import OTHER, warning_signs
from coach.scheduling.values import Limits

# Common practice, no source: it catches a mistyped year and refuses nothing likely.
LONGEST_LETTER_DAYS = 3 * 366
_NOT_YET = "That day has not come yet."
_LONG_AGO = "That is over 40 years ago: check the year."


def clearance_problems(facts: ClearanceFact, known: ClientFacts, *, today: date) -> list[Problem]:
    """Everything that speaks against keeping this beside what is known of her.

    `today` is the latest date it is where she or the coach is.
    """
    return [
        *_against_day("said_on", facts.said_on, today),
        *_against_word(facts),
        *_against_end(facts, known),
        *_against_answers(facts, known),
    ]


def sign_problems(sign: SignFact, *, today: date) -> list[Problem]:
    """Everything that speaks against keeping a warning sign."""
    found = [*_against_day("happened_on", sign.happened_on, today)]
    if sign.code not in warning_signs():
        found.append(Problem("code", "Choose one of the signs."))
    elif sign.code == OTHER and not sign.text:
        found.append(Problem("text", "Say what it is."))
    return found


def _against_day(field: str, day: date, today: date) -> Iterator[Problem]:
    if day > today:
        yield Problem(field, _NOT_YET)
    elif (today - day).days > LONGEST_AGO_DAYS:
        yield Problem(field, _LONG_AGO)


def _against_word(facts: ClearanceFact) -> Iterator[Problem]:
    limited = facts.limits != Limits()
    if facts.word is ClearanceWord.LIMITS and not limited:
        yield Problem("word", "Say which limits.")
    elif facts.word is not ClearanceWord.LIMITS and limited:
        yield Problem("word", "There are limits: then it is a go-ahead with limits.")
    if not (facts.clinician or facts.clinician_kind):
        yield Problem("clinician", "Write whose word it is.")


def _against_end(facts: ClearanceFact, known: ClientFacts) -> Iterator[Problem]:
    if facts.until and facts.until_birth:
        yield Problem("until", "It has one end: a day, or the end of these weeks.")
    elif facts.until and facts.until < facts.said_on:
        yield Problem("until", "That is before the day it was said.")
    elif facts.until and (facts.until - facts.said_on).days > LONGEST_LETTER_DAYS:
        yield Problem("until", "That is over 3 years after it was said: check the year.")
    if facts.until_birth and not any(_ran(one.ended, facts.said_on) for one in known.pregnancies):
        yield Problem("until_kind", "Nothing in her dates was running on the day it was said.")


def _ran(ended: date | None, on: date) -> bool:
    return ended is None or ended >= on


def _against_answers(facts: ClearanceFact, known: ClientFacts) -> Iterator[Problem]:
    if not facts.answers:
        return
    if not facts.lifts:
        yield Problem("answers", "Only a clinician’s own go-ahead answers a warning sign.")
        return
    hers = {sign.pk: sign for sign in known.signs}
    if not set(facts.answers) <= set(hers):
        yield Problem("answers", "That is none of her warning signs.")
    elif any(hers[pk].happened_on > facts.said_on for pk in facts.answers):
        yield Problem("answers", "It was said before that sign happened, so it cannot answer it.")
