"""Who is to be reassessed, from stored rows."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from coach.diary.queries import diary_page, reassessments
from coach.practice.models import Practice
from tests import factories_diary as made

TODAY = date(2026, 12, 3)


@pytest.fixture(autouse=True)
def _galway(practice: Practice) -> None:
    """Every test has a practice."""


def late() -> None:
    """Passed 12 weeks on 24 November, last measured at 8 weeks."""
    made.assessed(made.afterwards("Łucja Brzoza", date(2026, 9, 1)), date(2026, 10, 27))


def test_a_client_who_passed_into_another_stage_is_told_with_day_and_reason() -> None:
    late()
    (one,) = reassessments(TODAY)
    assert (one.name, one.quiet, one.by, one.overdue_days) == (
        "Łucja Brzoza",
        False,
        date(2026, 11, 24),
        9,
    )
    assert [finding.reason for finding in one.reasons] == [
        "Every 4 weeks; last measured on 27 October",
        "Passed 12 weeks on 24 November; last measured at 8 weeks",
    ]


def test_the_earliest_day_stands_first_and_one_to_come_is_not_late() -> None:
    late()
    made.assessed(made.pregnant("Orla Kinsale", date(2027, 1, 21)), date(2026, 11, 12))
    made.assessed(made.afterwards("Ines Prado", date(2026, 7, 1)), date(2026, 10, 20))
    assert [(one.name, one.by, one.overdue_days) for one in reassessments(TODAY)] == [
        ("Łucja Brzoza", date(2026, 11, 24), 9),
        ("Ines Prado", date(2026, 12, 1), 2),
        ("Orla Kinsale", date(2026, 12, 10), 0),
    ]


def test_only_clients_who_are_coached_now_are_in_it() -> None:
    for standing in ("active", "paused", "former"):
        made.afterwards(standing.title(), date(2026, 7, 1), standing=standing)
    assert [one.name for one in reassessments(TODAY)] == ["Active"]


@pytest.mark.parametrize(
    ("last", "is_in"), [(date(2026, 11, 19), True), (date(2026, 11, 20), False)]
)
def test_four_weeks_ahead_are_in_it(last: date, is_in: bool) -> None:
    made.assessed(made.afterwards("Orla Kinsale", date(2026, 8, 1)), last)
    assert [one.by for one in reassessments(TODAY)] == ([date(2026, 12, 31)] if is_in else [])
    assert len(reassessments(TODAY, within_days=None)) == 1


@pytest.mark.parametrize(
    ("zone", "came"),
    [
        ("Europe/Dublin", date(2026, 11, 30)),
        ("Australia/Sydney", date(2026, 12, 1)),
        ("America/New_York", date(2026, 11, 30)),
    ],
)
def test_a_first_assessment_is_wanted_from_the_day_she_came(zone: str, came: date) -> None:
    at = datetime(2026, 11, 30, 20, tzinfo=UTC)
    made.afterwards("Ines Prado", date(2026, 7, 1), created_at=at, time_zone=zone)
    (one,) = reassessments(TODAY)
    assert (one.by, [finding.reason for finding in one.reasons]) == (
        came,
        ["No assessment on file yet"],
    )


def test_whoever_is_past_her_date_is_to_be_asked_and_not_measured() -> None:
    made.pregnant("Orla Kinsale", date(2026, 12, 2))
    made.pregnant("Paused", date(2026, 12, 2), standing="paused")
    page = diary_page(TODAY)
    assert (page.now, page.soon) == ((), ())
    assert [one.name for one in page.ask] == ["Orla Kinsale"]


def test_the_page_parts_those_of_today_from_those_to_come() -> None:
    for name, last in (("Late", 20), ("Today", 22), ("Tomorrow", 23)):
        made.assessed(made.afterwards(name, date(2026, 7, 1)), date(2026, 10, last))
    page = diary_page(TODAY)
    assert [one.name for one in page.now] == ["Late", "Today"]
    assert [one.name for one in page.soon] == ["Tomorrow"]


def test_thirty_clients_cost_the_queries_of_one() -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as captured:
            reassessments(TODAY)
        return len(captured)

    late()
    one = queries()
    for _ in range(29):
        late()
    assert (one, queries(), len(reassessments(TODAY))) == (5, 5, 30)
