"""`plan` and `check_data`, on the demo and on nothing."""

from __future__ import annotations

import json
from datetime import date
from io import StringIO
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from coach.management import demo_practice
from coach.practice import files
from coach.practice.models import StoredFile
from content.models import FitnessClass, Proposal, Upload


def run(*arguments: str) -> str:
    out = StringIO()
    call_command(*arguments, stdout=out)
    return out.getvalue()


@pytest.fixture
def demo(db: None, today: date) -> None:
    demo_practice.build(today)


@pytest.mark.usefixtures("demo")
def test_next_month_of_the_demo_is_proved_best_and_the_same_twice() -> None:
    first = run("plan", "2027-01", "--json")
    found: dict[str, Any] = json.loads(first)
    assert list(found) == ["month", "status", "value", "bound", "slots", "unmet"]
    assert (found["month"], found["status"]) == ("2027-01", "optimal")
    assert type(found["value"]) is int
    assert found["value"] == found["bound"] > 0
    assert run("plan", "2027-01", "--json") == first


@pytest.mark.usefixtures("demo")
def test_each_slot_names_its_class_and_its_reasons() -> None:
    found = json.loads(run("plan", "2027-01", "--json"))
    assert [list(slot) for slot in found["slots"]] == [["date", "class", "reasons"]] * 9
    for slot in found["slots"]:
        assert slot["class"] == {
            "id": slot["class"]["id"],
            "title": FitnessClass.objects.get(pk=slot["class"]["id"]).title,
        }
        assert date.fromisoformat(slot["date"]).weekday() in {1, 5}
        assert slot["reasons"]


@pytest.mark.usefixtures("demo")
def test_planning_by_command_keeps_nothing() -> None:
    before = (Upload.objects.count(), list(Proposal.objects.values()))
    run("plan", "2027-02", "--json")
    assert (Upload.objects.count(), list(Proposal.objects.values())) == before


@pytest.mark.usefixtures("demo")
def test_as_text_it_can_be_read() -> None:
    lines = run("plan", "2027-01").splitlines()
    assert lines[0].startswith("2027-01: optimal, ")
    assert lines[1].startswith("2027-01-02  ")


def test_a_month_that_is_none_is_told(practice: Any) -> None:
    with pytest.raises(CommandError, match="2027-13 is not a month: write it like 2027-01"):
        run("plan", "2027-13")


@pytest.mark.parametrize("command", [("plan", "2027-01"), ("check_data",)])
def test_without_a_practice_it_says_what_to_do(db: None, command: tuple[str, ...]) -> None:
    with pytest.raises(CommandError, match="There is no practice in"):
        run(*command)


@pytest.mark.usefixtures("demo")
def test_nothing_is_wrong_in_the_demo() -> None:
    assert run("check_data") == "Nothing wrong found in what is stored.\n"


def test_what_is_wrong_is_listed_and_the_command_fails(practice: Any) -> None:
    with files.atomic():
        stored = files.store(name="letter", content=b"x", content_type="text/plain")
    files.path_of(StoredFile.objects.get(pk=stored.pk)).unlink()
    out = StringIO()
    with pytest.raises(CommandError, match="2 to look at"):
        call_command("check_data", stdout=out)
    assert out.getvalue().splitlines() == [
        "people: Nobody who may sign in is an owner.",
        f"file: file {stored.uid} cannot be opened.",
    ]
