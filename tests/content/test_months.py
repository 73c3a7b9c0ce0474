"""A month as weeks, and its open publish days. Reference: dateutil's recurrence rules."""

from __future__ import annotations

from datetime import date

import pytest
from dateutil.rrule import FR, MO, MONTHLY, SA, SU, TH, TU, WE, rrule

from content.models import Preference
from content.rules.months import Month, open_days
from content.rules.plan_words import accept_in_words, month_in_words, week_in_words
from content.rules.preferences import weights

WEEKDAYS = (MO, TU, WE, TH, FR, SA, SU)


@pytest.mark.parametrize(
    ("text", "first", "last"),
    [
        ("2027-01", date(2027, 1, 1), date(2027, 1, 31)),
        ("2028-02", date(2028, 2, 1), date(2028, 2, 29)),
        ("2027-02", date(2027, 2, 1), date(2027, 2, 28)),
        ("2026-12", date(2026, 12, 1), date(2026, 12, 31)),
    ],
)
def test_a_month_knows_its_ends(text: str, first: date, last: date) -> None:
    month = Month.parse(text)
    assert (month.first, month.last, str(month)) == (first, last, text)


@pytest.mark.parametrize(
    "text", ["2027-13", "2027-00", "27-01", "2027-1", "1999-12", "x", "9999-99"]
)
def test_what_is_no_month_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r".+"):
        Month.parse(text)


def test_the_year_turns_in_both_directions() -> None:
    assert str(Month.parse("2026-12").next) == "2027-01"
    assert str(Month.parse("2027-01").previous) == "2026-12"


def test_weeks_run_from_monday_to_sunday_and_cover_the_month() -> None:
    """ISO 8601: the last days of 2026 lie in week 53."""
    weeks = Month.parse("2027-01").weeks()
    assert [week[0].isocalendar().week for week in weeks] == [53, 1, 2, 3, 4]
    assert all(week[0].weekday() == 0 and len(week) == 7 for week in weeks)
    assert set(Month.parse("2027-01").days()) <= {day for week in weeks for day in week}


@pytest.mark.parametrize("weekdays", [(1, 5), (0,), (0, 1, 2, 3, 4, 5, 6), (6,), ()])
@pytest.mark.parametrize("text", ["2026-12", "2027-02", "2028-02", "2027-08"])
def test_open_days_are_those_of_the_recurrence_rule(text: str, weekdays: tuple[int, ...]) -> None:
    month = Month.parse(text)
    rule = rrule(
        MONTHLY,
        dtstart=month.first.replace(day=1),
        count=31,
        byweekday=[WEEKDAYS[day] for day in weekdays],
    )
    expected = [moment.date() for moment in rule if Month.of(moment.date()) == month]
    found = open_days(month, today=date(2026, 1, 1), weekdays=weekdays, days_off=set(), taken=set())
    assert list(found) == (expected if weekdays else [])


def test_days_gone_days_off_and_days_taken_are_closed() -> None:
    found = open_days(
        Month.parse("2026-12"),
        today=date(2026, 12, 8),
        weekdays=(1,),
        days_off={date(2026, 12, 15)},
        taken={date(2026, 12, 22)},
    )
    assert found == (date(2026, 12, 29),)


@pytest.mark.parametrize(
    ("standing", "proposed", "best", "line"),
    [
        (0, 0, True, "nothing planned yet"),
        (1, 0, True, "one upload planned"),
        (0, 8, True, "a proposal: eight uploads, the best for your wishes"),
        (
            2,
            1,
            False,
            "a proposal: one upload, the best found in the time there was; two planned before",
        ),
        (0, 13, True, "a proposal: 13 uploads, the best for your wishes"),
    ],
)
def test_a_month_says_what_stands_and_what_is_proposed(
    standing: int, proposed: int, best: bool, line: str
) -> None:
    assert month_in_words(standing, proposed, best=best) == line


def test_weeks_and_buttons_in_words() -> None:
    assert [week_in_words(*pair) for pair in ((2, 2), (0, 2), (1, 0), (0, 0))] == [
        "2 of 2",
        "0 of 2",
        "1",
        "",
    ]
    assert [accept_in_words(n) for n in (1, 2, 8)] == [
        "Accept it",
        "Accept both",
        "Accept all eight",
    ]


def test_every_preference_has_its_weights() -> None:
    assert set(weights()) == set(Preference.values)
    assert weights()["serve"].serve > weights()["balanced"].serve > weights()["mix"].serve
    assert weights()["serve"].focus < weights()["balanced"].focus < weights()["mix"].focus
