"""`due` prints who is to be reassessed and whose clearance needs something."""

from __future__ import annotations

import io
import json
from datetime import date
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from clients.actions import record_warning_sign, snooze
from clients.models import Client
from coach.practice.audit import SYSTEM
from coach.practice.models import Practice
from tests import factories_diary as made


def printed(*arguments: str) -> str:
    out = io.StringIO()
    call_command("due", *arguments, stdout=out)
    return out.getvalue()


def as_json(*arguments: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(printed(*arguments, "--json"))
    return found


@pytest.fixture
def lucja(practice: Practice) -> Client:
    """Passed 12 weeks on 24 November, last measured at 9; her letter runs out on the 20th."""
    client = made.afterwards("Łucja Brzoza", date(2026, 9, 1))
    made.assessed(client, date(2026, 11, 3))
    made.letter(client, date(2026, 11, 20), until=date(2026, 12, 20))
    return client


def test_json_says_who_is_to_be_reassessed_with_day_and_reasons(lucja: Client) -> None:
    found = as_json()
    assert list(found) == ["on", "reassessments", "clearances"]
    assert found["on"] == "2026-12-03"
    assert found["reassessments"] == [
        {
            "client": {"id": lucja.pk, "name": "Łucja Brzoza"},
            "due": "2026-11-24",
            "overdue_days": 9,
            "do": "reassess",
            "reasons": [
                "Passed 12 weeks on 24 November; last measured at 9 weeks",
                "Every 4 weeks (common practice); last measured on 3 November",
            ],
            "later": [
                {
                    "by": "2027-03-02",
                    "reason": "Passes 26 weeks on 2 March 2027; last measured at 9 weeks",
                },
                {
                    "by": "2027-08-31",
                    "reason": "Passes 52 weeks on 31 August 2027; last measured at 9 weeks",
                },
            ],
        }
    ]


def test_what_to_do_is_to_assess_first_and_to_write_on_hold(practice: Practice) -> None:
    held = made.afterwards("Held", date(2026, 6, 1))
    record_warning_sign(by=SYSTEM, client=held, code="dizzy", happened_on=date(2026, 12, 1))
    made.afterwards("Never", date(2026, 6, 1))
    found = {one["client"]["name"]: one["do"] for one in as_json()["reassessments"]}
    assert found == {"Held": "write", "Never": "assess"}
    assert "2026-11-16  Held (late 17 d), on hold: write to her" in printed().splitlines()


def test_json_leaves_out_who_is_snoozed_or_waits_and_looks_four_weeks_ahead(
    practice: Practice,
) -> None:
    snoozed = made.afterwards("Snoozed", date(2026, 6, 1))
    snooze(by=SYSTEM, client=snoozed, until=date(2026, 12, 4), reason="On holiday")
    made.afterwards("Waits", date(2026, 9, 1), "loss", quiet=True)
    for name, last in (("In", 19), ("Out", 20)):
        made.assessed(made.afterwards(name, date(2026, 7, 30)), date(2026, 11, last))
    assert [one["client"]["name"] for one in as_json()["reassessments"]] == ["In"]


def test_json_says_whose_clearance_needs_something(lucja: Client) -> None:
    (one,) = as_json()["clearances"]
    assert list(one) == ["client", "go_ahead", "reasons"]
    assert (one["client"], one["go_ahead"]) == (
        {"id": lucja.pk, "name": "Łucja Brzoza"},
        "yes, with limits",
    )
    assert one["reasons"][-1] == "The last day of the letter or of the answers is 20 December 2026"


def test_each_list_is_sorted_by_day(practice: Practice) -> None:
    for name, last in (("Later", 30), ("Sooner", 1)):
        made.assessed(made.afterwards(name, date(2026, 6, 1)), date(2026, 10, last))
    letter = made.afterwards("Ines Prado", date(2026, 6, 1))
    made.assessed(letter, date(2026, 12, 3))
    made.letter(letter, date(2026, 11, 20), until=date(2026, 12, 4))
    found = as_json()
    assert [one["due"] for one in found["reassessments"]] == ["2026-11-12", "2026-11-30"]
    assert [one["client"]["name"] for one in found["clearances"]] == [
        "Later",
        "Sooner",
        "Ines Prado",
    ]


def test_another_day_can_be_asked_for(lucja: Client) -> None:
    found = as_json("--on", "2026-11-20")
    assert (found["on"], found["reassessments"][0]["overdue_days"]) == ("2026-11-20", 0)
    assert found["reassessments"][0]["reasons"] == [
        "Passes 12 weeks on 24 November; last measured at 9 weeks"
    ]


def test_without_on_it_is_the_day_where_the_practice_is(
    practice: Practice, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COACH_TODAY", "2026-12-31")
    assert as_json()["on"] == "2026-12-31"


def test_text_holds_the_same(lucja: Client) -> None:
    lines = printed().splitlines()
    assert lines[:5] == [
        "On 2026-12-03",
        "To be reassessed: 1",
        "2026-11-24  Łucja Brzoza (late 9 d)",
        "    Passed 12 weeks on 24 November; last measured at 9 weeks",
        "    Every 4 weeks (common practice); last measured on 3 November",
    ]
    assert lines[5:7] == ["Clearance: 1", "yes, with limits  Łucja Brzoza"]
    assert lines[-1] == "    The last day of the letter or of the answers is 20 December 2026"


def test_nobody_is_two_empty_lists(practice: Practice) -> None:
    assert as_json() == {"on": "2026-12-03", "reassessments": [], "clearances": []}
    assert printed() == "On 2026-12-03\nTo be reassessed: 0\nClearance: 0\n"


@pytest.mark.parametrize("on", ["tomorrow", "2026-13-01", "", "3 December 2026"])
def test_what_is_no_date_is_refused(practice: Practice, on: str) -> None:
    with pytest.raises(CommandError, match=f"^{on} is not a date: write it like 2027-01-31.$"):
        printed("--on", on)


def test_without_a_practice_it_says_so(db: None) -> None:
    with pytest.raises(CommandError, match="There is no practice"):
        printed()
