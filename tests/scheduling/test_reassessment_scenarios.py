"""Who is to be assessed again, as stories: her dates, when she was assessed, today; then by when.

Due date 2026-10-08 (last period 2026-01-01): 14w0d is 2026-04-09, 28w0d is 2026-07-16, by
ICD-10-CM chapter 15. A birth on 2026-03-10: 6w0d is 2026-04-21, 12w0d is 2026-06-02. How often
an assessment is wanted is common practice, no source; the weeks below are this file's own. None
in the first 42 days after an end: WHO postnatal guideline (2022) counts that care to six weeks.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import pytest

from coach.scheduling.dates import Ending, PregnancyDates
from coach.scheduling.reassessment import Due, Rules, StageRule, due, policy
from coach.scheduling.values import Stage

SOURCE = "policy of the practice"
WEEKS = {
    Stage.TRIMESTER_1: (6, 8),
    Stage.TRIMESTER_2: (6, 0),
    Stage.TRIMESTER_3: (4, 0),
    Stage.WEEKS_0_6: (0, 6),
    Stage.WEEKS_6_12: (4, 0),
    Stage.WEEKS_12_26: (6, 0),
    Stage.WEEKS_26_52: (12, 0),
    Stage.WEEKS_52_ON: (12, 0),
    Stage.UNKNOWN: (4, 0),
}
RULES: Rules = {stage: StageRule(*weeks, SOURCE) for stage, weeks in WEEKS.items()}


def on(text: str) -> date:
    return date.fromisoformat(text)


def carrying(text: str) -> PregnancyDates:
    return PregnancyDates(due=on(text))


def born(text: str, due: str | None = None) -> PregnancyDates:
    return PregnancyDates(on(due) if due else None, on(text), Ending.BIRTH)


def lost(text: str, due: str | None = None) -> PregnancyDates:
    return PregnancyDates(on(due) if due else None, on(text), Ending.LOSS)


DUE = carrying("2026-10-08")
BIRTH = born("2026-03-10", "2026-03-17")


@dataclass(frozen=True)
class Row:
    """Given her dates and assessments, on a day, then wanted by (or not at all)."""

    given: str
    pregnancies: list[PregnancyDates]
    assessed: list[str]
    today: str
    by: str | None
    since: str | None = None
    reasons: int = 1

    def due(self, *more: date) -> Due | None:
        days = [*map(on, self.assessed), *more]
        since = on(self.since) if self.since else None
        return due(self.pregnancies, days, today=on(self.today), rules=RULES, since=since)


ROWS = [
    # never assessed
    Row("never, asked for today", [DUE], [], "2026-05-04", "2026-05-04"),
    Row("never, asked for since she came", [DUE], [], "2026-05-04", "2026-04-20", "2026-04-20"),
    # the interval of the stage
    Row("second trimester: six weeks on", [DUE], ["2026-05-04"], "2026-05-05", "2026-06-15"),
    Row("the same, a month late", [DUE], ["2026-05-04"], "2026-07-14", "2026-06-15"),
    Row("on the first day of her weeks", [DUE], ["2026-01-01"], "2026-01-02", "2026-02-12"),
    Row("third trimester: four weeks on", [DUE], ["2026-07-20"], "2026-07-21", "2026-08-17"),
    Row("first day of the third trimester", [DUE], ["2026-07-16"], "2026-07-17", "2026-08-13"),
    Row("stage not known: four weeks on", [], ["2026-05-04"], "2026-05-05", "2026-06-01"),
    Row("due date not known", [PregnancyDates()], ["2026-05-04"], "2026-05-05", "2026-06-01"),
    Row(
        "two years after: twelve weeks",
        [born("2024-03-10")],
        ["2026-05-04"],
        "2026-05-05",
        "2026-07-27",
    ),
    Row(
        "the latest of several counts",
        [DUE],
        ["2026-05-18", "2026-04-13", "2026-05-04"],
        "2026-05-19",
        "2026-06-29",
    ),
    Row(
        "one that lies ahead does not",
        [DUE],
        ["2026-05-04", "2026-06-01"],
        "2026-05-05",
        "2026-06-15",
    ),
    Row("one of today does", [DUE], ["2026-04-13", "2026-05-04"], "2026-05-04", "2026-06-15"),
    # the stage changes
    Row("the third trimester comes sooner", [DUE], ["2026-07-06"], "2026-07-07", "2026-07-16"),
    Row("assessed on its eve", [DUE], ["2026-07-15"], "2026-07-15", "2026-07-16"),
    Row(
        "it has come, nobody assessed her",
        [DUE],
        ["2026-07-06"],
        "2026-08-20",
        "2026-07-16",
        reasons=2,
    ),
    Row("second trimester entered", [DUE], ["2026-04-08"], "2026-04-09", "2026-04-09"),
    # the due date
    Row("on the due date itself, late", [DUE], ["2026-09-01"], "2026-10-08", "2026-09-29"),
    Row("wanted on the due date", [DUE], ["2026-09-10"], "2026-09-11", "2026-10-08"),
    Row("wanted the day after it: how is she?", [DUE], ["2026-09-11"], "2026-09-12", None),
    Row("past it, no end recorded", [DUE], ["2026-09-01"], "2026-10-09", None),
    Row("past it, never assessed", [DUE], [], "2026-10-29", None),
    # after an end
    Row(
        "assessed before the birth: not before 6w0d",
        [BIRTH],
        ["2026-02-16"],
        "2026-03-12",
        "2026-04-21",
    ),
    Row("never assessed, day 41", [BIRTH], [], "2026-04-20", "2026-04-21", "2026-04-20"),
    Row("never assessed, day 42", [BIRTH], [], "2026-04-21", "2026-04-21", "2026-04-21"),
    Row("6w0d assessed: four weeks on", [BIRTH], ["2026-04-21"], "2026-04-22", "2026-05-19"),
    Row("10 weeks: 12w0d comes sooner", [BIRTH], ["2026-05-19"], "2026-05-20", "2026-06-02"),
    Row("12w0d assessed: six weeks on", [BIRTH], ["2026-06-02"], "2026-06-03", "2026-07-14"),
    Row(
        "a loss: not before six weeks",
        [lost("2026-05-14", "2026-10-08")],
        ["2026-05-04"],
        "2026-05-15",
        "2026-06-25",
    ),
    # a second pregnancy
    Row(
        "its trimesters count, not the recovery",
        [born("2025-03-10"), DUE],
        ["2026-05-04"],
        "2026-05-05",
        "2026-06-15",
    ),
    Row(
        "a loss after a birth: from the loss",
        [born("2025-03-10"), lost("2026-05-14", "2026-12-20")],
        ["2026-05-04"],
        "2026-05-20",
        "2026-06-25",
    ),
]


@pytest.mark.parametrize("case", ROWS, ids=lambda case: case.given)
def test_by_when_and_why(case: Row) -> None:
    found = case.due()
    assert (found.by.isoformat() if found else None) == case.by
    reasons = found.reasons if found else ()
    assert len(reasons) >= (case.reasons if found else 0)
    assert [one for one in reasons if not one.reason.strip() or one.source != SOURCE] == []


@pytest.mark.parametrize("case", ROWS, ids=lambda case: case.given)
def test_an_assessment_today_is_enough_for_today(case: Row) -> None:
    found = case.due(on(case.today))
    assert found is None or found.by > on(case.today)


@pytest.mark.parametrize("case", ROWS, ids=lambda case: case.given)
def test_the_order_in_which_days_are_given_does_not_matter(case: Row) -> None:
    backwards = Row(
        case.given, case.pregnancies[::-1], case.assessed[::-1], case.today, case.by, case.since
    )
    assert backwards.due() == case.due()


@pytest.mark.parametrize("case", ROWS, ids=lambda case: case.given)
def test_waiting_a_day_never_puts_it_off(case: Row) -> None:
    tomorrow = Row(
        case.given,
        case.pregnancies,
        [day for day in case.assessed if day <= case.today],
        (on(case.today) + timedelta(days=1)).isoformat(),
        case.by,
        case.since or case.today,
    )
    before, after = case.due(), tomorrow.due()
    if before and after:
        assert after.by <= before.by


def test_the_practice_s_own_weeks_stay_near_the_habit_of_four_to_six_while_pregnant() -> None:
    stages = (Stage.TRIMESTER_1, Stage.TRIMESTER_2, Stage.TRIMESTER_3)
    weeks = {policy()[stage].every_weeks for stage in stages}
    assert weeks <= {4, 5, 6}


def test_the_practice_asks_nobody_in_the_first_six_weeks_after_an_end() -> None:
    rule = policy()[Stage.WEEKS_0_6]
    assert (rule.every_weeks, rule.after_weeks) == (0, 6)
