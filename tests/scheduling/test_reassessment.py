"""The words of each rule, the numbers behind them, and what a practice may change.

Dates are worked out by hand from Thursday 3 December 2026, the day of every test.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from coach.scheduling.dates import Ending, PregnancyDates
from coach.scheduling.reassessment import (
    Due,
    Found,
    History,
    Number,
    Rules,
    StageRule,
    due,
    lost_on,
    policy,
    rules_with,
)
from coach.scheduling.values import Severity, Stage
from tests.scheduling.reassessment_made import TODAY, before, born, carrying

COMMON, OURS = "common practice, no source", "policy of the practice"


def wanted(
    pregnancies: tuple[PregnancyDates, ...], last: date | None = None, **known: Any
) -> Due | None:
    return due(History(pregnancies, last, **known), today=TODAY, rules=policy())


def told(found: Due | None) -> tuple[date, list[str]]:
    assert found is not None
    return found.by, [finding.reason for finding in found.reasons]


# The words


def test_an_interval_over_says_when_the_last_one_was_and_that_it_is_common_practice() -> None:
    found = wanted(born(20), before(7))
    reason = "Every 6 weeks (common practice); last measured on 15 October"
    assert told(found) == (date(2026, 11, 26), [reason])
    assert found is not None
    (finding,) = found.reasons
    assert (finding.kind, finding.severity, finding.source) == ("interval", Severity.NOTE, COMMON)


def test_an_interval_decided_for_her_says_so() -> None:
    found = wanted(born(20), before(3), every_weeks=3)
    assert told(found)[1] == ["Every 3 weeks (decided for her); last measured on 12 November"]
    assert found is not None
    assert found.reasons[0].source == "decided for her"


def test_an_interval_of_the_practice_says_so() -> None:
    rules = rules_with({"every-w12-26": 3})
    found = due(History(born(20), before(3)), today=TODAY, rules=rules)
    assert told(found)[1] == ["Every 3 weeks (this practice’s own); last measured on 12 November"]
    assert found is not None
    assert found.reasons[0].source == OURS


@pytest.mark.parametrize(
    ("days_since_end", "expected"),
    [
        (83, "Passes 12 weeks on 4 December; last measured at 9 weeks"),
        (84, "Passed 12 weeks on 3 December; last measured at 9 weeks"),
        (90, "Passed 12 weeks on 27 November; last measured at 9 weeks"),
    ],
)
def test_the_day_of_passing_is_told_before_on_and_after_it(
    days_since_end: int, expected: str
) -> None:
    ended = TODAY - timedelta(days=days_since_end)
    found = wanted((PregnancyDates(ended=ended),), ended + timedelta(weeks=9))
    assert told(found)[0] == ended + timedelta(weeks=12)
    assert expected in told(found)[1]


def test_the_third_trimester_asks_when_it_begins() -> None:
    """28 weeks: ICD-10-CM, chapter 15."""
    assert told(wanted(carrying(29, 3), before(3, 4)))[1] == [
        "Passed 28 weeks on 23 November; last measured at 25 weeks"
    ]


def test_measured_in_the_first_weeks_the_next_is_at_six_weeks() -> None:
    assert told(wanted(born(5), before(4, 4))) == (
        date(2026, 12, 10),
        ["Passes 6 weeks on 10 December; last measured at 3 days"],
    )


def test_a_new_pregnancy_asks_from_its_eighth_week() -> None:
    assert told(wanted((*born(50), *carrying(9)), before(20))) == (
        before(1),
        ["Passed 8 weeks on 26 November; last measured on 16 July"],
    )


def test_every_rule_that_asks_by_today_is_told_in_order_of_day() -> None:
    assert told(wanted(born(27), before(20))) == (
        date(2026, 8, 13),
        [
            "Every 4 weeks (common practice); last measured on 16 July",
            "Passed 12 weeks on 20 August; last measured at 7 weeks",
            "Passed 26 weeks on 26 November; last measured at 7 weeks",
        ],
    )


def test_what_asks_after_that_day_is_told_apart_with_its_own() -> None:
    found = wanted(born(24), before(1))
    assert found is not None
    assert [(one.by, one.finding.reason) for one in found.later] == [
        (date(2027, 1, 7), "Every 6 weeks (common practice); last measured on 26 November"),
        (date(2027, 6, 17), "Passes 52 weeks on 17 June 2027; last measured at 23 weeks"),
    ]
    assert told(found) == (
        date(2026, 12, 17),
        ["Passes 26 weeks on 17 December; last measured at 23 weeks"],
    )


def test_the_least_between_two_is_told_where_it_moves_the_day() -> None:
    assert told(wanted(born(12), before(0, 1))) == (
        date(2026, 12, 16),
        [
            "Passed 12 weeks on 3 December; last measured at 11 weeks; "
            "at most every 2 weeks (common practice)"
        ],
    )


def test_a_first_one_says_from_which_day_it_counts() -> None:
    since = {"since": before(4)}
    assert told(wanted(born(20), **since)) == (
        date(2026, 11, 19),
        [
            "No assessment on file yet; "
            "within 14 days of 5 November, the day she came (common practice)"
        ],
    )
    assert told(wanted(born(20), **since, go_ahead_on=before(1))) == (
        date(2026, 12, 10),
        [
            "No assessment on file yet; "
            "within 14 days of her go-ahead of 26 November (common practice)"
        ],
    )


def test_a_first_one_of_a_day_not_told_counts_from_today() -> None:
    assert told(wanted(()))[0] == TODAY + timedelta(days=14)


def test_a_go_ahead_to_come_does_not_count_yet() -> None:
    found = wanted(born(20), since=before(4), go_ahead_on=TODAY + timedelta(days=1))
    assert told(found)[0] == date(2026, 11, 19)


def test_an_answered_sign_and_a_return_say_their_days() -> None:
    known = {"signs_answered": (before(0, 4),), "away_from": before(6), "back_on": before(0, 2)}
    assert told(wanted(born(60), before(8), **known)) == (
        date(2026, 12, 6),
        ["A warning sign was answered on 29 November; within 7 days (common practice)"],
    )
    found = wanted(born(60), before(8), **known)
    assert found is not None
    assert found.later[0].finding.reason == (
        "Back on 1 December after 5 weeks away; within 7 days (common practice)"
    )


def test_symptoms_of_a_day_are_told_together_and_what_is_no_symptom_apart() -> None:
    last = before(1)
    open_ones = (
        Found("leaking", "leaking", True, last, last),
        Found("doming", "doming", False, last, last),
        Found("heaviness", "heaviness", True, last, last),
    )
    found = wanted(born(60), last, findings=open_ones)
    assert told(found) == (
        TODAY,
        ["Leaking, heaviness, last said on 26 November; within 7 days (common practice)"],
    )
    assert found is not None
    assert (found.later[0].by, found.later[0].finding.reason) == (
        date(2026, 12, 10),
        "Doming, found on 26 November; again after 2 weeks (common practice)",
    )


# By interval


def test_common_practice_every_four_to_six_weeks_is_kept_while_the_body_changes_fastest() -> None:
    """Common practice, no source: started on Monday 6 January 2025, the next is wanted between
    3 and 17 February."""
    start, today = date(2025, 1, 6), date(2025, 1, 7)
    ages = [timedelta(weeks=w) for w in (15, 20, 30)]
    running = [PregnancyDates(due=start + timedelta(days=280) - age) for age in ages]
    after = [PregnancyDates(ended=start - timedelta(weeks=w)) for w in (7, 8, 12, 18)]
    for pregnancy in [*running, *after]:
        found = due(History((pregnancy,), start), today=today, rules=policy())
        assert found is not None
        assert date(2025, 2, 3) <= found.by <= date(2025, 2, 17)


def test_not_knowing_her_stage_never_makes_the_wait_longer() -> None:
    intervals = [rule.every_weeks for rule in policy().stages.values() if rule.every_weeks]
    assert policy().stages[Stage.UNKNOWN].every_weeks == min(intervals)
    lost_on_a_day_not_known = (PregnancyDates(due=date(2027, 1, 9), ending=Ending.LOSS),)
    assert told(wanted(lost_on_a_day_not_known, before(5)))[0] == before(1)


@pytest.mark.parametrize("ending", [Ending.BIRTH, Ending.LOSS, None])
def test_an_end_asks_for_nothing_until_six_weeks_after_it(ending: Ending | None) -> None:
    """WHO 2022: the postnatal period lasts six weeks; they are her clinician's."""
    ended = (PregnancyDates(due=date(2026, 12, 1), ended=before(2), ending=ending),)
    assert told(wanted(ended, before(10)))[0] == date(2026, 12, 31)


def test_the_day_of_a_first_does_not_move_as_time_passes() -> None:
    came = before(9)
    history = History(born(10), since=came)
    days = {
        found.by
        for n in range(300)
        if (found := due(history, today=came + timedelta(n), rules=policy()))
    }
    assert days == {before(4)}


# The numbers


def test_the_data_name_every_stage_and_every_number_with_their_source() -> None:
    assert set(policy().stages) == set(Stage) - {Stage.PAST_DUE}
    values = {name: number.value for name, number in policy().numbers.items()}
    assert values == {
        "first_days": 14, "sign_days": 7, "back_weeks": 3, "back_days": 7, "finding_weeks": 2,
        "symptom_days": 7, "least_weeks": 2,
    }  # fmt: skip
    sources = {one.source for one in (*policy().stages.values(), *policy().numbers.values())}
    assert sources == {COMMON}


def test_everything_but_the_first_weeks_after_an_end_can_be_changed() -> None:
    names = {f"every-{stage}" for stage in policy().stages} - {"every-w0-6"}
    assert set(policy().adjustable) == names | set(policy().numbers)
    changed = {name: number.least for name, number in policy().adjustable.items()}
    assert {name: one.value for name, one in rules_with(changed).adjustable.items()} == changed


def test_what_stays_as_it_was_keeps_its_source() -> None:
    rules = rules_with({"sign_days": 3, "back_days": 7})
    assert (rules.numbers["sign_days"].source, rules.numbers["back_days"].source) == (OURS, COMMON)


@pytest.mark.parametrize(
    "changed",
    [
        {"every-w0-6": 4},
        {"every-past-due": 4},
        {"every-t2": 0},
        {"every-t2": 105},
        {"t2": 4},
        {"first_days": 15},
        {"least_weeks": 1},
        {"sign_days": True},
        {"sign_days": 3.0},
        {"sign_days": "3"},
    ],
)
def test_what_cannot_be_changed_so_is_refused(changed: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match=r"nothing that can be changed|whole, \d+ to \d+"):
        rules_with(changed)


@pytest.mark.parametrize("values", [(-1, 0, OURS), (4, -1, OURS), (4, 0, "")])
def test_a_rule_without_a_source_or_with_weeks_below_none_is_refused(
    values: tuple[int, int, str],
) -> None:
    with pytest.raises(ValueError, match=r"weeks are none or more|a rule names its source"):
        StageRule(*values)


@pytest.mark.parametrize(("words", "source"), [("", OURS), ("Within so many days", "")])
def test_a_number_without_words_or_source_is_refused(words: str, source: str) -> None:
    with pytest.raises(ValueError, match="names what it asks and its source"):
        Number(1, 1, 2, words, source)


def test_rules_that_lack_one_are_refused() -> None:
    rules = policy()
    stages = {code: rule for code, rule in rules.stages.items() if code is not Stage.UNKNOWN}
    numbers = {name: one for name, one in rules.numbers.items() if name != "back_days"}
    with pytest.raises(ValueError, match="every stage"):
        Rules(stages, rules.numbers)
    with pytest.raises(ValueError, match="every number"):
        Rules(rules.stages, numbers)


def test_rules_of_another_practice_are_followed() -> None:
    own = {Stage.WEEKS_12_26: StageRule(3, 1, "another practice")}
    rules = replace(policy(), stages={**policy().stages, **own})
    found = due(History(born(13, 2), before(5)), today=TODAY, rules=rules)
    assert found is not None
    assert [(one.reason.split(";")[0], one.source) for one in found.reasons] == [
        ("Every 4 weeks (common practice)", COMMON),
        ("Passed 13 weeks on 1 December", "another practice"),
    ]


# A loss that nothing came after

LOST = PregnancyDates(due=date(2027, 4, 1), ended=date(2026, 11, 1), ending=Ending.LOSS)
DAY_NOT_KNOWN = PregnancyDates(due=date(2027, 4, 1), ending=Ending.LOSS)
NOTHING_KNOWN = PregnancyDates(ending=Ending.LOSS)
BIRTH = PregnancyDates(ended=date(2025, 1, 10), ending=Ending.BIRTH)
AGAIN = PregnancyDates(due=date(2027, 8, 9))


@pytest.mark.parametrize(
    ("pregnancies", "day"),
    [
        ([], None),
        ([BIRTH], None),
        ([LOST], date(2026, 11, 1)),
        ([BIRTH, LOST], date(2026, 11, 1)),
        ([LOST, AGAIN], None),
        ([PregnancyDates(ended=date(2026, 11, 6), ending=Ending.LOSS), AGAIN], None),
        ([LOST, PregnancyDates()], None),
        ([PregnancyDates(due=date(2025, 1, 1)), LOST], date(2026, 11, 1)),
        ([DAY_NOT_KNOWN], date(2026, 6, 25)),  # the first day of that pregnancy
        ([NOTHING_KNOWN], date.min),
        ([NOTHING_KNOWN, BIRTH], date.min),
        ([PregnancyDates(ended=date(2024, 1, 10), ending=Ending.LOSS), BIRTH], None),
    ],
)
def test_the_day_of_a_loss_that_nothing_came_after(
    pregnancies: list[PregnancyDates], day: date | None
) -> None:
    assert lost_on(pregnancies, TODAY) == day
    assert lost_on(pregnancies[::-1], TODAY) == day
