"""The days on which a go-ahead may become another than the day before's. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from functools import cache

from clients.rules.facts import (
    ClearanceFact,
    ClientFacts,
    ConditionFact,
    PregnancyFact,
    ScreeningFact,
    SignFact,
)
from clients.rules.policy import Policies, Policy
from clients.rules.screening import questions
from coach.scheduling.dates import LONGEST_DAYS, TERM_DAYS
from coach.scheduling.dating import CONCEPTION_TO_TERM_DAYS

_WEEK = 7


def turns(facts: ClientFacts, policies: Policies) -> set[date]:
    """Every day on which the word may differ from the day before's, and perhaps some more."""
    known = policies.versions
    found = set(policies.begins)
    for sign in facts.signs:
        found |= set(_days(_of_sign(sign)))
    for clearance in facts.clearances:
        found |= set(_of_clearance(clearance, known))
    for condition in facts.conditions:
        found |= set(_days(_of_condition(condition)))
    for screening in facts.screenings:
        found |= set(_of_screening(screening, known))
    for pregnancy in facts.pregnancies:
        for version in pregnancy.versions:
            found |= set(_of_dates(version, known))
    return found


def _days(found: Iterable[date | None]) -> Iterator[date]:
    return (day for day in found if day)


def _of_sign(one: SignFact) -> tuple[date | None, ...]:
    return one.happened_on, one.known_on, one.withdrawn_on


def _of_condition(one: ConditionFact) -> tuple[date | None, ...]:
    return one.named_on, one.known_on, one.over_on, one.over_known_on


def _of_clearance(one: ClearanceFact, policies: Iterable[Policy]) -> Iterator[date]:
    yield from _days((one.said_on, one.known_on, one.withdrawn_on))
    yield from _later(one.until, 1)
    for policy in policies:
        yield from _later(one.said_on, _WEEK * policy.letter_counts_weeks + 1)


def _of_screening(one: ScreeningFact, policies: Iterable[Policy]) -> Iterator[date]:
    yield from _days((one.answered_on, one.known_on))
    for policy in policies:
        yield from _later(one.answered_on, _WEEK * policy.screening_counts_weeks + 1)


def _of_dates(one: PregnancyFact, policies: Iterable[Policy]) -> Iterator[date]:
    """When it became known, begins, reaches its weeks and its due date, and what follows its end.

    LONGEST_DAYS: as long as a pregnancy can last.
    """
    yield from _days((one.known_on,))
    begin = (-TERM_DAYS, -CONCEPTION_TO_TERM_DAYS, 1, LONGEST_DAYS - TERM_DAYS + 1)
    for shift in (*begin, *_weeks_that_count()):
        yield from _later(one.due, shift)
    for shift in (-LONGEST_DAYS, 0, 1):
        yield from _later(one.ended, shift)
    for policy in policies:
        yield from _later(one.due, policy.past_due_days - TERM_DAYS)
        for weeks in _after_end(policy):
            yield from _later(one.ended, _WEEK * weeks)


@cache
def _weeks_that_count() -> frozenset[int]:
    """Days from the due date to the weeks at which a condition begins to stop or hold."""
    return frozenset(
        listed.begins.days - TERM_DAYS
        for question in questions().values()
        for listed in question.by_list
        if listed.begins
    )


def _after_end(policy: Policy) -> tuple[int, ...]:
    return (
        policy.gentle_weeks,
        policy.caesarean_impact_weeks,
        policy.caesarean_trunk_weeks,
        policy.caesarean_lifting_weeks,
        policy.letter_wanted_weeks,
    )


def _later(day: date | None, shift: int) -> Iterator[date]:
    """The day so many days on; nothing for no day, or where the calendar ends before it."""
    n = 0 if day is None else day.toordinal() + shift
    if 1 < n <= date.max.toordinal():
        yield date.fromordinal(n)
