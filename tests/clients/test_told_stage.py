"""Where somebody who only asked may be: by her due date, by her words, or not known."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from dateutil.relativedelta import relativedelta

from clients.rules.told_stage import NEAR_DAYS, Told, read_told
from coach.scheduling.dates import GestationalAge, PregnancyDates, gestational_age
from coach.scheduling.values import Stage

CAME = date(2026, 12, 1)
TODAY = date(2026, 12, 3)
T1, T2, T3 = Stage.TRIMESTER_1, Stage.TRIMESTER_2, Stage.TRIMESTER_3


def on(told: Told, day: date) -> Stage:
    return told.stage_on(day, today=TODAY)


@pytest.mark.parametrize(
    ("words", "weeks"),
    [
        ("20 weeks", 20),
        ("about 20 weeks", 20),
        ("About twenty weeks.", 20),
        ("I’m nearly 33 weeks pregnant", 33),
        ("twenty-four weeks along", 24),
        ("thirty four wks", 34),
        ("9w", 9),
        ("42 weeks", 42),
    ],
)
def test_weeks_told_are_those_of_the_day_she_wrote(words: str, weeks: int) -> None:
    found = read_told(words, None, CAME)
    assert found.dates is not None
    assert found.dates.due is not None
    assert gestational_age(found.dates.due, CAME) == GestationalAge(weeks * 7)


@pytest.mark.parametrize(
    ("words", "back"),
    [
        ("twelve weeks after", relativedelta(weeks=12)),
        ("6 weeks since the birth", relativedelta(weeks=6)),
        ("about 5 months postpartum", relativedelta(months=5)),
        ("11 months post-natal", relativedelta(months=11)),
    ],
)
def test_weeks_and_months_since_are_counted_back(words: str, back: relativedelta) -> None:
    found = read_told(words, None, date(2026, 12, 31))
    assert found.dates is not None
    assert found.dates.ended == date(2026, 12, 31) - back


@pytest.mark.parametrize(
    ("words", "due"),
    [
        ("due in March", date(2027, 3, 15)),
        ("due December", date(2026, 12, 15)),
        ("due late november 2027", date(2027, 11, 15)),
        ("due in early January", date(2027, 1, 15)),
    ],
)
def test_a_month_she_is_due_in_is_its_middle(words: str, due: date) -> None:
    assert read_told(words, None, CAME) == Told(CAME, PregnancyDates(due=due))


def test_a_due_date_goes_before_any_words_and_is_counted_on_from() -> None:
    found = read_told("about 20 weeks", date(2026, 12, 20), CAME)
    assert found == Told(CAME, PregnancyDates(due=date(2026, 12, 20)))
    days = (TODAY, date(2026, 12, 19), date(2026, 12, 20), date(2027, 2, 1))
    assert [on(found, day) for day in days] == [T3, T3, Stage.WEEKS_0_6, Stage.WEEKS_6_12]


def test_a_due_date_that_has_passed_names_no_stage() -> None:
    found = read_told("", date(2026, 12, 2), CAME)
    assert {on(found, TODAY + timedelta(days=n)) for n in (0, 10, 100)} == {Stage.PAST_DUE}


@pytest.mark.parametrize(
    ("words", "stage"),
    [("second trimester", T2), ("in my third trimester", T3), ("Trimester 1", T1)],
)
def test_a_trimester_named_counts_for_four_weeks(words: str, stage: Stage) -> None:
    found = read_told(words, None, CAME)
    assert found == Told(CAME, stage=stage)
    last = CAME + timedelta(days=NEAR_DAYS)
    assert [on(found, day) for day in (CAME, last, last + timedelta(days=1))] == [
        stage,
        stage,
        Stage.UNKNOWN,
    ]
    assert last - CAME == timedelta(weeks=4)


@pytest.mark.parametrize(
    "words",
    [
        "",
        "lost her at 20 weeks",
        "20 weeks when it ended",
        "not 20 weeks yet",
        "43 weeks",
        "0 weeks",
        "some weeks",
        "twenty-twenty weeks",
        "after the birth",
        "my sister is 20 weeks",
        "due in March or April",
        "due in 2027",
        "999999 weeks",
        "fourth trimester",
        "20 weeks ago",
    ],
)
def test_anything_else_is_not_known(words: str) -> None:
    found = read_told(words, None, CAME)
    assert (found.dates, found.stage) == (None, None)
    assert on(found, TODAY) is Stage.UNKNOWN
