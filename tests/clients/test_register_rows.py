"""The rows of the register: in which order, what they tell, and to whom."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from clients import actions, queries
from clients.models import Client
from clients.queries import RegisterRow, register_rows
from clients.rules.facts import ClearanceWord
from clients.rules.words import NEVER_IF_QUIET
from coach.practice.audit import SYSTEM
from coach.scheduling.values import GoAheadWord, Limits
from tests import factories, factories_clearance

TODAY = date(2026, 12, 3)


def d(days: int) -> date:
    return TODAY + timedelta(days=days)


def with_letter(name: str, due: int = 120, **values: Any) -> Client:
    client = factories.client(name)
    factories.pregnancy(client, due=d(due), known_on=d(-60))
    factories_clearance.screening(client, d(-1))
    factories_clearance.clearance(client, d(-9), **values)
    return client


LIMITED: dict[str, Any] = {
    "word": ClearanceWord.LIMITS,
    "limits": Limits(no_impact=True, not_lying_flat=True),
}


def all_of_it() -> list[RegisterRow]:
    return register_rows(with_stage=True, with_limits=True)


def test_those_on_hold_first_and_in_each_group_whose_word_ends_soonest(practice: Any) -> None:
    with_letter("Ana", until=d(40))
    with_letter("Bea", until=d(5))
    factories_clearance.sign(with_letter("Cleo"), d(-2))
    factories.client("Dot")
    with_letter("Eve", until=d(-1))
    with_letter("Fay", **LIMITED)
    factories.client("Gus", standing="former")
    assert [(row.person.name, str(row.word)) for row in all_of_it()] == [
        ("Cleo", "on hold"), ("Dot", "waiting"), ("Eve", "run out"), ("Fay", "yes, with limits"),
        ("Bea", "yes"), ("Ana", "yes"),
    ]  # fmt: skip


def test_a_row_tells_the_limits_and_until_when(practice: Any) -> None:
    with_letter("Fay", until=d(40), **LIMITED)
    (row,) = all_of_it()
    assert (row.limits, row.span, row.until) == (
        "No impact; not lying flat", "Since 2 December 2026, until 12 January 2027", d(40),
    )  # fmt: skip
    assert row.line.short == "22w6d"


def test_without_limits_there_is_the_word_alone(practice: Any) -> None:
    with_letter("Fay", until=d(40), **LIMITED)
    (row,) = register_rows(with_stage=False, with_limits=False)
    assert row == RegisterRow(row.line)
    assert (row.word, row.line.stage, row.line.short) == (GoAheadWord.YES_WITH_LIMITS, None, "")


def test_what_is_not_checked_is_told_to_all_who_read_a_word(practice: Any) -> None:
    with_letter("Fay")
    actions.change_policy(by=SYSTEM, values={"off": ["screening"]}, reason="as agreed")
    for limits in (True, False):
        (row,) = register_rows(with_stage=False, with_limits=limits)
        assert row.unchecked == ("answers to health questions",)


@pytest.mark.parametrize("due", [8, 20, 60])
def test_no_day_of_it_is_a_due_date(practice: Any, due: int) -> None:
    with_letter("Eve", due=due, until_birth=True)
    (row,) = all_of_it()
    assert row.until is None
    assert (row.span.count("20"), "until the birth" in row.span) == (1, True)


def test_a_quiet_client_s_row_names_no_baby_and_no_birth(practice: Any) -> None:
    with_letter("Fay", until_birth=True, **LIMITED)
    Client.objects.update(quiet=True)
    (row,) = all_of_it()
    text = f"{row.limits} {row.span} {row.unchecked} {row.line.note}".casefold()
    assert [word for word in NEVER_IF_QUIET if word in text] == []


@pytest.mark.parametrize(("limits", "cost"), [(True, 16), (False, 8)])
def test_it_costs_the_same_for_one_and_for_thirty(practice: Any, limits: bool, cost: int) -> None:
    def counted() -> int:
        with CaptureQueriesContext(connection) as captured:
            found = register_rows(with_stage=True, with_limits=limits)
        assert len(found) == len(queries.words_now())
        return len(captured)

    with_letter("Ana")
    one = counted()
    for n in range(29):
        with_letter(f"Client {n}", **LIMITED)
    assert (one, counted()) == (cost, cost)
