"""Dates of pregnancy and recovery against published values, under three time zones.

Each row begins with the id of the fact it checks and names its source. Marks
beside a source: "from memory" means that the value was not read in the source
itself; "uncertain" means that published sources leave it open; "arithmetic"
means plain counting of days. Every other value was read in the source or in a
page that restates it.

Sources:
- ACOG Committee Opinion 700, Methods for estimating the due date (2017)
- ACOG Committee Opinion 579, Definition of term pregnancy (2013, reaffirmed)
- ACOG Committee Opinion 736, Optimizing postpartum care (2018, reaffirmed 2021)
- ICD-10-CM, chapter 15, note on trimesters
- NICE QS37 statement 6 (2022) and NG194 (2021)
- WHO recommendations on maternal and newborn care for a positive postnatal
  experience (2022)
- Goom, Donnelly, Brockwell, Returning to running postnatal (2019)
"""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from datetime import date, timedelta

import pytest
from dateutil.relativedelta import relativedelta

from coach.scheduling.dates import (
    Ending,
    GestationalAge,
    PregnancyDates,
    TermBand,
    add_months,
    compare_datings,
    comprehensive_visit_by,
    days_left,
    due_from_conception,
    due_from_last_period,
    due_from_scan,
    due_from_transfer,
    first_contact_by,
    gestational_age,
    gp_check_window,
    postnatal_period_last_day,
    redating_limit,
    stage_on,
    suboptimally_dated,
    term_band,
    trimester,
    weeks_since,
)
from coach.scheduling.values import Stage

BIRTH = date(2025, 3, 10)
"""The reference birth of section 2, day 0."""

DUE = date(2025, 10, 8)
"""Due date of the reference pregnancy: last period 2025-01-01."""

ACOG_700 = "ACOG CO 700"
ACOG_700_MEMORY = "ACOG CO 700, from memory"
COMMON_PRACTICE_MEMORY = "common practice, no source, from memory"
TEXTBOOK = "textbook"


@pytest.fixture(autouse=True, params=["UTC", "Australia/Sydney", "America/New_York"])
def time_zone(request: pytest.FixtureRequest) -> Iterator[str]:
    """The process lives in this zone while the test runs; the old one comes back after."""
    before = os.environ.get("TZ")
    os.environ["TZ"] = request.param
    time.tzset()
    yield request.param
    if before is None:
        del os.environ["TZ"]
    else:
        os.environ["TZ"] = before
    time.tzset()


def on(text: str) -> date:
    return date.fromisoformat(text)


def age(text: str) -> GestationalAge:
    """`8w6d` as completed weeks and days, read here and not by the code under test."""
    weeks, rest = text.rstrip("d").split("w")
    return GestationalAge(int(weeks) * 7 + int(rest))


def age_on(day: date) -> GestationalAge:
    """The age on a day of the reference pregnancy."""
    found = gestational_age(DUE, day)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("fact", "source", "first_day", "due"),
    [
        ("1.01", ACOG_700, "2025-01-01", "2025-10-08"),
        ("1.02 leap day inside", ACOG_700, "2024-01-01", "2024-10-07"),
        ("1.02 leap day before the end", ACOG_700, "2023-06-01", "2024-03-07"),
        ("1.02 begins on the leap day", ACOG_700, "2024-02-29", "2024-12-05"),
        ("1.03 year end", ACOG_700, "2023-12-31", "2024-10-06"),
        ("1.03 due on the last day", ACOG_700, "2025-03-26", "2025-12-31"),
        ("1.03 month end", ACOG_700, "2024-05-31", "2025-03-07"),
        ("1.04 not the calendar rule", TEXTBOOK, "2024-05-15", "2025-02-19"),
        ("1.04 both rules agree", TEXTBOOK, "2025-01-01", "2025-10-08"),
    ],
)
def test_due_date_from_the_last_period(fact: str, source: str, first_day: str, due: str) -> None:
    assert due_from_last_period(on(first_day)) == on(due), (fact, source)


def test_the_calendar_rule_would_be_three_days_later() -> None:
    """1.04: minus three months, plus seven days, plus a year (textbook), by dateutil."""
    by_calendar = on("2024-05-15") + relativedelta(months=-3) + relativedelta(days=7, years=1)
    assert by_calendar == on("2025-02-22")
    assert by_calendar - due_from_last_period(on("2024-05-15")) == timedelta(days=3)


@pytest.mark.parametrize(
    ("fact", "source", "cycle_days", "due"),
    [
        ("1.05 assumed", ACOG_700, 28, "2025-10-08"),
        ("1.06 long", COMMON_PRACTICE_MEMORY, 32, "2025-10-12"),
        ("1.06 short", COMMON_PRACTICE_MEMORY, 24, "2025-10-04"),
    ],
)
def test_due_date_moves_with_the_cycle(fact: str, source: str, cycle_days: int, due: str) -> None:
    found = due_from_last_period(on("2025-01-01"), cycle_days=cycle_days)
    assert found == on(due), (fact, source)


def test_due_date_from_conception() -> None:
    """1.07: +266 days (textbook)."""
    assert due_from_conception(on("2025-02-10")) == on("2025-11-03")


@pytest.mark.parametrize(
    ("fact", "source", "embryo_days", "due", "as_if_last_period"),
    [
        ("1.08", ACOG_700, 5, "2025-10-29", "2025-01-22"),
        ("1.09", ACOG_700_MEMORY, 3, "2025-10-31", "2025-01-24"),
    ],
)
def test_due_date_from_an_embryo_transfer(
    fact: str, source: str, embryo_days: int, due: str, as_if_last_period: str
) -> None:
    found = due_from_transfer(on("2025-02-10"), embryo_days=embryo_days)
    assert found == on(due), (fact, source)
    assert found == due_from_last_period(on(as_if_last_period)), (fact, source)


def test_an_embryo_of_five_days_is_the_default() -> None:
    """1.08, ACOG CO 700."""
    assert due_from_transfer(on("2025-02-10")) == on("2025-10-29")


@pytest.mark.parametrize(
    ("fact", "at", "limit"),
    [
        ("1.10 early", "5w0d", 5),
        ("1.10 last day", "8w6d", 5),
        ("1.11 first day", "9w0d", 7),
        ("1.11 last day", "13w6d", 7),
        ("1.12 first day", "14w0d", 7),
        ("1.12 last day", "15w6d", 7),
        ("1.13 first day", "16w0d", 10),
        ("1.13 last day", "21w6d", 10),
        ("1.14 first day", "22w0d", 14),
        ("1.14 last day", "27w6d", 14),
        ("1.15 first day", "28w0d", 21),
        ("1.15 late", "40w0d", 21),
    ],
)
def test_redating_limit_by_age(fact: str, at: str, limit: int) -> None:
    """ACOG CO 700, table 1: redate when the datings differ by more than so many days."""
    assert redating_limit(age(at)) == limit, fact


@pytest.mark.parametrize("sign", [1, -1], ids=["scan-later", "scan-earlier"])
@pytest.mark.parametrize(
    ("fact", "at", "keeps", "redates"),
    [
        ("1.10", "8w6d", 5, 6),
        ("1.11", "9w0d", 7, 8),
        ("1.12", "14w0d", 7, 8),
        ("1.13", "16w0d", 10, 11),
        ("1.14", "22w0d", 14, 15),
        ("1.15", "28w0d", 21, 22),
    ],
)
def test_datings_differ_beyond_the_limit(
    fact: str, at: str, keeps: int, redates: int, sign: int
) -> None:
    """ACOG CO 700, table 1, in either direction."""
    within = compare_datings(DUE, DUE + timedelta(days=sign * keeps), age(at))
    beyond = compare_datings(DUE, DUE + timedelta(days=sign * redates), age(at))
    assert (within.beyond_limit, beyond.beyond_limit) == (False, True), fact


@pytest.mark.parametrize(
    ("scan_says", "due_by_scan", "beyond"),
    [("8w1d", "2025-10-13", False), ("8w0d", "2025-10-14", True)],
)
def test_worked_redating_case(scan_says: str, due_by_scan: str, beyond: bool) -> None:
    """1.16, ACOG CO 700: last period 2025-01-01, scan 2025-03-04 at 8w6d by the period."""
    by_period, scan_day = due_from_last_period(on("2025-01-01")), on("2025-03-04")
    assert gestational_age(by_period, scan_day) == age("8w6d")
    by_scan = due_from_scan(scan_day, age(scan_says))
    assert by_scan == on(due_by_scan)
    assert compare_datings(by_period, by_scan, age("8w6d")).beyond_limit is beyond


@pytest.mark.parametrize(
    ("first_scan", "flagged"),
    [(None, True), ("12w3d", False), ("21w6d", False), ("22w0d", True), ("30w0d", True)],
)
def test_suboptimally_dated(first_scan: str | None, flagged: bool) -> None:
    """1.17, ACOG CO 700: no confirming ultrasound before 22w0d."""
    assert suboptimally_dated(age(first_scan) if first_scan else None) is flagged


@pytest.mark.parametrize(
    ("fact", "day", "days", "text", "left"),
    [
        ("1.19 first day", "2025-01-01", 0, "0w0d", 280),
        ("1.19", "2025-05-20", 139, "19w6d", 141),
        ("1.19", "2025-05-21", 140, "20w0d", 140),
        ("1.20", "2025-06-01", 151, "21w4d", 129),
        ("1.20 due date", "2025-10-08", 280, "40w0d", 0),
        ("1.16 scan day", "2025-03-04", 62, "8w6d", 218),
    ],
)
def test_gestational_age_on_a_day(fact: str, day: str, days: int, text: str, left: int) -> None:
    """Convention: completed weeks and days, counted back from the due date (arithmetic)."""
    found = age_on(on(day))
    assert (found.days, str(found), days_left(DUE, on(day))) == (days, text, left), fact


@pytest.mark.parametrize(
    ("days", "weeks", "rest", "ordinal"),
    [(0, 0, 0, 1), (139, 19, 6, 20), (140, 20, 0, 21), (146, 20, 6, 21), (147, 21, 0, 22)],
)
def test_completed_weeks_are_not_the_ordinal_week(
    days: int, weeks: int, rest: int, ordinal: int
) -> None:
    """1.30, convention: 20 weeks completed is the 21st week."""
    found = GestationalAge(days)
    assert (found.weeks, found.rest, found.ordinal_week) == (weeks, rest, ordinal)


@pytest.mark.parametrize(
    ("fact", "day", "text", "third", "stage"),
    [
        ("1.21 first day", "2025-01-01", "0w0d", 1, Stage.TRIMESTER_1),
        ("1.21 last day", "2025-04-08", "13w6d", 1, Stage.TRIMESTER_1),
        ("1.22 first day", "2025-04-09", "14w0d", 2, Stage.TRIMESTER_2),
        ("1.22 last day", "2025-07-15", "27w6d", 2, Stage.TRIMESTER_2),
        ("1.23 first day", "2025-07-16", "28w0d", 3, Stage.TRIMESTER_3),
        ("1.23 due date", "2025-10-08", "40w0d", 3, Stage.TRIMESTER_3),
    ],
)
def test_trimester_by_icd_10_cm(fact: str, day: str, text: str, third: int, stage: Stage) -> None:
    """ICD-10-CM chapter 15: under 14w0d, under 28w0d, until delivery. The default scheme."""
    found = age_on(on(day))
    assert (str(found), trimester(found)) == (text, third), fact
    assert stage_on([PregnancyDates(due=DUE, ended=None, ending=None)], on(day)) == stage, fact


@pytest.mark.parametrize(
    ("fact", "source", "birth", "days", "band"),
    [
        ("1.25 last day", TEXTBOOK, "2025-09-16", 258, TermBand.PRETERM),
        ("1.26 first day", "ACOG CO 579", "2025-09-17", 259, TermBand.EARLY_TERM),
        ("1.26 last day", "ACOG CO 579", "2025-09-30", 272, TermBand.EARLY_TERM),
        ("1.27 first day", "ACOG CO 579", "2025-10-01", 273, TermBand.FULL_TERM),
        ("1.27 last day", "ACOG CO 579", "2025-10-14", 286, TermBand.FULL_TERM),
        ("1.28 first day", "ACOG CO 579", "2025-10-15", 287, TermBand.LATE_TERM),
        ("1.28 last day", "ACOG CO 579", "2025-10-21", 293, TermBand.LATE_TERM),
        ("1.29 first day", "ACOG CO 579", "2025-10-22", 294, TermBand.POSTTERM),
    ],
)
def test_term_band_at_birth(fact: str, source: str, birth: str, days: int, band: TermBand) -> None:
    found = age_on(on(birth))
    assert (found.days, term_band(found)) == (days, band), (fact, source)


def test_first_contact_after_a_birth() -> None:
    """2.01, ACOG CO 736: within three weeks."""
    assert first_contact_by(BIRTH) == on("2025-03-31")


def test_comprehensive_visit_is_the_newer_twelve_weeks() -> None:
    """2.02, ACOG CO 736: no later than twelve weeks; 2.03: the older six are not the default."""
    assert comprehensive_visit_by(BIRTH) == on("2025-06-02")


def test_gp_check_window() -> None:
    """2.05, NICE QS37 statement 6: six to eight weeks, day 42 to day 56."""
    assert gp_check_window(BIRTH) == (on("2025-04-21"), on("2025-05-05"))


def test_postnatal_period_ends_on_day_42() -> None:
    """2.07, WHO 2022."""
    assert postnatal_period_last_day(BIRTH) == on("2025-04-21")


@pytest.mark.parametrize(
    ("fact", "day", "weeks"),
    [
        ("2.09 second contact from (WHO 2022, from memory)", "2025-03-12", 0),
        ("2.09 second contact until (WHO 2022, from memory)", "2025-03-13", 0),
        ("2.09 third contact from (WHO 2022, from memory)", "2025-03-17", 1),
        ("2.09 third contact until (WHO 2022, from memory)", "2025-03-24", 2),
        ("2.09 fourth contact (WHO 2022, from memory)", "2025-04-21", 6),
        ("2.10 gap in the phases (Romano 2010, uncertain): two weeks", "2025-03-24", 2),
        ("2.11 early ends, late begins (textbook, from memory, uncertain)", "2025-03-18", 1),
        ("2.14 day 0 (arithmetic)", "2025-03-10", 0),
        ("2.14 day 41 (arithmetic)", "2025-04-20", 5),
        ("2.14 day 42 (arithmetic)", "2025-04-21", 6),
        ("2.14 day 83 (arithmetic)", "2025-06-01", 11),
        ("2.14 day 84 (arithmetic)", "2025-06-02", 12),
        ("2.15 twenty-six weeks (arithmetic)", "2025-09-08", 26),
    ],
)
def test_completed_weeks_since_a_birth(fact: str, day: str, weeks: int) -> None:
    """Section 2: postpartum week = completed weeks; the birth is day 0."""
    assert weeks_since(BIRTH, on(day)) == weeks, fact


@pytest.mark.parametrize(
    ("fact", "months", "expected"),
    [
        ("2.12 the first year (2025 Canadian guideline, its title)", 12, "2026-03-10"),
        ("2.15 six months, common practice", 6, "2025-09-10"),
        ("4.01 three months (Goom 2019)", 3, "2025-06-10"),
    ],
)
def test_calendar_months_after_a_birth(fact: str, months: int, expected: str) -> None:
    assert add_months(BIRTH, months) == on(expected), fact


def test_six_months_are_not_twenty_six_weeks() -> None:
    """2.15: 184 days against 182."""
    six_months = add_months(BIRTH, 6)
    assert (six_months - BIRTH).days == 184
    assert six_months - (BIRTH + timedelta(weeks=26)) == timedelta(days=2)


def test_three_months_twelve_weeks_and_ninety_days_are_three_dates() -> None:
    """Contradiction 10: published sources say one for another; the code never does."""
    three_dates = (BIRTH + timedelta(weeks=12), BIRTH + timedelta(days=90), add_months(BIRTH, 3))
    assert three_dates == (on("2025-06-02"), on("2025-06-08"), on("2025-06-10"))


@pytest.mark.parametrize(
    ("day", "months", "expected"),
    [
        ("2025-01-31", 1, "2025-02-28"),
        ("2024-01-31", 1, "2024-02-29"),
        ("2024-02-29", 12, "2025-02-28"),
        ("2025-08-31", 6, "2026-02-28"),
        ("2025-12-31", 2, "2026-02-28"),
        ("2025-10-31", 1, "2025-11-30"),
    ],
)
def test_months_are_clamped_to_the_month_end(day: str, months: int, expected: str) -> None:
    """2.15 and 11.16: common practice, no source."""
    assert add_months(on(day), months) == on(expected)


def test_month_arithmetic_equals_dateutil() -> None:
    """2.15 against an independent library, over four years with a leap day."""
    first, days = date(2023, 1, 1), range(0, 4 * 366, 3)
    starts = [first + timedelta(days=n) for n in days]
    ours = [add_months(day, months) for day in starts for months in range(0, 27)]
    theirs = [day + relativedelta(months=months) for day in starts for months in range(0, 27)]
    assert ours == theirs


@pytest.mark.parametrize(
    ("day", "stage"),
    [
        ("2025-03-10", Stage.WEEKS_0_6),
        ("2025-04-07", Stage.WEEKS_0_6),
        ("2025-04-20", Stage.WEEKS_0_6),
        ("2025-04-21", Stage.WEEKS_6_12),
    ],
)
def test_after_a_preterm_birth_the_count_starts_at_the_birth(day: str, stage: Stage) -> None:
    """2.16, convention: born 2025-03-10, due 2025-04-07."""
    preterm = PregnancyDates(due=on("2025-04-07"), ended=BIRTH, ending=Ending.BIRTH)
    assert stage_on([preterm], on(day)) == stage
