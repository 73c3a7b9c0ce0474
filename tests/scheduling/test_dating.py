"""Due dates, the age of a pregnancy, redating, trimesters, term bands and dates after the end."""

from datetime import date, timedelta

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from coach.scheduling.dates import (
    CODING,
    COMPREHENSIVE_VISIT,
    FIRST_CONTACT,
    GP_CHECK,
    POSTNATAL_PERIOD,
    SCHEMES,
    DatingVerdict,
    GestationalAge,
    TermBand,
    TrimesterScheme,
    Window,
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
    suboptimally_dated,
    term_band,
    trimester,
    weeks_since,
)

AGES = st.integers(min_value=0, max_value=999 * 7).map(GestationalAge)
ANY_DAY = st.dates(min_value=date(1900, 1, 1), max_value=date(2200, 12, 31))
BIRTH = date(2025, 3, 10)


def age(text: str) -> GestationalAge:
    return GestationalAge.parse(text)


# --- due date: ACOG Committee Opinion 700 (2017) ------------------------------------------


@pytest.mark.parametrize(
    ("first_day", "due"),
    [
        pytest.param(date(2025, 1, 1), date(2025, 10, 8), id="an-ordinary-year"),
        pytest.param(date(2024, 1, 1), date(2024, 10, 7), id="across-29-february"),
        pytest.param(date(2024, 2, 29), date(2024, 12, 5), id="on-29-february"),
        pytest.param(date(2023, 12, 31), date(2024, 10, 6), id="from-the-last-day-of-a-year"),
        pytest.param(date(2024, 5, 15), date(2025, 2, 19), id="not-the-calendar-rules-22-february"),
    ],
)
def test_due_date_is_280_days_after_the_first_day_of_the_last_period(
    first_day: date, due: date
) -> None:
    assert due_from_last_period(first_day) == due


@pytest.mark.parametrize(
    ("cycle_days", "due"),
    [
        pytest.param(20, date(2025, 9, 30), id="20-days-the-shortest"),
        pytest.param(45, date(2025, 10, 25), id="45-days-the-longest"),
        pytest.param(24, date(2025, 10, 4), id="24-days-four-earlier"),
        pytest.param(28, date(2025, 10, 8), id="28-days-no-change"),
        pytest.param(32, date(2025, 10, 12), id="32-days-four-later"),
    ],
)
def test_due_date_moves_with_the_length_of_the_cycle(cycle_days: int, due: date) -> None:
    """Common practice, no source."""
    assert due_from_last_period(date(2025, 1, 1), cycle_days=cycle_days) == due


@pytest.mark.parametrize("cycle_days", [-1, 0, 19, 46, 280])
def test_a_cycle_that_cannot_date_a_pregnancy_is_refused(cycle_days: int) -> None:
    with pytest.raises(ValueError, match="20 to 45 days"):
        due_from_last_period(date(2025, 1, 1), cycle_days=cycle_days)


def test_due_date_is_266_days_after_conception() -> None:
    assert due_from_conception(date(2025, 2, 10)) == date(2025, 11, 3)


@pytest.mark.parametrize(
    ("embryo_days", "due"),
    [
        pytest.param(5, date(2025, 10, 29), id="day-5-embryo-261-days"),
        pytest.param(3, date(2025, 10, 31), id="day-3-embryo-263-days"),
    ],
)
def test_due_date_from_a_transfer(embryo_days: int, due: date) -> None:
    assert due_from_transfer(date(2025, 2, 10), embryo_days) == due


def test_a_transfer_is_of_a_day_5_embryo_unless_said_otherwise() -> None:
    assert due_from_transfer(date(2025, 2, 10)) == date(2025, 10, 29)


@pytest.mark.parametrize("embryo_days", [0, 2, 4, 6])
def test_a_transfer_of_another_age_is_refused(embryo_days: int) -> None:
    with pytest.raises(ValueError, match="3 or 5 days"):
        due_from_transfer(date(2025, 2, 10), embryo_days)


def test_due_date_from_a_scan_counts_from_the_age_that_the_scan_gave() -> None:
    assert due_from_scan(date(2025, 3, 4), age("8w0d")) == date(2025, 10, 14)


@given(ANY_DAY, ANY_DAY)
def test_a_scan_that_agrees_with_a_due_date_gives_that_due_date_back(due: date, on: date) -> None:
    found = gestational_age(due, on)
    assert found is None or due_from_scan(on, found) == due


# --- the age itself -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("days", "weeks", "rest", "text", "ordinal_week"),
    [
        pytest.param(0, 0, 0, "0w0d", 1, id="first-day-is-in-week-1"),
        pytest.param(139, 19, 6, "19w6d", 20, id="19w6d-is-in-week-20"),
        pytest.param(140, 20, 0, "20w0d", 21, id="20-weeks-completed-is-in-week-21"),
        pytest.param(146, 20, 6, "20w6d", 21, id="last-day-of-week-21"),
        pytest.param(280, 40, 0, "40w0d", 41, id="the-due-date"),
    ],
)
def test_an_age_in_weeks_and_days(
    days: int, weeks: int, rest: int, text: str, ordinal_week: int
) -> None:
    found = GestationalAge(days)
    assert (found.weeks, found.rest, str(found), found.ordinal_week) == (
        weeks,
        rest,
        text,
        ordinal_week,
    )


def test_an_age_below_zero_is_refused() -> None:
    with pytest.raises(ValueError, match="below zero"):
        GestationalAge(-1)


def test_ages_are_in_order() -> None:
    assert sorted([age("14w0d"), age("9w6d"), age("13w6d")]) == [
        age("9w6d"),
        age("13w6d"),
        age("14w0d"),
    ]


@given(AGES)
def test_an_age_written_out_is_read_back_the_same(found: GestationalAge) -> None:
    assert GestationalAge.parse(str(found)) == found


@pytest.mark.parametrize(
    ("typed", "days"),
    [
        ("21w4d", 151),
        (" 21W4D ", 151),
        ("21w 4d", 151),
        ("21+4", 151),
        ("21+0", 147),
        ("21+6", 153),
        ("21w", 147),
    ],
)
def test_the_usual_ways_to_type_an_age_are_read(typed: str, days: int) -> None:
    assert GestationalAge.parse(typed) == GestationalAge(days)


@pytest.mark.parametrize(
    "typed",
    ["", "21", "21w7d", "-1w2d", "w4d", "21.5w", "twenty", "21w4d5", "21+7", "1000w0d", "٢١w٤d"],
)
def test_what_is_not_an_age_is_refused_with_an_example(typed: str) -> None:
    with pytest.raises(ValueError, match="21w4d"):
        GestationalAge.parse(typed)


@pytest.mark.parametrize(
    ("on", "text", "left"),
    [
        pytest.param(date(2025, 1, 1), "0w0d", 280, id="the-first-day"),
        pytest.param(date(2025, 6, 1), "21w4d", 129, id="129-days-left"),
        pytest.param(date(2025, 10, 8), "40w0d", 0, id="the-due-date"),
        pytest.param(date(2025, 10, 11), "40w3d", -3, id="three-days-over"),
    ],
)
def test_age_and_days_left_from_the_due_date(on: date, text: str, left: int) -> None:
    due = date(2025, 10, 8)
    assert (str(gestational_age(due, on)), days_left(due, on)) == (text, left)


def test_before_the_first_day_there_is_no_age() -> None:
    assert gestational_age(date(2025, 10, 8), date(2024, 12, 31)) is None


@given(st.dates(), st.dates())
def test_an_age_can_be_asked_for_any_two_dates(due: date, on: date) -> None:
    found = gestational_age(due, on)
    assert (found is None) == ((due - on).days > 280)


# --- redating: ACOG Committee Opinion 700, table 1 -----------------------------------------


@pytest.mark.parametrize(
    ("first", "last", "limit"),
    [
        pytest.param("0w0d", "8w6d", 5, id="to-8w6d"),
        pytest.param("9w0d", "13w6d", 7, id="9w0d-to-13w6d"),
        pytest.param("14w0d", "15w6d", 7, id="14w0d-to-15w6d"),
        pytest.param("16w0d", "21w6d", 10, id="16w0d-to-21w6d"),
        pytest.param("22w0d", "27w6d", 14, id="22w0d-to-27w6d"),
        pytest.param("28w0d", "42w0d", 21, id="28w0d-on"),
    ],
)
def test_the_limit_and_the_day_beyond_it(first: str, last: str, limit: int) -> None:
    by_period = date(2025, 10, 8)
    for text in (first, last):
        assert redating_limit(age(text)) == limit
        for sign in (-1, 1):
            at, over = (by_period + timedelta(days=sign * n) for n in (limit, limit + 1))
            assert compare_datings(by_period, at, age(text)).verdict is DatingVerdict.KEEP
            assert compare_datings(by_period, over, age(text)).verdict is DatingVerdict.BEYOND_LIMIT


def test_a_comparison_says_what_differs_and_by_how_much_it_may() -> None:
    found = compare_datings(date(2025, 10, 8), date(2025, 10, 14), age("8w6d"))
    assert (found.difference_days, found.limit.days, found.beyond_limit) == (6, 5, True)
    assert (found.by_period, found.by_scan) == (date(2025, 10, 8), date(2025, 10, 14))
    assert found.limit.source == "ACOG Committee Opinion 700 (2017), table 1"


@pytest.mark.parametrize(
    ("first_scan", "flagged"),
    [("21w6d", False), ("22w0d", True), ("30w0d", True), (None, True)],
)
def test_dating_is_suboptimal_without_a_scan_before_22_weeks(
    first_scan: str | None, flagged: bool
) -> None:
    assert suboptimally_dated(age(first_scan) if first_scan else None) is flagged


# --- trimesters and term bands --------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "expected"),
    [("0w0d", 1), ("13w6d", 1), ("14w0d", 2), ("27w6d", 2), ("28w0d", 3), ("41w0d", 3)],
)
def test_trimester_by_the_coding_scheme(text: str, expected: int) -> None:
    """ICD-10-CM, chapter 15: less than 14w0d; 14w0d to less than 28w0d; 28w0d until delivery."""
    assert trimester(age(text)) == expected


@pytest.mark.parametrize(
    ("name", "second", "third"),
    [
        pytest.param("coding", "14w0d", "28w0d", id="coding"),
        pytest.param("leaflet-42-weeks", "13w0d", "28w0d", id="leaflet-by-42-weeks"),
        pytest.param("leaflet-40-weeks", "13w0d", "29w0d", id="leaflet-by-40-weeks"),
        pytest.param("leaflet-ordinal", "12w0d", "28w0d", id="leaflet-weeks-1-to-12"),
        pytest.param("manual", "13w0d", "25w0d", id="manual-12-and-24"),
    ],
)
def test_every_scheme_turns_on_its_own_days(name: str, second: str, third: str) -> None:
    cuts = [age(second).days, age(third).days]
    days = [cuts[0] - 1, cuts[0], cuts[1] - 1, cuts[1]]
    assert [trimester(GestationalAge(n), SCHEMES[name]) for n in days] == [1, 2, 2, 3]


def test_the_default_scheme_is_a_choice_among_the_named_ones_and_each_names_its_source() -> None:
    assert SCHEMES["coding"] is CODING
    assert [scheme.label for scheme in SCHEMES.values()] == [
        f"{scheme.second_from.weeks} and {scheme.third_from.weeks} completed weeks"
        for scheme in SCHEMES.values()
    ]
    assert [name for name, scheme in SCHEMES.items() if scheme.name != name] == []
    assert [scheme.name for scheme in SCHEMES.values() if not scheme.source] == []


@pytest.mark.parametrize("third", ["13w6d", "14w0d"])
def test_a_scheme_out_of_order_is_refused(third: str) -> None:
    with pytest.raises(ValueError, match="before the third"):
        TrimesterScheme("ours", "Ours", age("14w0d"), age(third), "policy of the practice")


@pytest.mark.parametrize(
    ("text", "band"),
    [
        ("36w6d", TermBand.PRETERM),
        ("37w0d", TermBand.EARLY_TERM),
        ("38w6d", TermBand.EARLY_TERM),
        ("39w0d", TermBand.FULL_TERM),
        ("40w6d", TermBand.FULL_TERM),
        ("41w0d", TermBand.LATE_TERM),
        ("41w6d", TermBand.LATE_TERM),
        ("42w0d", TermBand.POSTTERM),
    ],
)
def test_term_band_at_birth(text: str, band: TermBand) -> None:
    """ACOG Committee Opinion 579 (2013, reaffirmed); preterm: textbook."""
    assert term_band(age(text)) is band


# --- after the end ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("day", "weeks"),
    [(0, 0), (6, 0), (7, 1), (41, 5), (42, 6), (83, 11), (84, 12), (364, 52)],
)
def test_weeks_since_are_completed_weeks(day: int, weeks: int) -> None:
    assert weeks_since(BIRTH, BIRTH + timedelta(days=day)) == weeks


def test_weeks_since_an_end_that_is_still_to_come_are_refused() -> None:
    with pytest.raises(ValueError, match="before the end"):
        weeks_since(BIRTH, BIRTH - timedelta(days=1))


def test_the_dated_windows_after_a_birth() -> None:
    """Sources: ACOG CO 736 (2018, reaffirmed 2021); NICE QS37 statement 6 (2022); WHO 2022."""
    assert first_contact_by(BIRTH) == date(2025, 3, 31)
    assert comprehensive_visit_by(BIRTH) == date(2025, 6, 2)
    assert gp_check_window(BIRTH) == (date(2025, 4, 21), date(2025, 5, 5))
    assert postnatal_period_last_day(BIRTH) == date(2025, 4, 21)


@pytest.mark.parametrize(
    ("window", "first"),
    [
        pytest.param(FIRST_CONTACT, BIRTH, id="first-contact"),
        pytest.param(COMPREHENSIVE_VISIT, BIRTH, id="comprehensive-visit"),
        pytest.param(GP_CHECK, date(2025, 4, 21), id="gp-check"),
        pytest.param(POSTNATAL_PERIOD, BIRTH, id="postnatal-period"),
    ],
)
def test_every_window_has_a_first_day_and_a_source(window: Window, first: date) -> None:
    assert (window.dates(BIRTH)[0], bool(window.source)) == (first, True)


@pytest.mark.parametrize(
    ("day", "months", "expected"),
    [
        pytest.param(date(2025, 3, 10), 6, date(2025, 9, 10), id="six-months-are-not-26-weeks"),
        pytest.param(date(2025, 8, 31), 6, date(2026, 2, 28), id="clamped-to-28-february"),
        pytest.param(date(2023, 8, 31), 6, date(2024, 2, 29), id="clamped-to-29-february"),
        pytest.param(date(2024, 2, 29), 12, date(2025, 2, 28), id="a-year-from-29-february"),
        pytest.param(date(2025, 12, 31), 1, date(2026, 1, 31), id="over-the-year-end"),
        pytest.param(date(9999, 11, 30), 1, date(9999, 12, 30), id="the-last-year-there-is"),
        pytest.param(date(1, 2, 1), -1, date(1, 1, 1), id="the-first-year-there-is"),
        pytest.param(date(2025, 1, 31), -2, date(2024, 11, 30), id="backwards"),
    ],
)
def test_months_are_calendar_months_clamped_to_the_month_end(
    day: date, months: int, expected: date
) -> None:
    assert add_months(day, months) == expected


@pytest.mark.parametrize(("day", "months"), [(date(9999, 12, 1), 1), (date(1, 1, 1), -1)])
def test_months_past_the_years_there_are_are_refused(day: date, months: int) -> None:
    with pytest.raises(ValueError, match="no date"):
        add_months(day, months)


@given(ANY_DAY, st.integers(min_value=-240, max_value=240))
def test_months_agree_with_dateutil(day: date, months: int) -> None:
    """Reference library: dateutil.relativedelta."""
    assert add_months(day, months) == day + relativedelta(months=months)
