"""`may_train`: the list that it prints, for a day, for what was known, and for each role."""

from __future__ import annotations

import json
from datetime import date, timedelta
from io import StringIO
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.test.utils import CaptureQueriesContext

from clients import queries
from clients.models import Client
from clients.rules.facts import ClearanceWord
from clients.rules.words import NEVER_IF_QUIET
from coach import clock
from coach.practice.permissions import Role
from coach.scheduling.values import Limits
from tests import factories, factories_clearance

TODAY = date(2026, 12, 3)
KEYS = ["client", "stage", "go_ahead", "since", "until", "limits", "reasons", "mend"]


def d(days: int) -> date:
    return TODAY + timedelta(days=days)


def printed(*arguments: str) -> str:
    out = StringIO()
    call_command("may_train", *arguments, stdout=out)
    return out.getvalue()


def rows(*arguments: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = json.loads(printed("--json", *arguments))
    return found


@pytest.fixture
def meret(practice: Any) -> Client:
    """28w4d, screened, a letter with limits of nine days ago; a sign that became known later."""
    client = factories.client("Meret A.")
    factories.pregnancy(client, due=d(80), known_on=d(-60))
    factories_clearance.clearance(
        client,
        d(-9),
        word=ClearanceWord.LIMITS,
        limits=Limits(no_impact=True, lift_at_most_kg=8),
        until=d(30),
    )
    factories_clearance.screening(client, d(-8))
    factories_clearance.sign(client, d(2), known_on=d(5))
    return client


def test_one_client_in_json(meret: Client) -> None:
    (row,) = rows()
    assert list(row) == KEYS
    assert {name: row[name] for name in KEYS if name not in {"reasons", "mend"}} == {
        "client": {"id": meret.pk, "name": "Meret A."},
        "stage": "trimester 3",
        "go_ahead": "yes, with limits",
        "since": d(-8).isoformat(),
        "until": d(30).isoformat(),
        "limits": ["no impact", "lifting up to 8 kg"],
    }
    found = queries.go_ahead_now(meret)
    assert row["mend"] == found.mend
    assert row["reasons"] == [
        {"rule": one.kind, "text": one.reason, "source": one.source} for one in found.reasons
    ]
    assert all(reason["source"] for reason in row["reasons"])


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        ((), "yes, with limits"),
        (("--on", d(-8).isoformat()), "yes, with limits"),
        (("--on", d(-9).isoformat()), "waiting"),
        (("--on", d(4).isoformat()), "yes, with limits"),
        (("--on", d(4).isoformat(), "--known", d(5).isoformat()), "on hold"),
        (("--on", d(4).isoformat(), "--known", d(4).isoformat()), "yes, with limits"),
        (("--on", d(5).isoformat()), "on hold"),
        (("--on", d(5).isoformat(), "--known", d(4).isoformat()), "yes, with limits"),
        (("--known", d(-9).isoformat()), "waiting"),
    ],
)
def test_for_a_day_with_what_was_known_by_another(
    meret: Client, arguments: tuple[str, ...], word: str
) -> None:
    assert [row["go_ahead"] for row in rows(*arguments)] == [word]


def test_without_a_day_it_is_the_stricter_of_both_dates(
    meret: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    Client.objects.update(time_zone="Pacific/Auckland")
    dates = {"Europe/Dublin": d(30), "Pacific/Auckland": d(31)}
    meret.signs.all().delete()
    monkeypatch.setattr(clock, "today", lambda zone: dates[str(zone)])
    assert [row["go_ahead"] for row in rows()] == ["run out"]
    assert [row["go_ahead"] for row in rows("--on", d(30).isoformat())] == ["yes, with limits"]


SEES = {
    Role.OWNER: {"stage", "since", "until", "limits", "reasons", "mend"},
    Role.COVERING_COACH: {"stage", "since", "until", "limits"},
    Role.ASSISTANT: set[str](),
}


@pytest.mark.parametrize("role", SEES)
def test_each_role_gets_its_facts_and_nothing_in_place_of_the_rest(
    meret: Client, role: Role
) -> None:
    (row,) = rows("--as", str(role))
    told = {name for name, value in row.items() if value} - {"client", "go_ahead"}
    assert (list(row), told, row["go_ahead"]) == (KEYS, SEES[role], "yes, with limits")


def test_the_bookkeeper_is_refused(meret: Client) -> None:
    with pytest.raises(CommandError, match="does not see go-ahead word"):
        printed("--as", "bookkeeper")


def test_everybody_being_coached_by_name_and_nobody_else(practice: Any) -> None:
    for name, standing in (("Bea", "active"), ("Ana", "paused"), ("Cleo", "former")):
        factories.client(name, standing=standing)
    assert [row["client"]["name"] for row in rows()] == ["Ana", "Bea"]


def test_a_quiet_client_s_row_names_no_baby_and_no_birth(meret: Client) -> None:
    Client.objects.update(quiet=True)
    text = printed("--json") + printed()
    assert [word for word in NEVER_IF_QUIET if word in text.casefold()] == []


def test_a_letter_until_the_birth_never_tells_the_due_date(practice: Any) -> None:
    client = factories.client()
    factories.pregnancy(client, due=d(20))
    factories_clearance.clearance(client, d(-9), until_birth=True)
    factories_clearance.screening(client, d(-9))
    (row,) = rows()
    assert (row["go_ahead"], row["until"]) == ("yes", None)
    assert d(20).isoformat() not in json.dumps(row)


def test_as_text(meret: Client) -> None:
    lines = printed().splitlines()
    assert lines[0] == f"Meret A. · trimester 3 · yes, with limits until {d(30).isoformat()}"
    assert lines[1] == "    limits: no impact; lifting up to 8 kg"
    assert printed("--as", "assistant").splitlines() == ["Meret A. · yes, with limits"]


def test_with_nobody_on_the_roster(practice: Any) -> None:
    assert (rows(), printed().strip()) == ([], "There are no clients yet.")


@pytest.mark.parametrize("option", ["--on", "--known"])
def test_a_day_that_is_none_is_refused(practice: Any, option: str) -> None:
    with pytest.raises(CommandError, match="is not a date"):
        printed(option, "2026-13-01")


def test_without_a_practice_it_says_so_and_makes_none(db: None) -> None:
    with pytest.raises(CommandError, match="There is no practice"):
        printed()


def test_it_costs_the_same_for_one_and_for_thirty(meret: Client) -> None:
    def cost() -> int:
        with CaptureQueriesContext(connection) as captured:
            rows()
        return len(captured)

    one = cost()
    for _ in range(29):
        client = factories.client()
        factories.pregnancy(client, due=d(80))
        factories_clearance.clearance(client, d(-9))
    assert cost() == one
