"""Whose clearance needs something: no letter in force, or one that runs out soon."""

from __future__ import annotations

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from clients.actions import record_warning_sign
from coach.diary.queries import clearances
from coach.practice.audit import SYSTEM
from coach.practice.models import Practice
from coach.scheduling.values import GoAheadWord
from tests import factories_diary as made

TODAY = date(2026, 12, 3)


@pytest.fixture(autouse=True)
def _galway(practice: Practice) -> None:
    """Every test has a practice."""


def test_a_letter_in_force_for_a_while_needs_nothing() -> None:
    made.letter(made.pregnant("Orla Kinsale", date(2027, 4, 1)), date(2026, 11, 20))
    assert clearances(TODAY) == []


def test_no_letter_is_waiting_with_its_reasons() -> None:
    made.pregnant("Orla Kinsale", date(2027, 4, 1))
    (one,) = clearances(TODAY)
    assert (one.name, one.word) == ("Orla Kinsale", GoAheadWord.WAITING)
    assert one.reasons


def test_past_her_date_with_a_letter_on_file_she_is_waiting() -> None:
    """Three weeks past, a letter said the day before: nowhere is she called cleared."""
    made.letter(made.pregnant("Orla Kinsale", date(2026, 11, 12)), date(2026, 12, 2))
    (one,) = clearances(TODAY)
    assert one.word == GoAheadWord.WAITING


def test_a_warning_sign_is_on_hold_and_counts_from_its_day() -> None:
    client = made.pregnant("Orla Kinsale", date(2027, 4, 1))
    made.letter(client, date(2026, 11, 20))
    record_warning_sign(by=SYSTEM, client=client, code="dizzy", happened_on=date(2026, 12, 3))
    (one,) = clearances(TODAY)
    assert (one.word, one.day) == (GoAheadWord.ON_HOLD, TODAY)


@pytest.mark.parametrize(
    ("until", "is_in"),
    [
        (date(2026, 12, 3), True),
        (date(2027, 1, 2), True),
        (date(2027, 1, 3), False),
    ],
)
def test_a_letter_that_runs_out_within_thirty_days_is_told_with_its_last_day(
    until: date, is_in: bool
) -> None:
    made.letter(made.afterwards("Ines Prado", date(2026, 6, 1)), date(2026, 11, 20), until=until)
    found = [(one.word, one.day, one.reasons[-1].reason) for one in clearances(TODAY)]
    told = f"The last day of the letter or of the answers is {until.day} {until:%B %Y}"
    assert found == ([(GoAheadWord.YES, until, told)] if is_in else [])


def test_a_letter_run_out_is_told_by_the_day_it_ran_out() -> None:
    client = made.afterwards("Ines Prado", date(2026, 6, 1))
    made.letter(client, date(2026, 11, 1), known_on=date(2026, 11, 2), until=date(2026, 11, 30))
    (one,) = clearances(TODAY)
    assert (one.word, one.day) == (GoAheadWord.RUN_OUT, date(2026, 12, 1))


def test_only_clients_who_are_coached_now_are_in_it() -> None:
    for standing in ("active", "paused", "former"):
        made.pregnant(standing.title(), date(2027, 4, 1), standing=standing)
    assert [one.name for one in clearances(TODAY)] == ["Active"]


def test_the_earliest_day_stands_first_then_names() -> None:
    made.letter(made.afterwards("Ines Prado", date(2026, 6, 1)), TODAY, until=date(2026, 12, 20))
    for name in ("Orla Kinsale", "Blaise Arden"):
        made.pregnant(name, date(2027, 4, 1))
    assert [one.name for one in clearances(TODAY)] == ["Blaise Arden", "Orla Kinsale", "Ines Prado"]


def test_thirty_clients_cost_the_queries_of_one() -> None:
    def add() -> None:
        made.letter(made.pregnant("Orla Kinsale", date(2026, 11, 12)), date(2026, 12, 2))

    def queries() -> int:
        with CaptureQueriesContext(connection) as captured:
            clearances(TODAY)
        return len(captured)

    add()
    one = queries()
    for _ in range(29):
        add()
    assert (one, queries(), len(clearances(TODAY))) == (8, 8, 30)
