"""A due date by each method, against worked examples.

ACOG Committee Opinion 700 (2017): 280 days from the last period, day-5 embryo +261; day-3 +263
is of the same opinion, from memory; 266 days from conception: textbook. The dates were counted
outside this project.
"""

from __future__ import annotations

from datetime import date

import pytest

from clients.rules.dating import METHODS, work_out_due
from clients.rules.words import worked_out
from coach.scheduling.dates import GestationalAge

ROWS = [
    # method         day                age     due
    ("clinician", date(2027, 2, 21), None, date(2027, 2, 21)),
    ("last-period", date(2025, 1, 1), None, date(2025, 10, 8)),
    ("last-period", date(2024, 2, 29), None, date(2024, 12, 5)),
    ("last-period", date(2024, 5, 15), None, date(2025, 2, 19)),  # the calendar rule: 22nd
    ("transfer-5", date(2025, 2, 10), None, date(2025, 10, 29)),
    ("transfer-3", date(2025, 2, 10), None, date(2025, 10, 31)),
    ("conception", date(2025, 2, 10), None, date(2025, 11, 3)),
    ("scan", date(2025, 3, 4), "8w0d", date(2025, 10, 14)),
    ("scan", date(2025, 6, 1), "21w4d", date(2025, 10, 8)),
]


@pytest.mark.parametrize(("method", "day", "age", "due"), ROWS)
def test_each_method_gives_the_published_date(
    method: str, day: date, age: str | None, due: date
) -> None:
    assert work_out_due(method, day, GestationalAge.parse(age) if age else None) == due


def test_every_method_has_an_example() -> None:
    assert {method for method, *_ in ROWS} == set(METHODS)


@pytest.mark.parametrize(("method", "day"), [("scan", date(2025, 3, 4)), ("guess", date.min)])
def test_a_scan_without_its_age_and_an_unknown_method_are_refused(method: str, day: date) -> None:
    with pytest.raises(ValueError, match="needs one of the methods"):
        work_out_due(method, day)


def test_a_day_at_the_end_of_the_calendar_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="check the year"):
        work_out_due("last-period", date(9999, 12, 31))


@pytest.mark.parametrize(
    ("on", "quiet", "words"),
    [  # 151 days to 1 June: counted outside this project
        (date(2025, 6, 1), False, "Due date Wednesday 8 October 2025: 21w4d today."),
        (date(2025, 6, 1), True, "40 weeks on Wednesday 8 October 2025: 21w4d today."),
        (None, False, "Due date Wednesday 8 October 2025."),
        (None, True, "40 weeks on Wednesday 8 October 2025."),
        (date(2024, 12, 31), False, "Due date Wednesday 8 October 2025: not begun yet today."),
    ],
)
def test_what_a_typed_day_comes_to_is_said_at_once(
    on: date | None, quiet: bool, words: str
) -> None:
    assert worked_out(date(2025, 10, 8), on, quiet=quiet) == words
