"""The go-ahead as stories: given what was told and when, asked for a day, then this word.

Due date 2026-10-08 unless a row says otherwise (last period 2026-01-01), a birth on
2026-03-10. That an ending asks for a new letter, that a letter without an end counts 12
weeks and who has to say so are policies of a practice: common practice, no source. Weeks
after a birth are completed weeks, the birth being day 0 (so 12w0d is day 84).
Warning signs and a clinician's no are in the file beside this one.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from clients.rules.go_ahead import go_ahead
from coach.scheduling.values import GoAheadWord, Limits
from tests.clients.told import (
    ON_FILE,
    Row,
    born,
    carrying,
    faults,
    her_word,
    letter,
    lost,
    not_dated,
    over_on_a_day_not_known,
    row,
    spoken,
    withdrawn,
)

WAITING = GoAheadWord.WAITING
RUN_OUT = GoAheadWord.RUN_OUT

DUE = carrying("2026-10-08")
BIRTH = born("2026-03-10", due="2026-03-17")
LATE_NEWS = born("2026-03-10", due="2026-03-17", known="2026-03-16")
LOSS = lost("2026-05-14", due="2026-10-08")
APRIL = letter("2026-04-13")
MARCH_TO_YEAR_END = letter("2026-03-02", until="2026-12-31")

LETTERS = [
    row("nothing at all is recorded", [], "2026-05-06", WAITING),
    row("pregnant, no letter", [DUE], "2026-05-06", WAITING),
    row("pregnant, a letter three weeks old", [DUE, APRIL], "2026-05-06", ON_FILE),
    row("the day the letter was written", [DUE, APRIL], "2026-04-13", ON_FILE),
    row("the day before it was written", [DUE, APRIL], "2026-04-12", WAITING),
    row(
        "written on 1 May, seen on the 10th: the 9th",
        [DUE, letter("2026-05-01", known="2026-05-10")],
        "2026-05-09",
        WAITING,
    ),
    row(
        "written on 1 May, seen on the 10th: the 10th",
        [DUE, letter("2026-05-01", known="2026-05-10")],
        "2026-05-10",
        ON_FILE,
    ),
    row("without an end: 11w6d old", [DUE, letter("2026-03-02")], "2026-05-24", ON_FILE),
    row(
        "without an end: 12w0d old, not older",
        [DUE, letter("2026-03-02")],
        "2026-05-25",
        ON_FILE,
        until="2026-05-25",
    ),
    row(
        "without an end: a day older than that", [DUE, letter("2026-03-02")], "2026-05-26", RUN_OUT
    ),
    row(
        "seen late, its age still counts from the day it was said",
        [DUE, letter("2026-03-02", known="2026-04-20")],
        "2026-05-26",
        RUN_OUT,
    ),
    row(
        "its own last day",
        [DUE, letter("2026-03-02", until="2026-06-30")],
        "2026-06-30",
        ON_FILE,
        until="2026-06-30",
    ),
    row("the day after", [DUE, letter("2026-03-02", until="2026-06-30")], "2026-07-01", RUN_OUT),
    row(
        "its own end comes sooner than 12 weeks",
        [DUE, letter("2026-04-13", until="2026-04-30")],
        "2026-05-01",
        RUN_OUT,
    ),
    row(
        "one run out, another in force",
        [DUE, letter("2026-03-02", until="2026-03-31"), APRIL],
        "2026-05-06",
        ON_FILE,
    ),
    row(
        "an older letter lasts longer than the newer one that ran out",
        [DUE, MARCH_TO_YEAR_END, letter("2026-04-13", until="2026-04-30")],
        "2026-05-06",
        ON_FILE,
        until="2026-12-31",
    ),
]

WHO_SAID_SO = [
    row(
        "the GP’s go-ahead, told by her only", [DUE, her_word("2026-04-13")], "2026-05-06", WAITING
    ),
    row("the GP spoken to by phone", [DUE, spoken("2026-04-13")], "2026-05-06", ON_FILE),
    row(
        "her word, and a letter in force beside it",
        [DUE, APRIL, her_word("2026-04-20")],
        "2026-05-06",
        ON_FILE,
    ),
    row(
        "a letter run out, and her word that it was renewed",
        [DUE, letter("2026-03-02", until="2026-04-30"), her_word("2026-04-29")],
        "2026-05-06",
        {WAITING, RUN_OUT},
    ),
    row(
        "withdrawn on 1 May: the day before",
        [DUE, withdrawn(APRIL, "2026-05-01")],
        "2026-04-30",
        ON_FILE,
    ),
    row(
        "withdrawn on 1 May: that day", [DUE, withdrawn(APRIL, "2026-05-01")], "2026-05-01", WAITING
    ),
    row(
        "one withdrawn, another in force",
        [DUE, withdrawn(APRIL, "2026-05-01"), MARCH_TO_YEAR_END],
        "2026-05-06",
        ON_FILE,
    ),
]

LIMITED = [
    row(
        "one letter with a limit",
        [DUE, letter("2026-04-13", limits=Limits(no_impact=True))],
        "2026-05-06",
        ON_FILE,
        limits=Limits(no_impact=True),
    ),
    row(
        "a later narrower letter: both count",
        [
            DUE,
            letter("2026-04-13", limits=Limits(no_impact=True, lift_at_most_kg=8)),
            letter("2026-04-27", limits=Limits(not_lying_flat=True, lift_at_most_kg=5)),
        ],
        "2026-05-06",
        ON_FILE,
        limits=Limits(no_impact=True, not_lying_flat=True, lift_at_most_kg=5),
    ),
    row(
        "a later letter without limits removes none",
        [DUE, letter("2026-04-13", limits=Limits(no_impact=True)), letter("2026-04-27")],
        "2026-05-06",
        ON_FILE,
        limits=Limits(no_impact=True),
    ),
    row(
        "a later letter with a wider limit: the narrower stays",
        [
            DUE,
            spoken("2026-04-13", limits=Limits(heart_rate_at_most=140)),
            letter("2026-04-27", limits=Limits(heart_rate_at_most=150)),
        ],
        "2026-05-06",
        ON_FILE,
        limits=Limits(heart_rate_at_most=140),
    ),
    row(
        "the limits of a letter that ran out are not in force",
        [DUE, letter("2026-03-02", until="2026-03-31", limits=Limits(no_impact=True)), APRIL],
        "2026-05-06",
        ON_FILE,
        limits=Limits(),
    ),
    row(
        "sentences of both letters, each once",
        [
            DUE,
            letter("2026-04-13", limits=Limits(others=("no swimming", "sit to rest"))),
            letter("2026-04-27", limits=Limits(others=("sit to rest",))),
        ],
        "2026-05-06",
        ON_FILE,
        limits=Limits(others=("no swimming", "sit to rest")),
    ),
]

PAST_DUE_AND_BIRTHS = [
    row("on her due date, letter on file", [DUE, letter("2026-09-01")], "2026-10-08", ON_FILE),
    row("41w6d, no birth recorded", [DUE, letter("2026-09-01")], "2026-10-21", ON_FILE),
    row("42w0d, no birth recorded", [DUE, letter("2026-09-01")], "2026-10-22", WAITING),
    row("three weeks past, letter on file", [DUE, letter("2026-09-01")], "2026-10-29", WAITING),
    row(
        "three weeks past, letter newer than that",
        [DUE, letter("2026-10-20")],
        "2026-10-29",
        WAITING,
    ),
    row(
        "until the birth: 20 weeks later",
        [DUE, letter("2026-04-13", until_birth=True)],
        "2026-09-01",
        ON_FILE,
    ),
    row(
        "until the birth: due date",
        [DUE, letter("2026-04-13", until_birth=True)],
        "2026-10-08",
        ON_FILE,
    ),
    row(
        "until the birth: two weeks past it",
        [DUE, letter("2026-04-13", until_birth=True)],
        "2026-10-22",
        WAITING,
    ),
    row(
        "until the birth: the day before it",
        [born("2026-10-02", due="2026-10-08"), letter("2026-09-01", until_birth=True)],
        "2026-10-01",
        ON_FILE,
    ),
    row(
        "until the birth: its day",
        [born("2026-10-02", due="2026-10-08"), letter("2026-09-01", until_birth=True)],
        "2026-10-02",
        WAITING,
    ),
    row("from before the birth, after it", [BIRTH, letter("2026-03-02")], "2026-04-27", WAITING),
    row("dated until long after the birth", [BIRTH, MARCH_TO_YEAR_END], "2026-04-27", WAITING),
    row("the birth’s day: a discharge note", [BIRTH, letter("2026-03-10")], "2026-04-27", WAITING),
    row(
        "seen after the birth, said before it",
        [BIRTH, letter("2026-03-09", known="2026-04-20")],
        "2026-04-27",
        WAITING,
    ),
    row("the day after the birth", [BIRTH, letter("2026-03-11")], "2026-04-27", ON_FILE),
    row(
        "learned of the birth six days later: the day before",
        [LATE_NEWS, letter("2026-03-02")],
        "2026-03-15",
        ON_FILE,
    ),
    row(
        "learned of the birth six days later: that day",
        [LATE_NEWS, letter("2026-03-02")],
        "2026-03-16",
        WAITING,
    ),
    row("a letter at seven weeks", [BIRTH, letter("2026-04-28")], "2026-04-28", ON_FILE),
    row("a letter at seven weeks: 12w0d old", [BIRTH, letter("2026-04-28")], "2026-07-21", ON_FILE),
    row(
        "a letter at seven weeks: a day older", [BIRTH, letter("2026-04-28")], "2026-07-22", RUN_OUT
    ),
    row("stage unknown: no due date", [not_dated(), APRIL], "2026-05-06", WAITING),
    row("stage unknown: no pregnancy entered", [APRIL], "2026-05-06", WAITING),
    row(
        "stage unknown: over, nobody knows when",
        [over_on_a_day_not_known(), APRIL],
        "2026-05-06",
        WAITING,
    ),
]

LOSSES_AND_SECOND_PREGNANCIES = [
    row("a loss, letter from before it", [LOSS, APRIL], "2026-05-20", WAITING),
    row("a loss, the day of it", [LOSS, APRIL], "2026-05-14", WAITING),
    row("a loss, the day before it", [LOSS, APRIL], "2026-05-13", ON_FILE),
    row(
        "a loss, the hospital’s note of that day",
        [LOSS, letter("2026-05-14")],
        "2026-05-20",
        WAITING,
    ),
    row(
        "a loss learned of a week later",
        [lost("2026-05-14", due="2026-10-08", known="2026-05-21"), APRIL],
        "2026-05-21",
        WAITING,
    ),
    row(
        "a loss, a new letter after it", [LOSS, APRIL, letter("2026-06-02")], "2026-06-03", ON_FILE
    ),
    row(
        "a second pregnancy, the letter of the first until its birth",
        [born("2025-03-10", due="2025-03-17"), letter("2025-01-10", until_birth=True), DUE],
        "2026-05-06",
        WAITING,
    ),
    row(
        "a second pregnancy, its own letter until the birth",
        [born("2025-03-10", due="2025-03-17"), DUE, letter("2026-04-13", until_birth=True)],
        "2026-08-03",
        ON_FILE,
    ),
    row(
        "a second pregnancy, the letter of her recovery long run out",
        [born("2025-03-10", due="2025-03-17"), letter("2025-05-05"), DUE],
        "2026-05-06",
        {WAITING, RUN_OUT},
    ),
    row(
        "a second pregnancy, a letter from just before it that runs on",
        [born("2025-03-10", due="2025-03-17"), letter("2025-12-15", until="2026-12-31"), DUE],
        "2026-05-06",
        WAITING,
    ),
    row(
        "a caesarean, its letter, then a loss",
        [
            born("2026-01-12", due="2026-01-15"),
            letter("2026-03-02", until="2026-12-31"),
            lost("2026-05-14", due="2026-12-20"),
        ],
        "2026-05-20",
        WAITING,
    ),
    row(
        "a caesarean, then a loss, then a letter",
        [
            born("2026-01-12", due="2026-01-15"),
            lost("2026-05-14", due="2026-12-20"),
            letter("2026-05-28"),
        ],
        "2026-06-03",
        ON_FILE,
    ),
    row(
        "a loss, then pregnant again, the letter from before the loss",
        [
            lost("2026-01-20", due="2026-08-10"),
            letter("2026-01-10", until="2026-12-31"),
            carrying("2026-12-20"),
        ],
        "2026-05-06",
        WAITING,
    ),
]

EVERY = [*LETTERS, *WHO_SAID_SO, *LIMITED, *PAST_DUE_AND_BIRTHS, *LOSSES_AND_SECOND_PREGNANCIES]


@pytest.mark.parametrize("case", EVERY, ids=lambda case: case.given)
def test_the_word_for_the_day_with_its_reasons_and_what_mends_it(case: Row) -> None:
    assert faults(case) == []


@pytest.mark.parametrize("asked", ["2026-04-13", "2026-09-01", "2026-10-08", "2026-10-29"])
def test_until_the_birth_is_said_and_no_due_date_stands_for_it(asked: str) -> None:
    told = row("", [DUE, letter("2026-04-13", until_birth=True)], asked, ON_FILE)
    answer = go_ahead(told.facts, told.asked)
    texts = " ".join(one.reason for one in answer.reasons)
    # The answers to the health questions have an end of their own, 12 weeks on.
    assert answer.until in {None, latest_monday(told.asked) + timedelta(weeks=12)}
    assert answer.until != date(2026, 10, 8)
    assert "until the birth" in texts


def latest_monday(day: date) -> date:
    """The last day up to this one on which the questions were answered."""
    return day - timedelta(days=day.weekday())
