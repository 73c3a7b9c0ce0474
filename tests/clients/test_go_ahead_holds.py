"""What holds her, as stories: warning signs, a clinician's no, several reasons at once, quiet.

That a sign puts on hold until a clinician answers it by name, and that the strictest word
wins, are policies of a practice. Signs: those of ACOG Committee Opinion 804 (2020) and of
the CDC's list of urgent maternal warning signs; day 365 after a birth still counts there.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from itertools import pairwise

import pytest

from clients.rules.facts import SignFact
from clients.rules.go_ahead import go_ahead, spans, word_on
from coach.scheduling.values import GoAheadWord
from tests.clients.told import (
    ON_FILE,
    Row,
    against,
    born,
    carrying,
    faults,
    her_word,
    letter,
    lost,
    not_dated,
    on,
    quiet,
    row,
    sign,
    spoken,
    withdrawn,
)

WAITING = GoAheadWord.WAITING
ON_HOLD, RUN_OUT = GoAheadWord.ON_HOLD, GoAheadWord.RUN_OUT

DUE = carrying("2026-10-08")
BIRTH = born("2026-03-10", due="2026-03-17")
LOSS = lost("2026-05-14", due="2026-10-08")
BLEEDING = sign("Monday’s bleeding", "2026-05-04")
DIZZY = sign("Tuesday’s dizziness", "2026-05-05")
AGAIN = sign("Tuesday’s bleeding", "2026-05-05")
MONDAYS, TUESDAYS = ["Monday’s bleeding"], ["Tuesday’s dizziness"]
APRIL = letter("2026-04-13")
MARCH_TO_YEAR_END = letter("2026-03-02", until="2026-12-31")

SIGNS = [
    row("a sign, unanswered", [DUE, APRIL, BLEEDING], "2026-05-04", ON_HOLD),
    row("the day before it", [DUE, APRIL, BLEEDING], "2026-05-03", ON_FILE),
    row("a year later, still unanswered", [DUE, APRIL, BLEEDING], "2027-05-04", ON_HOLD),
    row(
        "a later letter that names no sign",
        [DUE, BLEEDING, letter("2026-05-06")],
        "2026-05-06",
        ON_HOLD,
    ),
    row(
        "a letter that answers it",
        [DUE, BLEEDING, letter("2026-05-06", answers=MONDAYS)],
        "2026-05-06",
        ON_FILE,
    ),
    row(
        "signs on Monday and Tuesday, Monday’s answered",
        [DUE, BLEEDING, DIZZY, letter("2026-05-06", answers=MONDAYS)],
        "2026-05-06",
        ON_HOLD,
    ),
    row(
        "the same sign on both days, Monday’s answered",
        [DUE, BLEEDING, AGAIN, letter("2026-05-06", answers=MONDAYS)],
        "2026-05-06",
        ON_HOLD,
    ),
    row(
        "both signs answered",
        [DUE, BLEEDING, DIZZY, letter("2026-05-06", answers=MONDAYS + TUESDAYS)],
        "2026-05-06",
        ON_FILE,
    ),
    row(
        "each answered by another clinician",
        [
            DUE,
            BLEEDING,
            DIZZY,
            letter("2026-05-06", answers=MONDAYS),
            spoken("2026-05-07", answers=TUESDAYS),
        ],
        "2026-05-07",
        ON_FILE,
    ),
    row(
        "answered on the 6th, seen on the 8th: the 7th",
        [DUE, APRIL, BLEEDING, letter("2026-05-06", known="2026-05-08", answers=MONDAYS)],
        "2026-05-07",
        ON_HOLD,
    ),
    row(
        "named by a letter from before it happened",
        [DUE, BLEEDING, letter("2026-05-01", until="2026-12-31", answers=MONDAYS)],
        "2026-05-06",
        ON_HOLD,
    ),
    row(
        "answered by her own word",
        [DUE, APRIL, BLEEDING, her_word("2026-05-06", answers=MONDAYS)],
        "2026-05-06",
        ON_HOLD,
    ),
    row(
        "answered by the GP on the phone",
        [DUE, APRIL, BLEEDING, spoken("2026-05-06", answers=MONDAYS)],
        "2026-05-06",
        ON_FILE,
    ),
    row(
        "answered by a letter that advises against",
        [DUE, APRIL, BLEEDING, against("2026-05-06", answers=MONDAYS)],
        "2026-05-06",
        ON_HOLD,
    ),
    row(
        "the answering letter is withdrawn",
        [DUE, APRIL, BLEEDING, withdrawn(letter("2026-05-06", answers=MONDAYS), "2026-05-11")],
        "2026-05-11",
        ON_HOLD,
    ),
    row(
        "learned today of something last week: last week",
        [DUE, APRIL, sign("bleeding", "2026-05-04", known="2026-05-11")],
        "2026-05-10",
        ON_FILE,
    ),
    row(
        "learned today of something last week: today",
        [DUE, APRIL, sign("bleeding", "2026-05-04", known="2026-05-11")],
        "2026-05-11",
        ON_HOLD,
    ),
    row(
        "before the birth, a letter after it names it not",
        [BIRTH, sign("bleeding", "2026-03-02"), letter("2026-04-28")],
        "2026-04-28",
        ON_HOLD,
    ),
    row(
        "answered, then the birth, no letter since",
        [BIRTH, sign("bleeding", "2026-03-02"), letter("2026-03-04", answers=["bleeding"])],
        "2026-04-28",
        WAITING,
    ),
    row(
        "answered, then the letter runs out",
        [DUE, BLEEDING, letter("2026-05-06", until="2026-05-31", answers=MONDAYS)],
        "2026-06-01",
        RUN_OUT,
    ),
]

ADVISED_AGAINST = [
    row("advised against", [DUE, against("2026-05-06")], "2026-05-06", ON_HOLD),
    row(
        "advised against, an older letter in force",
        [DUE, APRIL, against("2026-05-06")],
        "2026-05-06",
        ON_HOLD,
    ),
    row(
        "then a newer go-ahead",
        [DUE, against("2026-04-20"), letter("2026-05-06")],
        "2026-05-06",
        ON_FILE,
    ),
    row(
        "then a go-ahead by her word only",
        [DUE, against("2026-04-20"), her_word("2026-05-06")],
        "2026-05-06",
        ON_HOLD,
    ),
    row(
        "both on one day: the stricter",
        [DUE, letter("2026-05-06"), against("2026-05-06")],
        "2026-05-06",
        ON_HOLD,
    ),
    row(
        "she says that she was advised against",
        [DUE, APRIL, against("2026-05-06", known_by="client")],
        "2026-05-06",
        ON_HOLD,
    ),
    row(
        "a clinician’s no is no paper that ages",
        [DUE, MARCH_TO_YEAR_END, against("2026-03-16")],
        "2026-08-03",
        ON_HOLD,
    ),
]

TOGETHER = [
    row(
        "a sign, past due, no letter",
        [DUE, sign("bleeding", "2026-10-12")],
        "2026-10-20",
        ON_HOLD,
        reasons=3,
    ),
    row(
        "a sign and a letter run out",
        [DUE, letter("2026-01-20"), BLEEDING],
        "2026-05-06",
        ON_HOLD,
        reasons=2,
    ),
    row(
        "past due and the letter run out",
        [DUE, letter("2026-03-02")],
        "2026-10-22",
        WAITING,
        reasons=2,
    ),
    row(
        "advised against and past due",
        [DUE, against("2026-10-12")],
        "2026-10-20",
        ON_HOLD,
        reasons=2,
    ),
    row("two signs", [DUE, APRIL, BLEEDING, DIZZY], "2026-05-06", ON_HOLD, reasons=2),
]

QUIETLY = [
    row("quiet, past 40 weeks", [quiet(), DUE, letter("2026-09-01")], "2026-10-29", WAITING),
    row("quiet, a loss", [quiet(), LOSS, APRIL], "2026-05-20", WAITING),
    row(
        "quiet, movements",
        [quiet(), DUE, APRIL, sign("movement", "2026-05-04")],
        "2026-05-06",
        ON_HOLD,
    ),
    row("quiet, cramps", [quiet(), LOSS, sign("cramps", "2026-05-25")], "2026-05-26", ON_HOLD),
    row(
        "quiet, a letter from before a second start",
        [quiet(), LOSS, letter("2026-06-02", until="2027-06-01"), carrying("2027-05-01")],
        "2026-09-01",
        WAITING,
    ),
    row("quiet, withdrawn", [quiet(), DUE, withdrawn(APRIL, "2026-05-01")], "2026-05-06", WAITING),
    row("quiet, her word only", [quiet(), DUE, her_word("2026-04-13")], "2026-05-06", WAITING),
    row("quiet, a sign", [quiet(), LOSS, sign("bleeding", "2026-05-25")], "2026-05-26", ON_HOLD),
    row(
        "quiet, until the birth",
        [quiet(), DUE, letter("2026-04-13", until_birth=True)],
        "2026-05-06",
        ON_FILE,
    ),
    row("quiet, a discharge note", [quiet(), BIRTH, letter("2026-03-10")], "2026-04-27", WAITING),
    row("quiet, no letter since", [quiet(), BIRTH], "2026-04-27", WAITING),
    row("quiet, stage unknown", [quiet(), not_dated(), APRIL], "2026-05-06", WAITING),
    row("quiet, run out", [quiet(), DUE, letter("2026-01-20")], "2026-05-06", RUN_OUT),
    row("quiet, advised against", [quiet(), DUE, against("2026-05-06")], "2026-05-06", ON_HOLD),
    row("quiet, nothing recorded", [quiet()], "2026-05-06", WAITING),
    row(
        "quiet, letter on file after a loss",
        [quiet(), LOSS, letter("2026-06-02")],
        "2026-06-03",
        ON_FILE,
    ),
]

EVERY = [*SIGNS, *ADVISED_AGAINST, *TOGETHER, *QUIETLY]


@pytest.mark.parametrize("case", EVERY, ids=lambda case: case.given)
def test_the_word_for_the_day_with_its_reasons_and_what_mends_it(case: Row) -> None:
    assert faults(case) == []


@pytest.mark.parametrize("case", EVERY, ids=lambda case: case.given)
def test_another_sign_always_puts_on_hold_and_takes_no_reason_away(case: Row) -> None:
    facts = case.facts
    more = replace(facts, signs=(*facts.signs, SignFact(99, "chest", case.asked)))
    before, after = go_ahead(facts, case.asked), go_ahead(more, case.asked)
    assert after.word is ON_HOLD
    assert len(after.reasons) >= len([one for one in before.reasons if one.kind != "letter"])


@pytest.mark.parametrize("case", EVERY, ids=lambda case: case.given)
def test_quiet_changes_no_answer(case: Row) -> None:
    plain, hushed = (replace(case.facts, quiet=is_so) for is_so in (False, True))
    one, other = go_ahead(plain, case.asked), go_ahead(hushed, case.asked)
    assert (one.word, one.limits, one.until, one.since, len(one.reasons)) == (
        other.word, other.limits, other.until, other.since, len(other.reasons),
    )  # fmt: skip


@pytest.mark.parametrize("case", EVERY, ids=lambda case: case.given)
def test_what_becomes_known_tomorrow_changes_nothing_today(case: Row) -> None:
    tomorrow = case.asked + timedelta(days=1)
    late = SignFact(99, "chest", case.asked, known_on=tomorrow)
    more = replace(case.facts, signs=(*case.facts.signs, late))
    assert go_ahead(more, case.asked) == go_ahead(case.facts, case.asked)


@pytest.mark.parametrize("case", EVERY, ids=lambda case: case.given)
def test_the_spans_tile_the_years_and_hold_the_word_of_every_day(case: Row) -> None:
    first, last = on("2026-01-01"), on("2027-06-30")
    found = spans(case.facts, first, last)
    days = [
        (one.first + timedelta(days=n), one.word)
        for one in found
        for n in range(((one.last or last) - one.first).days + 1)
    ]
    every_day = [first + timedelta(days=n) for n in range((last - first).days + 1)]
    assert days == [(day, word_on(case.facts, day)) for day in every_day]
    assert all(one.word is not other.word for one, other in pairwise(found))
