"""A month as weeks, and its open publish days. Reference: dateutil's recurrence rules."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

import pytest
from dateutil.rrule import FR, MO, MONTHLY, SA, SU, TH, TU, WE, WEEKLY, rrule

from content.rules.months import (
    Month,
    closed_days,
    film_days,
    most_days_between,
    most_of,
    open_days,
)
from content.rules.plan_words import (
    SAME,
    accept_in_words,
    became,
    changed,
    making_in_words,
    month_in_words,
    quality_in_words,
    week_in_words,
)

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
    ("standing", "proposed", "quality", "line"),
    [
        (0, 0, "the best for your wishes", "nothing planned yet"),
        (1, 0, "", "one upload planned"),
        (0, 8, "the best for your wishes", "a proposal: eight uploads, the best for your wishes"),
        (
            2,
            1,
            "within 1 % of the best",
            "a proposal: one upload, within 1 % of the best; two planned before",
        ),
        (0, 13, "", "a proposal: 13 uploads"),
    ],
)
def test_a_month_says_what_stands_and_what_is_proposed(
    standing: int, proposed: int, quality: str, line: str
) -> None:
    assert month_in_words(standing, proposed, quality=quality) == line


@pytest.mark.parametrize(
    ("status", "value", "bound", "line"),
    [
        ("optimal", 100, 100, "the best for your wishes"),
        ("optimal", 0, 0, "the best for your wishes"),
        ("feasible", 9999, 10000, "within 1 % of the best"),
        ("feasible", 9900, 10000, "within 1 % of the best"),
        ("feasible", 9899, 10000, "the best found in the time there was"),
        ("feasible", -5, 0, "the best found in the time there was"),
        ("by hand", 9999, 10000, "changed by hand"),
    ],
)
def test_how_good_a_plan_is_is_said_without_figures(
    status: str, value: int, bound: int, line: str
) -> None:
    """Per cent of the proved bound, rounded up: never better than it is."""
    assert quality_in_words(status, value, bound) == line


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


def test_the_days_that_are_closed_each_with_the_reason() -> None:
    """With the open ones they are every day of the month to come, and none twice."""
    month, today = Month.parse("2026-12"), date(2026, 12, 24)
    days: dict[str, Any] = {
        "weekdays": (1, 5),
        "days_off": {date(2026, 12, 26), date(2026, 12, 28)},
        "taken": {date(2026, 12, 28), date(2026, 12, 31)},
    }
    found = closed_days(month, today=today, **days)
    assert found == (
        (date(2026, 12, 25), "no publish day of yours"),
        (date(2026, 12, 26), "a day off"),
        (date(2026, 12, 27), "no publish day of yours"),
        (date(2026, 12, 28), "an upload stands there"),
        (date(2026, 12, 30), "no publish day of yours"),
        (date(2026, 12, 31), "an upload stands there"),
    )
    assert open_days(month, today=today, **days) == (date(2026, 12, 29),)


def test_filming_days_run_from_tomorrow_to_the_end_of_the_month() -> None:
    """Reference: dateutil's weekly rule, Wednesdays from the day after today."""
    month, today = Month.parse("2027-01"), date(2026, 12, 16)
    rule = rrule(
        WEEKLY,
        dtstart=datetime(2026, 12, 17, tzinfo=UTC),
        until=datetime(2027, 1, 31, tzinfo=UTC),
        byweekday=WE,
    )
    expected = [moment.date() for moment in rule]
    assert list(film_days(month, today=today, weekdays={2}, days_off=set())) == expected
    off = {date(2027, 1, 6)}
    assert list(film_days(month, today=today, weekdays={2}, days_off=off)) == [
        day for day in expected if day not in off
    ]
    assert film_days(month, today=date(2027, 2, 1), weekdays={2}, days_off=set()) == ()


@pytest.mark.parametrize(
    ("share", "uploads", "standing", "most"),
    [(25, 8, 0, 2), (25, 9, 0, 3), (25, 9, 2, 1), (25, 8, 5, 0), (0, 8, 0, 0), (100, 8, 1, 7)],
)
def test_a_share_of_the_month_in_uploads_rounded_up(
    share: int, uploads: int, standing: int, most: int
) -> None:
    assert most_of(share, uploads, standing) == most


@pytest.mark.parametrize(("a_week", "most"), [(1, 7), (2, 3), (3, 2), (4, 1), (7, 1)])
def test_the_days_between_that_so_many_a_week_leave_room_for(a_week: int, most: int) -> None:
    """Counted out: uploads every `most` days keep to it in every week, a day more does not."""
    assert most_days_between(a_week) == most
    year = [n for n in range(0, 364, most)]
    assert all(sum(7 * week <= n < 7 * week + 7 for n in year) >= a_week for week in range(52))
    wider = [n for n in range(0, 364, most + 1)]
    assert any(sum(7 * week <= n < 7 * week + 7 for n in wider) < a_week for week in range(52))


def test_what_changed_from_one_plan_to_the_next_in_sentences() -> None:
    titles = {1: "Hips and back", 2: "Seated strength", 3: "Stretch"}
    tuesday, saturday = date(2027, 1, 5), date(2027, 1, 9)
    assert changed({1: tuesday, 2: saturday}, {1: saturday, 3: tuesday}, titles) == (
        "“Hips and back” moves from Tuesday 5 January to Saturday 9 January.",
        "“Stretch” is new on Tuesday 5 January.",
        "“Seated strength”, on Saturday 9 January before, is left out.",
    )
    assert changed({1: tuesday}, {1: tuesday}, titles) == ()
    assert changed({9: tuesday}, {}, titles) == (
        "A class that was deleted, on Tuesday 5 January before, is left out.",
    )
    assert SAME.endswith(".")


@pytest.mark.parametrize(
    ("state", "stands", "said"),
    [
        ("", None, ("void", "deleted since")),
        ("withdrawn", date(2027, 1, 5), ("withdrawn", "withdrawn")),
        ("edited", None, ("none", "no day now")),
        ("scheduled", date(2027, 1, 5), ("fixed", "planned there")),
        ("scheduled", date(2027, 1, 6), ("moved", "now on Wednesday 6 January")),
        ("published", date(2027, 1, 5), ("published", "published")),
        ("published", date(2027, 1, 6), ("published", "published on Wednesday 6 January")),
    ],
)
def test_what_became_of_a_planned_class(
    state: str, stands: date | None, said: tuple[str, str]
) -> None:
    assert became(state, stands, date(2027, 1, 5)) == said


def test_what_is_made_on_a_day_names_filming_and_editing_alone() -> None:
    assert making_in_words({"edit": 1, "film": 2, "captions": 4}) == "film two, edit one"
    assert making_in_words({"outline": 1}) == ""
