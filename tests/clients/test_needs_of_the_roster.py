"""What planning is told of stored clients: never somebody as ready who has no go-ahead then."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from clients.models import Client, Enquiry
from clients.queries import go_ahead_of, needs
from coach.scheduling.dates import Ending
from coach.scheduling.values import Stage
from tests import factories
from tests.factories_clearance import clearance, screening, sign

TODAY = date(2026, 12, 3)
JANUARY = date(2027, 1, 5)
T3, AFTER = Stage.TRIMESTER_3, Stage.WEEKS_0_6


def cleared(due: date = date(2027, 2, 21), **values: Any) -> Client:
    """Somebody pregnant with a letter of a week ago and every question answered no."""
    made = factories.client(**values)
    factories.pregnancy(made, due=due)
    screening(made, date(2026, 11, 26))
    clearance(made, date(2026, 11, 26))
    return made


def test_only_one_on_hold_one_past_due_one_paused_and_one_quiet(practice: Any) -> None:
    """All four would be in trimester 3, all with a letter: nobody is expected, nobody is ready."""
    sign(cleared(), date(2026, 12, 1), code="bleeding")
    cleared(due=date(2026, 12, 1))
    cleared(standing="paused")
    cleared(quiet=True)
    found = needs(today=TODAY, days=[TODAY, JANUARY])
    nobody: dict[date, dict[Stage, int]] = {TODAY: {}, JANUARY: {}}
    assert (found.by_day, found.ready) == (nobody, nobody)
    assert (found.on_hold, found.past_due, found.paused, found.quiet) == (1, 1, 1, 1)
    assert (found.unknown, found.apart) == (0, 4)


def test_the_same_four_in_order_are_expected_and_ready(practice: Any) -> None:
    for _ in range(4):
        cleared()
    found = needs(today=TODAY, days=[JANUARY])
    assert (found.by_day, found.ready, found.apart) == ({JANUARY: {T3: 4}}, {JANUARY: {T3: 4}}, 0)


def test_after_the_due_date_she_is_expected_further_on_and_not_ready(practice: Any) -> None:
    due = date(2027, 1, 5)
    cleared(due=due)
    days = [due - timedelta(days=1), due, due + timedelta(days=1), due + timedelta(days=42)]
    found = needs(today=TODAY, days=days)
    stages = [T3, AFTER, AFTER, Stage.WEEKS_6_12]
    assert found.by_day == {day: {stage: 1} for day, stage in zip(days, stages, strict=True)}
    assert found.ready == {days[0]: {T3: 1}, **{day: {} for day in days[1:]}}


def test_a_birth_that_is_told_moves_her_on(practice: Any) -> None:
    client = cleared(due=date(2026, 12, 20))
    client.pregnancies.update(ended=date(2026, 11, 30), ending=Ending.BIRTH, birth_mode="vaginal")
    found = needs(today=TODAY, days=[TODAY, JANUARY])
    assert found.by_day == {TODAY: {AFTER: 1}, JANUARY: {AFTER: 1}}
    assert found.ready == {TODAY: {}, JANUARY: {}}  # her letter was of before the birth


def test_a_letter_that_runs_out_before_the_day_leaves_her_expected(practice: Any) -> None:
    client = factories.client()
    factories.pregnancy(client, due=date(2027, 2, 21))
    screening(client, date(2026, 11, 26))
    clearance(client, date(2026, 11, 26), until=date(2026, 12, 31))
    days = [date(2026, 12, 31), date(2027, 1, 1)]
    found = needs(today=TODAY, days=days)
    assert found.by_day == {day: {T3: 1} for day in days}
    assert found.ready == {days[0]: {T3: 1}, days[1]: {}}


def test_somebody_without_a_letter_is_expected_and_not_ready(practice: Any) -> None:
    factories.pregnancy(factories.client(), due=date(2027, 2, 21))
    found = needs(today=TODAY, days=[JANUARY])
    assert (found.by_day, found.ready) == ({JANUARY: {T3: 1}}, {JANUARY: {}})


def test_a_former_client_is_nowhere(practice: Any) -> None:
    cleared(standing="former")
    found = needs(today=TODAY, days=[JANUARY])
    assert (found.by_day, found.ready, found.apart) == ({JANUARY: {}}, {JANUARY: {}}, 0)


def test_ready_is_what_her_go_ahead_says_of_the_day(practice: Any) -> None:
    """Day by day against the go-ahead asked for each: letters, answers and weeks run out."""
    client = factories.client()
    factories.pregnancy(client, due=date(2027, 4, 1))
    screening(client, date(2026, 10, 20))
    clearance(client, date(2026, 11, 3), until=date(2027, 2, 10))
    days = [TODAY + timedelta(days=n) for n in range(0, 119, 3)]  # none is the due date or later
    found = needs(today=TODAY, days=days)
    asked = {day: go_ahead_of(client, on=day).word.may_train for day in days}
    assert {day: bool(row) for day, row in found.ready.items()} == asked
    assert set(asked.values()) == {True, False}


def test_enquiries_count_while_they_are_open(practice: Any) -> None:
    for state in ("open", "invited", "client", "closed"):
        Enquiry.objects.create(name=state, told="about 20 weeks", came_on=TODAY, state=state)
    Enquiry.objects.create(name="silent", came_on=TODAY)
    found = needs(today=TODAY, days=[TODAY])
    assert found.enquiries == {TODAY: {Stage.TRIMESTER_2: 2}}
    assert (found.enquiries_unknown, found.apart) == (1, 0)


@pytest.mark.parametrize("count", [1, 30])
def test_nine_queries_whatever_the_size(
    practice: Any, count: int, django_assert_num_queries: Any
) -> None:
    for _ in range(count):
        cleared()
        Enquiry.objects.create(name="A", told="20 weeks", came_on=TODAY)
    with django_assert_num_queries(9):
        found = needs(today=TODAY, days=[JANUARY])
    assert found.ready[JANUARY] == {T3: count}
