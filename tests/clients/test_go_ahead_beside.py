"""What stands beside the word: until when, limits that outlive their letter, what is not checked.

And two days of which nobody knows what came first. Policy of the practice throughout.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from clients.rules.facts import (
    ClearanceFact,
    ClearanceWord,
    ClientFacts,
    KnownBy,
    PregnancyFact,
    ScreeningFact,
    SignFact,
)
from clients.rules.go_ahead import go_ahead, may_except, strictest
from clients.rules.policy import Policies
from clients.rules.screening import questions
from coach.scheduling.dates import Ending
from coach.scheduling.values import GoAhead, GoAheadWord, Limits

CARRYING = PregnancyFact(due=date(2027, 3, 8))
BORN = PregnancyFact(
    due=date(2026, 6, 1), ended=date(2026, 6, 3), ending=Ending.BIRTH, birth_mode="vaginal"
)
ALL_ALONG = date(2026, 1, 1)
NO_IMPACT = Limits(no_impact=True)


def november(day: int) -> date:
    """A day of November 2026."""
    return date(2026, 11, day)


def letter(day: int, pk: int = 1, **values: Any) -> ClearanceFact:
    """A letter of a day in November, until the birth unless it says until when."""
    held = {"until_birth": "until" not in values, "examined": "yes"}
    return ClearanceFact(said_on=november(day), pk=pk, **{**held, **values})


def against(day: int, pk: int, until: int) -> ClearanceFact:
    return letter(day, pk, word=ClearanceWord.AGAINST, until=november(until))


def told(
    *clearances: ClearanceFact,
    pregnancy: PregnancyFact = CARRYING,
    signs: tuple[SignFact, ...] = (),
) -> ClientFacts:
    """Her facts, every health question answered no on 1 November."""
    phase = "after" if pregnancy.ended else "pregnant"
    return ClientFacts(
        pregnancies=(pregnancy,),
        clearances=clearances,
        signs=signs,
        screenings=(ScreeningFact(november(1), phase=phase),),
    )


def kinds(found: GoAhead) -> set[str]:
    return {one.kind for one in found.reasons}


def test_after_a_birth_no_letter_holds_until_the_birth() -> None:
    """Not even one that never runs out, where the practice does not check how old letters are."""
    off = Policies.of([(ALL_ALONG, {"off": ["policy-end"]})])
    said = letter(2, until_birth=False)
    after = go_ahead(told(said, pregnancy=BORN), november(20), off)
    assert (after.word, after.until_end, after.until) == (
        GoAheadWord.YES, False, date(2027, 1, 24),
    )  # fmt: skip
    held = go_ahead(told(letter(2)), november(20), off)
    assert (held.word, held.until_end) == (GoAheadWord.YES, True)


@pytest.mark.parametrize(
    "given",
    [
        pytest.param(told(letter(2, 1), against(2, 2, until=10)), id="a no of the same day"),
        pytest.param(
            told(
                letter(2, 1),
                letter(3, 2, until=november(10), answers=(5,)),
                signs=(SignFact(5, "blood", november(2)),),
            ),
            id="a sign of the same day, answered by a later letter",
        ),
    ],
)
def test_a_letter_of_the_very_day_of_a_no_or_a_sign_never_counts_again(given: ClientFacts) -> None:
    found = go_ahead(given, november(11))
    assert not found.word.may_train
    assert "letter" not in kinds(found)


def test_a_letter_of_the_day_of_a_sign_that_names_it_counts() -> None:
    given = told(letter(2, answers=(5,)), signs=(SignFact(5, "blood", november(2)),))
    assert go_ahead(given, november(11)).word is GoAheadWord.YES


def test_a_clinician_s_no_that_has_ended_is_not_made_good_by_answers() -> None:
    suffices = Policies.of([(ALL_ALONG, {"screening_suffices": True})])
    on = november(20)
    assert go_ahead(told(), on, suffices).word is GoAheadWord.SCREENED
    assert go_ahead(told(against(2, 1, until=10)), on, suffices).word is GoAheadWord.WAITING
    assert go_ahead(told(), on).word is GoAheadWord.WAITING


@pytest.mark.parametrize(
    ("first", "until"),
    [
        pytest.param({"until_birth": False}, "until a letter takes its place", id="run out"),
        pytest.param({"known_by": KnownBy.CLIENT}, "until a letter takes its place", id="hers"),
        pytest.param(
            {"until": date(2027, 2, 20), "known_by": KnownBy.CLIENT}, "until 20 February 2027",
            id="with an end of its own",
        ),
    ],
)  # fmt: skip
def test_a_limit_that_outlives_its_letter_says_whose_it_is(
    first: dict[str, Any], until: str
) -> None:
    limiting = letter(2, 1, word=ClearanceWord.LIMITS, limits=NO_IMPACT, **first)
    screened_again = ScreeningFact(date(2027, 1, 20))
    given = told(limiting, letter(20, 2))
    given = replace(given, screenings=(*given.screenings, screened_again))
    found = go_ahead(given, date(2027, 2, 10))
    reasons = [one.reason for one in found.reasons if one.kind == "limit"]
    assert (found.word, found.limits) == (GoAheadWord.YES_WITH_LIMITS, NO_IMPACT)
    assert [(f"still limits, {until}: no impact." in one) for one in reasons] == [True]
    replacing = replace(given, clearances=(limiting, letter(20, 2, replaces=(1,))))
    found = go_ahead(replacing, date(2027, 2, 10))
    assert (found.word, "limit" in kinds(found)) == (GoAheadWord.YES, False)


def test_on_two_days_at_once_the_stricter_word_and_all_of_the_limits() -> None:
    one = GoAhead(november(1), GoAheadWord.YES, until=november(20), unchecked=("a",))
    two = GoAhead(november(2), GoAheadWord.YES_WITH_LIMITS, limits=NO_IMPACT, unchecked=("a", "b"))
    three = GoAhead(november(2), GoAheadWord.RUN_OUT, limits=Limits(not_lying_flat=True))
    found = strictest(one, two)
    assert (found.word, found.limits, found.until, found.unchecked) == (
        GoAheadWord.YES_WITH_LIMITS, NO_IMPACT, november(20), ("a", "b"),
    )  # fmt: skip
    assert strictest(two, three) == replace(
        three, limits=Limits(no_impact=True, not_lying_flat=True), unchecked=("a", "b")
    )


def test_an_exception_is_for_stale_paper_only() -> None:
    stale = go_ahead(told(letter(2, until=november(10))), november(20))
    assert (stale.word, may_except(stale)) == (GoAheadWord.RUN_OUT, True)
    sign = SignFact(5, "blood", november(12))
    held = go_ahead(told(letter(2, until=november(10)), signs=(sign,)), november(20))
    assert (held.word, may_except(held)) == (GoAheadWord.ON_HOLD, False)
    assert not may_except(go_ahead(told(letter(2)), november(20)))


def test_quiet_words_ask_no_less() -> None:
    assert "waters broken" in questions()["membranes"].said(quiet=True)
    assert "waters broken" in questions()["membranes"].named(quiet=True)
