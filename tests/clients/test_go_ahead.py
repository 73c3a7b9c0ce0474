"""The go-ahead by scenario rows: given these facts, on this day, then this word.

That an ending asks for a new letter, the 12 weeks and who has to say so: common practice, no
source. A pregnancy is 280 days to its due date, 266 from conception (ACOG CO 700).
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from clients.rules.facts import (
    ClearanceFact,
    ClearanceWord,
    ClientFacts,
    KnownBy,
    PregnancyFact,
    SignFact,
)
from clients.rules.go_ahead import go_ahead, letter_until, spans
from coach.scheduling.dates import Ending
from coach.scheduling.values import GoAheadWord, Limits, Severity
from tests.clients.told import asked_often

HOLD, WAITING = GoAheadWord.ON_HOLD, GoAheadWord.WAITING
RUN_OUT, ON_FILE = GoAheadWord.RUN_OUT, GoAheadWord.YES
LIMITED = GoAheadWord.YES_WITH_LIMITS

TODAY = date(2026, 12, 3)


def d(days: int) -> date:
    """So many days from today."""
    return TODAY + timedelta(days=days)


def letter(days: int, **values: Any) -> ClearanceFact:
    """Said so many days from today, after an examination unless told otherwise."""
    return ClearanceFact(said_on=d(days), **{"examined": "yes", **values})


def against(days: int, **values: Any) -> ClearanceFact:
    return letter(days, word=ClearanceWord.AGAINST, **values)


def sign(pk: int, days: int, known: int | None = None, code: str = "dizzy") -> SignFact:
    return SignFact(pk, code, d(days), None if known is None else d(known))


def facts(*given: PregnancyFact | ClearanceFact | SignFact, quiet: bool = False) -> ClientFacts:
    """Her facts, in any order; the health questions are asked and answered all along."""
    return ClientFacts(
        pregnancies=tuple(one for one in given if isinstance(one, PregnancyFact)),
        clearances=tuple(one for one in given if isinstance(one, ClearanceFact)),
        signs=tuple(one for one in given if isinstance(one, SignFact)),
        screenings=asked_often(),
        quiet=quiet,
    )


RUNNING = PregnancyFact(due=d(80))
PAST = PregnancyFact(due=d(-14))
ALMOST = PregnancyFact(due=d(-13))
BORN = PregnancyFact(due=d(-40), ended=d(-45), ending=Ending.BIRTH, birth_mode="vaginal")
LOST = PregnancyFact(due=d(100), ended=d(-30), ending=Ending.LOSS)
LATE = PregnancyFact(due=d(-20)).ended_by(Ending.BIRTH, d(-19), known_on=d(-10))
SPOKEN, HERS = {"known_by": KnownBy.SPOKEN}, {"known_by": KnownBy.CLIENT}

ROWS = [
    # given                                                    on   then     why
    ("nothing", [], 0, WAITING, {"unknown", "no-letter"}),
    ("no letter", [RUNNING], 0, WAITING, {"no-letter"}),
    ("a letter", [RUNNING, letter(-10)], 0, ON_FILE, {"letter"}),
    ("a letter, the day before", [RUNNING, letter(-10)], -11, WAITING, {"no-letter"}),
    ("seen later", [RUNNING, letter(-10, known_on=d(1))], 0, WAITING, {"no-letter"}),
    ("day 84", [RUNNING, letter(-84)], 0, ON_FILE, {"letter"}),
    ("day 85", [RUNNING, letter(-85)], 0, RUN_OUT, {"policy-end"}),
    ("its own last day", [RUNNING, letter(-9, until=d(0))], 0, ON_FILE, {"letter"}),
    ("past its own last day", [RUNNING, letter(-9, until=d(-1))], 0, RUN_OUT, {"own-end"}),
    ("her word", [RUNNING, letter(-9, **HERS)], 0, WAITING, {"her-word"}),
    ("her word, old", [RUNNING, letter(-99, **HERS)], 0, WAITING, {"her-word"}),
    ("spoken to", [RUNNING, letter(-9, **SPOKEN)], 0, ON_FILE, {"letter"}),
    ("her word over a run-out letter", [RUNNING, letter(-90), letter(-2, **HERS)], 0, WAITING,
     {"her-word", "policy-end"}),
    ("her old word, a run-out letter", [RUNNING, letter(-90), letter(-95, **HERS)], 0, RUN_OUT,
     {"policy-end"}),
    ("on the due date", [PAST, letter(-19)], -14, ON_FILE, {"letter"}),
    ("41w6d", [ALMOST, letter(-9)], 0, ON_FILE, {"letter"}),
    ("42w0d", [PAST, letter(-9)], 0, WAITING, {"past-forty-weeks", "letter"}),
    ("three weeks past, letter on file", [PAST, letter(2)], 7, WAITING,
     {"past-forty-weeks", "letter"}),
    ("until the birth, week 40", [RUNNING, letter(-60, until_birth=True)], 80, ON_FILE,
     {"letter"}),
    ("until the birth, two weeks past it", [RUNNING, letter(-60, until_birth=True)], 94, WAITING,
     {"past-forty-weeks", "letter"}),
    ("until the birth, nothing running", [BORN, letter(-90), letter(-40, until_birth=True)], 45,
     RUN_OUT, {"policy-end"}),
    ("before the birth", [BORN, letter(-46, until=d(99))], 0, WAITING, {"before-end"}),
    ("the birth’s day", [BORN, letter(-45)], 0, WAITING, {"before-end"}),
    ("the day after", [BORN, letter(-44)], 0, ON_FILE, {"letter"}),
    ("a loss, letter from before", [LOST, letter(-50, until=d(99))], 0, WAITING, {"before-end"}),
    ("a loss, letter since", [LOST, letter(-5)], 0, LIMITED, {"letter"}),
    ("birth not known yet", [LATE, letter(-30)], -11, ON_FILE, {"letter"}),
    ("birth known", [LATE, letter(-30)], -10, WAITING, {"before-end"}),
    ("letter from before this pregnancy",
     [BORN, PregnancyFact(due=d(266 + 3)), letter(-1, until=d(300))], 20, WAITING,
     {"before-start"}),
    ("letter of the day of conception",
     [BORN, PregnancyFact(due=d(266)), letter(0, until=d(300))], 20, ON_FILE,
     {"letter"}),
    ("no due date", [PregnancyFact(), letter(-9)], 0, WAITING,
     {"unknown", "letter"}),
    ("over, day not known", [PregnancyFact(due=d(-30), ending=Ending.BIRTH), letter(-9)], 0,
     WAITING, {"unknown", "letter"}),
    ("dates not known that day", [replace(RUNNING, known_on=d(1)), letter(-9)], 0, WAITING,
     {"unknown", "letter"}),
    ("a sign", [RUNNING, letter(-9), sign(1, 0)], 0, HOLD, {"sign", "overtaken"}),
    ("a sign known tomorrow", [RUNNING, letter(-9), sign(1, -3, 1)], 0, ON_FILE,
     {"letter"}),
    ("a sign answered", [RUNNING, sign(1, -5), letter(-1, answers=(1,))], 0, ON_FILE,
     {"letter"}),
    ("a later letter without its name", [RUNNING, sign(1, -5), letter(-1)], 0, HOLD,
     {"sign", "letter"}),
    ("two signs, one answered", [RUNNING, sign(1, -5), sign(2, -4), letter(-1, answers=(1,))], 0,
     HOLD, {"sign", "letter"}),
    ("answered by her word", [RUNNING, letter(-9), sign(1, -5), letter(-1, answers=(1,), **HERS)],
     0, HOLD, {"sign", "her-word"}),
    ("answered before it happened", [RUNNING, sign(1, -5), letter(-6, answers=(1,))], 0, HOLD,
     {"sign", "overtaken"}),
    ("answered, then run out", [RUNNING, sign(1, -95), letter(-90, answers=(1,))], 0, RUN_OUT,
     {"policy-end"}),
    ("answered before the birth", [BORN, sign(1, -60), letter(-50, answers=(1,))], 0, WAITING,
     {"before-end"}),
    ("a sign of before the birth", [BORN, sign(1, -60), letter(-5)], 0, HOLD,
     {"sign", "letter"}),
    ("the answer withdrawn",
     [RUNNING, letter(-9), sign(1, -5), letter(-1, answers=(1,), withdrawn_on=d(0))], 0, HOLD,
     {"sign", "overtaken"}),
    ("against", [RUNNING, letter(-9), against(-2)], 0, HOLD, {"against", "overtaken"}),
    ("against, by her word", [RUNNING, letter(-9), against(-2, **HERS)], 0, HOLD,
     {"against", "overtaken"}),
    ("against long ago, no end", [RUNNING, letter(-150, until_birth=True), against(-120)], 0, HOLD,
     {"against", "overtaken"}),
    ("against, past its last day", [RUNNING, letter(-9), against(-5, until=d(-1))], 0, WAITING,
     {"overtaken"}),
    ("against, on its last day", [RUNNING, letter(-9), against(-5, until=d(0))], 0, HOLD,
     {"against", "overtaken"}),
    ("against and a letter of one day", [RUNNING, against(-5), letter(-5)], 0, HOLD,
     {"against", "overtaken"}),
    ("against, then a letter", [RUNNING, against(-5), letter(-1)], 0, ON_FILE,
     {"letter"}),
    ("against, then her word", [RUNNING, against(-5), letter(-1, **HERS)], 0, HOLD,
     {"against", "her-word"}),
    ("against before the birth", [BORN, against(-50)], 0, WAITING, {"no-letter"}),
    ("an older letter after the answer to a no has run out",
     [RUNNING, letter(-60, until_birth=True), against(-50), letter(-40, until=d(-1))], 0, RUN_OUT,
     {"own-end"}),
    ("an older letter after the answer to a sign has run out",
     [RUNNING, letter(-60, until_birth=True), sign(1, -50),
      letter(-40, until=d(-1), answers=(1,))], 0, RUN_OUT, {"own-end"}),
    ("a letter of the sign’s own day", [RUNNING, sign(1, -5), letter(-5, answers=(1,))], 0, ON_FILE,
     {"letter"}),
    ("withdrawn", [RUNNING, letter(-9, withdrawn_on=d(0))], 0, WAITING, {"no-letter"}),
    ("before it was withdrawn", [RUNNING, letter(-9, withdrawn_on=d(1))], 0, ON_FILE,
     {"letter"}),
]  # fmt: skip


# Told beside every word, and never in the way.
BESIDE = {"screening", "gentle", "caesarean", "noted"}


@pytest.mark.parametrize(
    ("given", "on", "word", "why"), [row[1:] for row in ROWS], ids=[row[0] for row in ROWS]
)
def test_the_word_and_every_reason(
    given: list[Any], on: int, word: GoAheadWord, why: set[str]
) -> None:
    found = go_ahead(facts(*given), d(on))
    kinds = {one.kind for one in found.reasons} - BESIDE
    assert (found.word, kinds) == (word, why)
    assert found.mend
    assert found.word.may_train == (word in {ON_FILE, LIMITED})


def test_the_strictest_reason_stands_first() -> None:
    found = go_ahead(facts(PAST, letter(-9), sign(1, 0)), TODAY)
    assert [one.kind for one in found.reasons] == [
        "sign", "past-forty-weeks", "overtaken", "screening",
    ]  # fmt: skip
    assert [one.severity for one in found.reasons] == [
        Severity.STOP, Severity.WAIT, Severity.WAIT, Severity.NOTE,
    ]  # fmt: skip


def test_limits_of_everything_in_force_add_up_and_her_own_word_adds_too() -> None:
    given = [
        letter(-9, limits=Limits(no_impact=True, lift_at_most_kg=10)),
        letter(-5, limits=Limits(lift_at_most_kg=6), **HERS),
        letter(-90, limits=Limits(not_lying_flat=True)),
        letter(-90, limits=Limits(gentle_recovery_only=True), until=d(-1)),
        letter(-3),
    ]
    found = go_ahead(facts(RUNNING, *given), TODAY)
    # Over the policy's weeks a letter is no letter any more; what it limited stays limited.
    assert found.limits == Limits(no_impact=True, not_lying_flat=True, lift_at_most_kg=6)


def test_sentences_name_who_said_it_and_when_and_what_would_mend_it() -> None:
    said = letter(-13, clinician="Imelda Roe", clinician_kind="midwife", examined="yes")
    found = go_ahead(facts(RUNNING, said), TODAY)
    letters = [one for one in found.reasons if one.kind == "letter"]
    assert letters[0].reason == (
        "Letter of 20 November 2026 from Imelda Roe (midwife): on file, until 12 February 2027, "
        "after an examination."
    )
    assert "A new letter is wanted after 12 February 2027." in found.mend
    assert letters[0].source == "what the clinician said"


def test_until_the_birth_is_told_as_that_and_never_as_the_due_date() -> None:
    found = go_ahead(facts(RUNNING, letter(-13, until_birth=True)), TODAY)
    told = " ".join((found.mend, *(one.reason for one in found.reasons)))
    assert (found.until_end, "until the birth" in told) == (True, True)
    assert found.until == d(-3) + timedelta(weeks=12)  # that of Monday's answers
    assert RUNNING.due not in {found.until, found.since}


def test_since_and_until_are_those_of_the_word() -> None:
    given = facts(RUNNING, sign(1, -20), letter(-10, answers=(1,)), letter(-8, until=d(200)))
    on_file, hold = go_ahead(given, TODAY), go_ahead(given, d(-15))
    assert (on_file.word, on_file.since, on_file.until) == (ON_FILE, d(-10), d(81))
    assert (hold.word, hold.since, hold.until) == (HOLD, d(-20), None)
    assert go_ahead(facts(), TODAY).since is None


def test_a_letter_lasts_as_long_as_the_longest_in_force() -> None:
    assert letter_until(facts(RUNNING, letter(-9), letter(-20, until=d(5))), TODAY) == d(75)
    assert letter_until(facts(RUNNING, letter(-9), letter(-20, until_birth=True)), TODAY) is None
    assert letter_until(facts(RUNNING, letter(-9, **HERS)), TODAY) is None


def test_learned_today_of_something_last_week_changes_today_and_not_last_week() -> None:
    before = facts(RUNNING, letter(-20))
    after = facts(RUNNING, letter(-20), sign(1, -7, 0))
    assert [go_ahead(after, d(n)).word for n in (-8, -7, -1, 0)] == [ON_FILE] * 3 + [HOLD]
    assert go_ahead(after, d(-1)) == go_ahead(before, d(-1))


def test_a_due_date_changed_today_leaves_yesterday_as_it_was() -> None:
    late = PregnancyFact(due=d(5), known_on=d(0), before=PregnancyFact(due=d(-16)))
    assert [(one.first, one.last, one.word) for one in spans(facts(late, letter(-9)), d(-9))] == [
        (d(-9), d(-3), ON_FILE),
        (d(-2), d(-1), WAITING),
        (d(0), d(18), ON_FILE),
        (d(19), None, WAITING),
    ]


def test_spans_refuse_a_last_day_before_the_first() -> None:
    with pytest.raises(ValueError, match="before the first"):
        spans(facts(), d(0), d(-1))


@pytest.mark.parametrize("until", [date.max, None])
def test_the_calendar_s_end_is_no_trouble(until: date | None) -> None:
    given = facts(RUNNING, ClearanceFact(said_on=d(-9), until=until))
    assert go_ahead(given, TODAY).word is ON_FILE
