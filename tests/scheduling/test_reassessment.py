"""When the next assessment is wanted: by interval, by stage, and for the first time.

Dates are worked out by hand from Thursday 3 December 2026, the day of every test.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clients.rules.words import NEVER_IF_QUIET
from coach.scheduling.dates import Ending, PregnancyDates, stage_on
from coach.scheduling.reassessment import Due, StageRule, due, policy
from coach.scheduling.values import Severity, Stage

TODAY = date(2026, 12, 3)
OURS = "policy of the practice"


def wanted(
    pregnancies: Sequence[PregnancyDates], *assessed_on: date, since: date | None = None
) -> Due | None:
    return due(pregnancies, assessed_on, today=TODAY, rules=policy(), since=since)


def told(found: Due | None) -> tuple[date, list[str]]:
    assert found is not None
    return found.by, [finding.reason for finding in found.reasons]


def born(weeks: int, days: int = 0) -> list[PregnancyDates]:
    """A birth so long ago."""
    return [PregnancyDates(ended=before(weeks, days), ending=Ending.BIRTH)]


def carrying(weeks: int, days: int = 0) -> list[PregnancyDates]:
    """A pregnancy that is so far along today."""
    return [PregnancyDates(due=TODAY + timedelta(days=280 - weeks * 7 - days))]


def before(weeks: int, days: int = 0) -> date:
    return TODAY - timedelta(weeks=weeks, days=days)


# By interval


@pytest.mark.parametrize(
    ("pregnancies", "last", "by", "every"),
    [
        (carrying(10), before(1), date(2026, 12, 31), None),  # 14 weeks come first
        (carrying(20), before(1), date(2027, 1, 7), "Every 6 weeks"),
        (carrying(32), before(3), date(2026, 12, 10), "Every 4 weeks"),
        (born(8), before(1), date(2026, 12, 24), "Every 4 weeks"),
        (born(14), before(1), date(2027, 1, 7), "Every 6 weeks"),
        (born(30), before(2), date(2027, 2, 11), "Every 12 weeks"),
        (born(60), before(2), date(2027, 2, 11), "Every 12 weeks"),
        ([], before(1), date(2026, 12, 24), "Every 4 weeks"),
    ],
)
def test_each_stage_has_its_interval(
    pregnancies: list[PregnancyDates], last: date, by: date, every: str | None
) -> None:
    day, reasons = told(wanted(pregnancies, last))
    assert day == by
    assert [one.split(";")[0] for one in reasons] == [every or "Passes 14 weeks on 31 December"]


def test_an_interval_over_says_when_the_last_one_was() -> None:
    found = wanted(born(20), before(7))
    assert told(found) == (
        date(2026, 11, 26),
        ["Every 6 weeks; last measured on 15 October"],
    )
    assert found is not None
    (finding,) = found.reasons
    assert (finding.kind, finding.severity, finding.source) == ("interval", Severity.NOTE, OURS)


def test_common_practice_every_four_to_six_weeks_is_kept_while_the_body_changes_fastest() -> None:
    """Common practice, no source: started on Monday 6 January 2025, the next is wanted between
    3 and 17 February."""
    start, today = date(2025, 1, 6), date(2025, 1, 7)
    ages = [timedelta(weeks=w) for w in (15, 20, 30)]
    running = [[PregnancyDates(due=start + timedelta(days=280) - age)] for age in ages]
    after = [[PregnancyDates(ended=start - timedelta(weeks=w))] for w in (7, 8, 12, 18)]
    for pregnancies in [*running, *after]:
        found = due(pregnancies, [start], today=today, rules=policy())
        assert found is not None
        assert date(2025, 2, 3) <= found.by <= date(2025, 2, 17)


def test_only_the_latest_up_to_today_counts_and_order_does_not_matter() -> None:
    days = [before(9), TODAY + timedelta(days=3), before(2), before(30)]
    expected = (date(2026, 12, 31), ["Every 6 weeks; last measured on 19 November"])
    assert told(wanted(born(15), *days)) == told(wanted(born(15), *reversed(days))) == expected


def test_not_knowing_her_stage_never_makes_the_wait_longer() -> None:
    intervals = [rule.every_weeks for rule in policy().values() if rule.every_weeks]
    assert policy()[Stage.UNKNOWN].every_weeks == min(intervals)
    lost_on_a_day_not_known = [PregnancyDates(due=date(2027, 1, 9), ending=Ending.LOSS)]
    by, reasons = told(wanted(lost_on_a_day_not_known, before(5)))
    assert (by, reasons) == (before(1), ["Every 4 weeks; last measured on 29 October"])


# By stage


def test_passing_into_another_stage_asks_on_the_day_it_begins() -> None:
    found = wanted(born(13, 2), before(2, 2))
    assert told(found) == (
        date(2026, 11, 24),
        ["Passed 12 weeks on 24 November; last measured at 11 weeks"],
    )
    assert found is not None
    assert [finding.kind for finding in found.reasons] == ["stage"]


@pytest.mark.parametrize(
    ("days_since_end", "expected"),
    [
        (83, "Passes 12 weeks on 4 December; last measured at 10 weeks"),
        (84, "Passed 12 weeks on 3 December; last measured at 10 weeks"),
        (85, "Passed 12 weeks on 2 December; last measured at 10 weeks"),
    ],
)
def test_the_day_of_passing_is_told_before_on_and_after_it(
    days_since_end: int, expected: str
) -> None:
    ended = TODAY - timedelta(days=days_since_end)
    found = wanted([PregnancyDates(ended=ended)], ended + timedelta(weeks=10))
    assert told(found) == (ended + timedelta(weeks=12), [expected])


def test_every_rule_that_asks_by_today_is_told_in_order_of_day() -> None:
    assert told(wanted(born(27), before(20))) == (
        date(2026, 8, 13),
        [
            "Every 4 weeks; last measured on 16 July",
            "Passed 12 weeks on 20 August; last measured at 7 weeks",
            "Passed 26 weeks on 26 November; last measured at 7 weeks",
        ],
    )


def test_measured_on_the_day_of_passing_counts_as_measured_in_the_new_stage() -> None:
    assert told(wanted(born(13), before(1))) == (
        date(2027, 1, 7),
        ["Every 6 weeks; last measured on 26 November"],
    )


def test_the_third_trimester_asks_when_it_begins() -> None:
    """28 weeks: ICD-10-CM, chapter 15."""
    assert told(wanted(carrying(29, 3), before(3)))[1] == [
        "Passed 28 weeks on 23 November; last measured at 26 weeks"
    ]


# What no longer counts


@pytest.mark.parametrize("ending", [Ending.BIRTH, Ending.LOSS, None])
def test_an_end_asks_for_nothing_until_six_weeks_after_it(ending: Ending | None) -> None:
    """WHO 2022: the postnatal period lasts six weeks; they are her clinician's."""
    ended = [PregnancyDates(due=date(2026, 12, 1), ended=before(2), ending=ending)]
    assert told(wanted(ended, before(10))) == (
        date(2026, 12, 31),
        ["Passes 6 weeks on 31 December; last measured on 24 September"],
    )


def test_what_was_late_before_the_end_is_not_late_after_it() -> None:
    assert told(wanted(born(7), before(30)))[0] == before(1)


def test_measured_in_the_first_weeks_the_next_is_at_six_weeks() -> None:
    assert told(wanted(born(5), before(4, 4))) == (
        date(2026, 12, 10),
        ["Passes 6 weeks on 10 December; last measured at 3 days"],
    )


def test_a_new_pregnancy_asks_from_its_eighth_week() -> None:
    pregnancies = [*born(50), *carrying(9)]
    assert told(wanted(pregnancies, before(20))) == (
        before(1),
        ["Passed 8 weeks on 26 November; last measured on 16 July"],
    )


def test_nobody_past_her_date_is_asked_for() -> None:
    assert wanted(carrying(40), before(12)) is not None
    assert wanted(carrying(40, 1), before(12)) is None
    assert wanted(carrying(40, 1)) is None


def test_nothing_is_asked_for_on_a_coming_day_past_her_date() -> None:
    assert wanted(carrying(37), before(1)) is not None  # 40 weeks to the day
    assert wanted(carrying(37, 1), before(1)) is None


# The first


def test_without_one_a_first_is_wanted_today_or_by_the_day_she_came() -> None:
    assert told(wanted(born(20))) == (TODAY, ["No assessment on file yet"])
    assert told(wanted([])) == (TODAY, ["No assessment on file yet"])
    assert told(wanted(carrying(20), TODAY + timedelta(days=1)))[0] == TODAY
    assert told(wanted(born(20), since=before(3)))[0] == before(3)


@pytest.mark.parametrize("since", [None, before(2)])
def test_a_first_waits_for_the_sixth_week_too(since: date | None) -> None:
    assert told(wanted(born(4), since=since))[0] == date(2026, 12, 17)


def test_the_day_of_a_first_does_not_move_as_time_passes() -> None:
    came, pregnancies = before(9), born(10)
    days = {
        found.by
        for n in range(300)
        if (found := due(pregnancies, [], today=came + timedelta(n), rules=policy(), since=came))
    }
    assert days == {before(4)}


# The data


def test_the_data_name_every_stage_that_can_be_asked_for_and_their_source() -> None:
    assert set(policy()) == set(Stage) - {Stage.PAST_DUE}
    assert {rule.source for rule in policy().values()} == {OURS}


@pytest.mark.parametrize("values", [(-1, 0, OURS), (4, -1, OURS), (4, 0, "")])
def test_a_rule_without_a_source_or_with_weeks_below_none_is_refused(
    values: tuple[int, int, str],
) -> None:
    with pytest.raises(ValueError, match=r"weeks are none or more|a rule names its source"):
        StageRule(*values)


def test_rules_of_another_practice_are_followed() -> None:
    rules = {**policy(), Stage.WEEKS_12_26: StageRule(3, 1, "another practice")}
    found = due(born(13, 2), [before(5)], today=TODAY, rules=rules)
    assert found is not None
    assert [(one.reason.split(";")[0], one.source) for one in found.reasons] == [
        ("Every 4 weeks", OURS),
        ("Passed 13 weeks on 1 December", "another practice"),
    ]


# Whatever the dates

_near = st.dates(date(2024, 1, 1), date(2028, 12, 31))
_pregnancy = st.builds(
    PregnancyDates,
    due=st.none() | _near,
    ended=st.none() | st.dates(date(2024, 1, 1), TODAY),
    ending=st.sampled_from([None, *Ending]),
)


@given(st.lists(_pregnancy, max_size=3), st.lists(_near, max_size=4))
def test_reasons_name_weeks_only_and_days_agree(
    pregnancies: list[PregnancyDates], assessed: list[date]
) -> None:
    found = wanted(pregnancies, *assessed)
    if stage_on(pregnancies, TODAY) is Stage.PAST_DUE:
        assert found is None
    if found is None:
        return
    words = " ".join(one.reason for one in found.reasons).lower()
    assert [word for word in NEVER_IF_QUIET if word in words] == []
    assert found.reasons
    assert found == wanted(pregnancies[::-1], *assessed[::-1])


@given(st.lists(_pregnancy, max_size=3), st.lists(_near, max_size=4))
def test_a_measurement_today_is_never_asked_for_again_today(
    pregnancies: list[PregnancyDates], assessed: list[date]
) -> None:
    found = wanted(pregnancies, *assessed, TODAY)
    assert found is None or found.by > TODAY
