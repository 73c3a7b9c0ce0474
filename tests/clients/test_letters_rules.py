"""How far a letter has come on a day, and what cannot be recorded of it."""

from __future__ import annotations

from dataclasses import fields
from datetime import date, timedelta

import pytest

from clients.rules.facts import ConditionFact, SignFact
from clients.rules.letter_words import named_condition, named_sign, typed_problems
from clients.rules.letters import (
    CHASE_AFTER_DAYS,
    HERSELF,
    NO_CONSENT,
    TITLES,
    WAYS,
    LetterFact,
    State,
    answer_problems,
    chase_problems,
    sent_problems,
)
from clients.rules.words import says_too_much
from coach.scheduling.values import Limits
from tests.clients.letters import paper

MADE, SENT, TODAY = date(2026, 11, 20), date(2026, 11, 21), date(2026, 12, 3)


def fact(**values: object) -> LetterFact:
    return LetterFact(**{"kind": "clearance", "made_on": MADE, "sent_on": SENT, **values})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("days", "state"), [(0, State.SENT), (6, State.SENT), (7, State.LATE), (40, State.LATE)]
)
def test_an_answer_is_asked_for_again_after_a_week(days: int, state: State) -> None:
    """Seven days: common practice, no source."""
    assert CHASE_AFTER_DAYS == 7
    assert fact().state(SENT + timedelta(days=days)) is state


def test_each_asking_starts_a_further_week() -> None:
    asked = fact(chased=(date(2026, 11, 28), date(2026, 12, 1)))
    assert asked.chase_from == date(2026, 12, 8)
    assert asked.state(date(2026, 12, 7)) is State.SENT
    assert asked.state(date(2026, 12, 8)) is State.LATE


def test_what_is_not_sent_or_is_answered_is_not_chased() -> None:
    for one, state in (
        (fact(sent_on=None), State.MADE),
        (fact(answered_on=date(2026, 11, 22)), State.ANSWERED),
        (fact(sent_on=None, answered_on=date(2026, 11, 22)), State.ANSWERED),
    ):
        assert (one.chase_from, one.state(TODAY)) == (None, state)


@pytest.mark.parametrize(
    ("changed", "field", "sentence"),
    [
        ({"on": date(2026, 12, 4)}, "sent_on", "That day has not come yet."),
        ({"on": date(2026, 11, 19)}, "sent_on", "That is before the day it was made."),
        ({"how": "pigeon"}, "sent_how", "Say how it went."),
        ({"consented": False}, "sent_how", NO_CONSENT),
    ],
)
def test_what_speaks_against_having_sent_it(
    changed: dict[str, object], field: str, sentence: str
) -> None:
    given = {"on": MADE, "how": "post", "consented": True, "today": TODAY, **changed}
    found = sent_problems(fact(sent_on=None), **given)  # type: ignore[arg-type]
    assert [(one.field, one.sentence) for one in found] == [(field, sentence)]


def test_without_consent_she_may_hand_it_over_herself() -> None:
    made = fact(sent_on=None)
    assert sent_problems(made, on=TODAY, how=HERSELF, consented=False, today=TODAY) == []
    assert sent_problems(made, on=TODAY, how="email", consented=True, today=TODAY) == []
    assert set(WAYS) - {HERSELF} == {"post", "email", "portal", "hand"}


def test_it_is_sent_once() -> None:
    (found,) = sent_problems(fact(), on=TODAY, how="post", consented=True, today=TODAY)
    assert found.sentence == "That it was sent is recorded already."


@pytest.mark.parametrize(
    ("one", "on", "sentence"),
    [
        (fact(sent_on=None), TODAY, "It has not been sent yet."),
        (fact(answered_on=TODAY), TODAY, "It is answered already."),
        (fact(), date(2026, 11, 20), "That is before the day it was sent."),
        (fact(), date(2026, 12, 4), "That day has not come yet."),
        (fact(chased=(TODAY,)), TODAY, "That day is recorded already."),
    ],
)
def test_what_speaks_against_having_asked_again(one: LetterFact, on: date, sentence: str) -> None:
    assert [found.sentence for found in chase_problems(one, on=on, today=TODAY)] == [sentence]


def test_what_speaks_against_an_answer() -> None:
    assert answer_problems(fact(), on=SENT, today=TODAY) == []
    assert answer_problems(fact(sent_on=None), on=MADE, today=TODAY) == []
    for one, on in ((fact(), MADE), (fact(), date(2026, 12, 4)), (fact(answered_on=SENT), TODAY)):
        assert len(answer_problems(one, on=on, today=TODAY)) == 1


def test_no_word_of_the_list_says_too_much() -> None:
    words = [*TITLES.values(), *WAYS.values(), NO_CONSENT, *State]
    assert [one for one in words if says_too_much(one)] == []


def test_typed_words_that_say_too_much_are_told_for_a_quiet_client_alone() -> None:
    typed = {"offers": "For pregnancy and after birth.", "seen": "Dizzy twice."}
    assert typed_problems(typed, quiet=False) == []
    (found,) = typed_problems(typed, quiet=True)
    assert (found.field, says_too_much(found.sentence)) == ("offers", False)


def test_what_is_to_be_answered_has_its_name_and_its_day() -> None:
    sign = SignFact(1, "dizzy", date(2026, 12, 2), text="in the shower")
    assert named_sign(sign, quiet=False) == "Dizzy or faint (in the shower), 2 December 2026"
    low = ConditionFact("condition:1", "praevia", date(2026, 11, 12))
    assert named_condition(low, quiet=False) == "A low placenta, 12 November 2026"
    unsure = ConditionFact("condition:2", "praevia", date(2026, 11, 12), answer="unsure")
    assert named_condition(unsure, quiet=False) == "A low placenta, not sure, 12 November 2026"
    gone = ConditionFact("condition:3", "no-such-code", date(2026, 11, 12))
    assert "not in the list" in named_condition(gone, quiet=True)


def test_every_limit_that_the_coach_can_keep_to_can_be_ticked() -> None:
    """A limit added to the values needs its line on the paper, and a line here."""
    assert {field.name for field in fields(Limits)} == {
        "no_impact", "not_lying_flat", "no_loaded_trunk_flexion", "gentle_recovery_only",
        "lift_at_most_kg", "effort_at_most", "heart_rate_at_most", "others",
    }  # fmt: skip


def test_the_natural_end_is_offered_while_weeks_run_and_more_only_after_an_end() -> None:
    from coach.scheduling.values import Stage

    asked = {stage: paper(stage=stage) for stage in Stage}
    assert {stage for stage, one in asked.items() if one.end_words} == {
        Stage.TRIMESTER_1, Stage.TRIMESTER_2, Stage.TRIMESTER_3, Stage.PAST_DUE,
    }  # fmt: skip
    assert {s for s, one in asked.items() if one.names_more} == {Stage.WEEKS_0_6, Stage.UNKNOWN}
