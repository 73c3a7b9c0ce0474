"""What cannot be true of a screening's answers or of a condition, beside their fields. Pure.

The sentences name no baby, birth or due date: a quiet client's page shows them too.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from datetime import date

from clients.rules.facts import ClearanceFact, ClientFacts
from clients.rules.pregnancies import LONGEST_AGO_DAYS, Problem

ANSWERS = ("yes", "no", "unsure")
WAYS = ("form", "call")
ANYTHING = "medical"  # the question for all that has none of its own


def screening_problems(
    answers: Mapping[str, str], *, asked: Collection[str], answered_on: date, how: str, today: date
) -> list[Problem]:
    """Everything that speaks against keeping these answers; each beside its question's code.

    An answer that is missing is no problem: the screening is then not complete. `today` is the
    latest date it is where she or the coach is.
    """
    found = [*_against_day("answered_on", answered_on, today)]
    if how not in WAYS:
        found.append(Problem("how", "Say how it was answered."))
    if not answers:
        found.append(Problem("answers", "Not one question has its answer."))
    for code, answer in answers.items():
        if code not in asked:
            found.append(Problem("answers", "That is none of the questions."))
        elif answer not in ANSWERS:
            found.append(Problem(code, "Choose one of the answers."))
    return found


def condition_problems(
    code: str, *, known: Collection[str], named_on: date, clinician: str, text: str, today: date
) -> list[Problem]:
    """Everything that speaks against keeping a condition that a clinician named."""
    found = [*_against_day("named_on", named_on, today)]
    if code not in known:
        found.append(Problem("code", "Choose one of the list."))
    elif code == ANYTHING and not text:
        found.append(Problem("text", "Say what it is."))
    if not clinician:
        found.append(Problem("clinician", "Write who named it."))
    return found


def over_problems(
    *, named_on: date, over_on: date | None, new: date, said_by: str, today: date
) -> list[Problem]:
    """Everything that speaks against saying that a condition is over since `new`."""
    if over_on:
        return [Problem("over_on", "That it is over is recorded already.")]
    found = [*_against_day("over_on", new, today)]
    if new < named_on:
        found.append(Problem("over_on", "That is before the day it was named."))
    if not said_by:
        found.append(Problem("said_by", "Write which clinician said so."))
    return found


def naming_problems(facts: ClearanceFact, known: ClientFacts) -> list[Problem]:
    """Everything that speaks against the conditions a clearance answers and what it replaces."""
    return [*_against_named(facts, known), *_against_replaced(facts, known)]


def _against_named(facts: ClearanceFact, known: ClientFacts) -> Iterator[Problem]:
    if not facts.answers_conditions:
        return
    named = {one.key: one.named_on for one in known.conditions}
    babies = {babies_key(one.pk) for one in known.pregnancies if one.pk is not None}
    if not facts.lifts:
        yield Problem("answers_conditions", "Only a clinician’s own go-ahead answers this.")
    elif not set(facts.answers_conditions) <= set(named) | babies:
        yield Problem("answers_conditions", "That is none of what is recorded of her.")
    elif any(named.get(key, date.min) > facts.said_on for key in facts.answers_conditions):
        yield Problem(
            "answers_conditions", "It was said before that was named, so it cannot answer it."
        )


def _against_replaced(facts: ClearanceFact, known: ClientFacts) -> Iterator[Problem]:
    if not facts.replaces:
        return
    hers = {one.pk: one for one in known.clearances if one.withdrawn_on is None}
    if not facts.known_by.from_clinician:
        yield Problem("replaces", "Only what comes from a clinician takes the place of another.")
    elif not set(facts.replaces) <= set(hers):
        yield Problem("replaces", "That is none of what clinicians said of her.")
    elif any(hers[pk].said_on > facts.said_on for pk in facts.replaces):
        yield Problem("replaces", "It was said before that one, so it cannot take its place.")


def babies_key(pregnancy: int) -> str:
    """What a clearance answers the number of babies expected by: neutral, it stands in pages."""
    return f"number:{pregnancy}"


def _against_day(field: str, day: date, today: date) -> Iterator[Problem]:
    if day > today:
        yield Problem(field, "That day has not come yet.")
    elif (today - day).days > LONGEST_AGO_DAYS:
        yield Problem(field, "That is over 40 years ago: check the year.")
