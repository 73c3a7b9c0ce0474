"""The pace of publishing, against worked rows, the statistics module and python-dateutil."""

from __future__ import annotations

import statistics
from datetime import date, timedelta
from fractions import Fraction
from itertools import pairwise

import pytest
from dateutil.relativedelta import relativedelta
from dateutil.rrule import DAILY, MO, TH, WEEKLY, rrule
from hypothesis import given
from hypothesis import strategies as st

from coach.scheduling.cadence import (
    Gaps,
    InHand,
    Published,
    Week,
    filming_rate,
    gaps,
    in_hand,
    iso_weeks,
    pace,
    share_met,
    since_focus,
    since_stage,
    weeks_ahead,
)
from coach.scheduling.values import SERVABLE_STAGES, Stage

DAYS = st.dates(date(2019, 1, 1), date(2028, 12, 31))
MANY_DAYS = st.lists(DAYS, max_size=40)


# ISO 8601: week 1 holds the year's first Thursday, so a year that begins on a Thursday, or a leap
# year that begins on a Wednesday, has 53 weeks. 2020 and 2026 are such years; 2021 is not.
@pytest.mark.parametrize(
    ("day", "year", "number", "monday"),
    [
        (date(2020, 12, 31), 2020, 53, date(2020, 12, 28)),
        (date(2021, 1, 3), 2020, 53, date(2020, 12, 28)),
        (date(2021, 1, 4), 2021, 1, date(2021, 1, 4)),
        (date(2019, 12, 30), 2020, 1, date(2019, 12, 30)),
        (date(2026, 12, 31), 2026, 53, date(2026, 12, 28)),
        (date(2027, 1, 1), 2026, 53, date(2026, 12, 28)),
        (date(2027, 1, 4), 2027, 1, date(2027, 1, 4)),
        (date(2022, 1, 1), 2021, 52, date(2021, 12, 27)),
    ],
)
def test_a_day_at_the_turn_of_the_year_falls_into_its_iso_week(
    day: date, year: int, number: int, monday: date
) -> None:
    (week,) = iso_weeks([day], target=2, today=day, weeks=1)
    assert week == Week(year, number, monday, uploads=1, met=None)


def test_weeks_across_a_year_of_53_weeks_follow_without_a_hole() -> None:
    uploads = [date(2026, 12, 22), date(2026, 12, 31), date(2027, 1, 1), date(2027, 1, 5)]
    assert iso_weeks(uploads, target=2, today=date(2027, 1, 6), weeks=3) == (
        Week(2026, 52, date(2026, 12, 21), 1, met=False),
        Week(2026, 53, date(2026, 12, 28), 2, met=True),
        Week(2027, 1, date(2027, 1, 4), 1, met=None),
    )


@given(MANY_DAYS, DAYS, st.integers(1, 60))
def test_weeks_agree_with_dateutil(days: list[date], today: date, weeks: int) -> None:
    first = today - timedelta(days=today.weekday(), weeks=weeks - 1)
    mondays = [found.date() for found in rrule(WEEKLY, byweekday=MO, dtstart=first, count=weeks)]
    strip = iso_weeks(days, target=1, today=today, weeks=weeks)
    assert [week.monday for week in strip] == mondays
    assert sum(week.uploads for week in strip) == sum(first <= day <= today for day in days)
    assert [date.fromisocalendar(week.year, week.number, 1) for week in strip] == mondays


def test_an_upload_still_to_come_does_not_count() -> None:
    today = date(2026, 11, 25)
    (week,) = iso_weeks([date(2026, 11, 26), today], target=1, today=today, weeks=1)
    assert week.uploads == 1


def test_the_share_counts_weeks_that_are_over_from_the_first_upload_on() -> None:
    """Two weeks before she began, then one met, one missed, one met, and this week."""
    today = date(2026, 11, 25)
    uploads = [date(2026, 11, day) for day in (4, 6, 10, 17, 20, 24)]
    weeks = iso_weeks(uploads, target=2, today=today, weeks=6)
    assert [week.met for week in weeks] == [False, False, True, False, True, None]
    assert share_met(weeks, first=min(uploads)) == Fraction(2, 3)


def test_no_share_is_known_before_a_week_is_over() -> None:
    today = date(2026, 11, 25)
    weeks = iso_weeks([today], target=1, today=today, weeks=4)
    assert share_met(weeks, first=today) is None
    assert share_met(weeks, first=None) is None


def test_gaps_of_three_four_and_seven_days() -> None:
    """Mean 14 ÷ 3; variance (9 + 16 + 49) ÷ 3 − (14 ÷ 3)² = 26 ÷ 9. Worked by hand."""
    found = gaps([date(2026, 11, day) for day in (16, 2, 9, 5)])
    assert found == Gaps(
        pytest.approx(14 / 3), pytest.approx((26 / 9) ** 0.5), 7, date(2026, 11, 9)
    )


@given(st.lists(DAYS, min_size=2, max_size=40, unique=True))
def test_gaps_agree_with_the_statistics_module(days: list[date]) -> None:
    ordered = sorted(days)
    lengths = [(b - a).days for a, b in pairwise(ordered)]
    found = gaps(days)
    assert found is not None
    assert found.mean == pytest.approx(statistics.fmean(lengths))
    assert found.spread == pytest.approx(statistics.pstdev(lengths))
    assert found.longest == max(lengths)
    assert found.longest_from + timedelta(days=found.longest) in ordered


@pytest.mark.parametrize("days", [[], [date(2026, 1, 1)], [date(2026, 1, 1)] * 2])
def test_fewer_than_two_publishing_days_have_no_gap(days: list[date]) -> None:
    assert gaps(days) is None


def test_an_even_pace_has_no_spread() -> None:
    days = [date(2026, 2, 27) + timedelta(days=3 * n) for n in range(5)]
    assert gaps(days) == Gaps(3.0, 0.0, 3, date(2026, 2, 27))


@pytest.mark.parametrize(
    ("finished", "target", "weeks", "last_out"),
    [
        (0, 3, Fraction(0), None),
        (6, 3, Fraction(2), date(2027, 1, 3)),
        (1, 7, Fraction(1, 7), date(2026, 12, 21)),
        (5, 3, Fraction(5, 3), date(2027, 1, 1)),  # 11⅔ days, so the twelfth
        (1, 1, Fraction(1), date(2026, 12, 27)),
    ],
)
def test_weeks_in_hand(finished: int, target: int, weeks: Fraction, last_out: date | None) -> None:
    found = in_hand(finished, target=target, today=date(2026, 12, 20))
    assert found == InHand(weeks, last_out, rate=None, ends=last_out)


@pytest.mark.parametrize(
    ("finished", "target", "rate", "ends"),
    [
        # Six go at three a week and one comes in: the last of them is out in 6 ÷ 2 weeks.
        (6, 3, Fraction(1), date(2027, 1, 10)),
        (6, 3, None, date(2027, 1, 3)),  # nothing filmed: as without filming
        (6, 3, Fraction(3), None),
        (6, 3, Fraction(4), None),
        (1, 2, Fraction(15, 8), date(2027, 2, 14)),  # an eighth of a class a week: eight weeks
        (0, 2, Fraction(1), None),
    ],
)
def test_weeks_in_hand_at_todays_rate_of_filming(
    finished: int, target: int, rate: Fraction | None, ends: date | None
) -> None:
    found = in_hand(finished, target=target, today=date(2026, 12, 20), rate=rate)
    assert (found.rate, found.ends) == (rate, ends)
    assert found.keeps_up == (finished > 0 and ends is None)


@given(st.integers(1, 60), st.integers(1, 7), st.integers(0, 80))
def test_what_is_in_hand_lasts_until_it_ends_and_no_day_less(
    finished: int, target: int, eighths: int
) -> None:
    """Day by day: `target` ÷ 7 go and `rate` ÷ 7 come, and the first day with none left is told."""
    today, rate = date(2026, 12, 20), Fraction(eighths, 8)
    found = in_hand(finished, target=target, today=today, rate=rate)
    if found.ends is None:
        assert rate >= target
        return
    days = (found.ends - today).days
    left = [finished - n * (target - rate) / 7 for n in (days - 1, days)]
    assert left[0] > 0 >= left[1]


def test_what_would_last_beyond_the_calendar_ends_with_it() -> None:
    found = in_hand(10**9, target=1, today=date(2026, 12, 20))
    assert found.last_out == date.max


# Eight weeks up to 20 December are its 20 days, the 30 of November and the last six of October.
@pytest.mark.parametrize(
    ("filmed", "rate"),
    [
        ([], None),
        ([date(2026, 10, 25)], None),
        ([date(2026, 10, 26)], Fraction(1, 8)),
        ([date(2026, 12, 20)] * 4, Fraction(1, 2)),
        ([date(2026, 12, 21)], None),
        ([date(2026, 11, 1), date(2026, 12, 1), date(2026, 9, 1)], Fraction(1, 4)),
    ],
)
def test_the_rate_of_filming_is_of_the_last_eight_weeks(
    filmed: list[date], rate: Fraction | None
) -> None:
    assert filming_rate(filmed, today=date(2026, 12, 20)) == rate


@given(MANY_DAYS, DAYS, st.integers(1, 20))
def test_the_rate_agrees_with_a_count_by_dateutil(
    filmed: list[date], today: date, weeks: int
) -> None:
    window = rrule(DAILY, count=7 * weeks, dtstart=today - relativedelta(weeks=weeks, days=-1))
    days = {found.date() for found in window}
    assert max(days) == today
    count = sum(day in days for day in filmed)
    assert filming_rate(filmed, today=today, weeks=weeks) == (Fraction(count, weeks) or None)


@pytest.mark.parametrize(
    ("today", "weeks"),
    [
        (date(2020, 12, 14), [(2020, 52), (2020, 53), (2021, 1)]),
        (date(2026, 12, 20), [(2026, 52), (2026, 53), (2027, 1)]),
        (date(2027, 12, 26), [(2027, 52), (2028, 1), (2028, 2)]),
        (date(2026, 12, 28), [(2027, 1), (2027, 2), (2027, 3)]),
    ],
)
def test_the_weeks_ahead_cross_the_year(today: date, weeks: list[tuple[int, int]]) -> None:
    found = weeks_ahead(today, 3)
    assert [day.isocalendar()[:2] for day in found] == weeks
    assert {day.weekday() for day in found} == {0}


@given(DAYS, st.integers(1, 30))
def test_the_weeks_ahead_are_dateutils_next_mondays(today: date, weeks: int) -> None:
    first = today + timedelta(days=1)
    mondays = rrule(WEEKLY, byweekday=MO, dtstart=first, count=weeks)
    assert weeks_ahead(today, weeks) == tuple(found.date() for found in mondays)


def has_53_weeks(year: int) -> bool:
    """By the definition that ISO 8601 gives: a year has as many weeks as it has Thursdays."""
    thursdays = rrule(WEEKLY, byweekday=TH, dtstart=date(year, 1, 1), until=date(year, 12, 31))
    return len(list(thursdays)) == 53


@pytest.mark.parametrize("year", range(2000, 2101))
def test_every_year_has_the_weeks_that_its_thursdays_give_it(year: int) -> None:
    """The strip that ends on 28 December, always in the last week, and begins in the first one."""
    last = date(year, 12, 28)
    strip = iso_weeks([], target=1, today=last, weeks=53 if has_53_weeks(year) else 52)
    assert [(week.year, week.number) for week in strip] == [
        (year, n) for n in range(1, len(strip) + 1)
    ]


def test_the_years_of_53_weeks_are_those_published() -> None:
    """71 in 400 years; the first of this century from the list in Wikipedia, “ISO week date”
    (from memory)."""
    long = [year for year in range(2000, 2400) if has_53_weeks(year)]
    assert len(long) == 71
    assert long[:8] == [2004, 2009, 2015, 2020, 2026, 2032, 2037, 2043]


@pytest.mark.parametrize(("finished", "target"), [(1, 0), (-1, 2)])
def test_weeks_in_hand_refuse_nonsense(finished: int, target: int) -> None:
    with pytest.raises(ValueError, match="Weeks in hand need"):
        in_hand(finished, target=target, today=date(2026, 12, 20))


@pytest.mark.parametrize(("target", "weeks"), [(0, 26), (1, 0)])
def test_a_pace_refuses_nonsense(target: int, weeks: int) -> None:
    with pytest.raises(ValueError, match="A pace needs"):
        iso_weeks([], target=target, today=date(2026, 12, 20), weeks=weeks)


UPLOADS = (
    Published(date(2026, 11, 2), "core", frozenset({Stage.TRIMESTER_3})),
    Published(date(2026, 11, 20), "hips", frozenset({Stage.TRIMESTER_2, Stage.TRIMESTER_3})),
    Published(date(2026, 11, 23), "core", frozenset({Stage.WEEKS_6_12})),
    Published(date(2026, 11, 24), "", frozenset()),
    Published(date(2026, 11, 30), "hips", frozenset({Stage.TRIMESTER_1})),  # still to come
)


def test_days_since_each_focus_begin_with_the_one_that_waits_longest() -> None:
    assert since_focus(UPLOADS, today=date(2026, 11, 25)) == (("hips", 5), ("core", 2))


def test_days_since_each_stage_and_never_where_there_was_none() -> None:
    expected = dict.fromkeys(SERVABLE_STAGES) | {
        Stage.TRIMESTER_2: 5,
        Stage.TRIMESTER_3: 5,
        Stage.WEEKS_6_12: 2,
    }
    assert dict(since_stage(UPLOADS, today=date(2026, 11, 25))) == expected


def test_the_whole_pace_of_a_beginner() -> None:
    today = date(2026, 11, 25)
    out, filmed = [upload.day for upload in UPLOADS], [date(2026, 11, 1), date(2026, 11, 20)]
    found = pace(out, finished=3, target=2, today=today, filmed=filmed, weeks=4)
    assert [(week.number, week.uploads, week.met) for week in found.weeks] == [
        (45, 1, False),
        (46, 0, False),
        (47, 1, False),
        (48, 2, None),
    ]
    assert found.share_met == 0
    assert found.gaps == Gaps(
        pytest.approx(22 / 3), pytest.approx(7.586537784494), 18, date(2026, 11, 2)
    )
    assert found.days_since_last == 1
    # Three go at two a week while a quarter comes in: 3 ÷ 1¾ weeks, twelve days.
    assert found.in_hand == InHand(
        Fraction(3, 2), date(2026, 12, 6), rate=Fraction(1, 4), ends=date(2026, 12, 7)
    )


def test_gaps_are_those_of_the_weeks_shown() -> None:
    out = [upload.day for upload in UPLOADS]
    found = pace(out, finished=0, target=2, today=date(2026, 11, 25), weeks=2)
    assert found.gaps == Gaps(2.0, 1.0, 3, date(2026, 11, 20))


def test_nothing_published_leaves_everything_unknown() -> None:
    today = date(2026, 11, 25)
    found = pace((), finished=0, target=2, today=today)
    assert len(found.weeks) == 26
    assert (found.share_met, found.gaps, found.days_since_last) == (None, None, None)
    assert found.in_hand == InHand(Fraction(0), None)
    assert since_focus((), today=today) == ()
    assert dict(since_stage((), today=today)) == dict.fromkeys(SERVABLE_STAGES)
