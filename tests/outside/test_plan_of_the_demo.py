"""`plan` and `check_data` on the demo."""

from __future__ import annotations

import json
from datetime import date
from io import StringIO
from typing import Any

import pytest
from django.core.management import call_command

from content.models import FitnessClass, Proposal, Upload

pytestmark = pytest.mark.usefixtures("demo")


def run(*arguments: str) -> str:
    out = StringIO()
    call_command(*arguments, stdout=out)
    return out.getvalue()


def test_next_month_of_the_demo_is_proved_best_and_the_same_twice() -> None:
    first = run("plan", "2027-01", "--json")
    found: dict[str, Any] = json.loads(first)
    assert list(found) == [
        "month", "status", "value", "bound", "gap", "greedy_value", "stopped_by_clock",
        "pins", "slots", "better", "unmet", "conflict",
    ]  # fmt: skip
    assert (found["month"], found["status"]) == ("2027-01", "optimal")
    assert type(found["value"]) is int
    assert found["value"] == found["bound"] > found["greedy_value"] > 0
    assert (found["gap"], found["pins"], found["conflict"]) == (0, [], [])
    assert found["better"]
    assert run("plan", "2027-01", "--json") == first


def test_each_slot_names_its_class_and_its_reasons() -> None:
    found = json.loads(run("plan", "2027-01", "--json"))
    assert [list(slot) for slot in found["slots"]] == [["date", "class", "pinned", "reasons"]] * 9
    for slot in found["slots"]:
        assert slot["class"] == {
            "id": slot["class"]["id"],
            "title": FitnessClass.objects.get(pk=slot["class"]["id"]).title,
        }
        assert date.fromisoformat(slot["date"]).weekday() in {1, 5}
        assert slot["reasons"]


def test_planning_by_command_keeps_nothing() -> None:
    before = (Upload.objects.count(), list(Proposal.objects.values()))
    run("plan", "2027-02", "--json")
    assert (Upload.objects.count(), list(Proposal.objects.values())) == before


def test_as_text_it_can_be_read() -> None:
    lines = run("plan", "2027-01").splitlines()
    assert lines[0].startswith("2027-01: optimal, ")
    assert lines[1].startswith("Slot by slot: ")
    assert lines[2].startswith("2027-01-02  ")
    assert any(line.startswith("Better: ") for line in lines)


def test_nothing_is_wrong_in_the_demo() -> None:
    assert run("check_data") == "Nothing wrong found in what is stored.\n"
