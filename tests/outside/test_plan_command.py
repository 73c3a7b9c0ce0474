"""`plan` and `check_data`, on little and on nothing."""

from __future__ import annotations

import json
from datetime import date
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from coach.practice import files
from coach.practice.audit import SYSTEM
from coach.practice.models import StoredFile
from content.actions.planning import pin
from content.models import FitnessClass
from content.rules.months import Month
from content.rules.preferences import WISHES
from tests import factories


def run(*arguments: str) -> str:
    out = StringIO()
    call_command(*arguments, stdout=out)
    return out.getvalue()


def test_a_month_that_is_none_is_told(practice: Any) -> None:
    with pytest.raises(CommandError, match="2027-13 is not a month: write it like 2027-01"):
        run("plan", "2027-13")


def a_month_to_plan() -> FitnessClass:
    factories.wishes(weekdays=[1])
    for focus in ("core", "legs", "mobility"):
        factories.fitness_class(f"A {focus} class", focus=focus)
    return factories.fitness_class("Pinned", focus="breath")


def test_pins_and_what_the_plan_is_worth_are_printed(practice: Any, today: date) -> None:
    item = a_month_to_plan()
    pin(by=SYSTEM, month=Month(2027, 1), item=item, day=date(2027, 1, 12), today=today)
    found = json.loads(run("plan", "2027-01", "--json"))
    named = {"id": item.pk, "title": "Pinned"}
    assert found["pins"] == [{"date": "2027-01-12", "class": named}]
    assert [slot["class"] for slot in found["slots"] if slot["pinned"]] == [named]
    lines = run("plan", "2027-01").splitlines()
    assert lines[0] == f"2027-01: optimal, {found['value']} of at most {found['bound']}, gap 0.00%"
    assert lines[1] == f"Slot by slot: {found['greedy_value']}"
    assert lines[2] == "Pinned: 2027-01-12  Pinned"
    assert "2027-01-12  Pinned (pinned)" in lines


def test_wishes_that_contradict_each_other_are_printed(practice: Any, today: date) -> None:
    item = a_month_to_plan()
    pin(by=SYSTEM, month=Month(2027, 1), item=item, day=date(2027, 1, 12), today=today)
    factories.day_off(date(2027, 1, 12))
    found = json.loads(run("plan", "2027-01", "--json"))
    assert (found["status"], found["slots"], found["greedy_value"]) == ("infeasible", [], None)
    assert found["conflict"]
    lines = run("plan", "2027-01").splitlines()
    assert lines[-1] == f"Contradicts: {found['conflict'][-1]}"


def test_points_from_a_file_weigh_instead_of_hers(practice: Any, tmp_path: Path) -> None:
    """With nothing but 7 points a filled day the value is 7 for each of four days."""
    a_month_to_plan()
    zero = dict.fromkeys(WISHES, 0)
    as_json = tmp_path / "points.json"
    as_json.write_text(json.dumps({**zero, "fill": 7}))
    as_toml = tmp_path / "points.toml"
    as_toml.write_text("\n".join(f"{name} = {n}" for name, n in {**zero, "fill": 7}.items()))
    for file in (as_json, as_toml):
        found = json.loads(run("plan", "2027-01", "--weights", str(file), "--json"))
        assert (found["value"], found["bound"]) == (28, 28)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("fill = 1\nfilling = 2", "points.toml, line 2: there is no wish “filling”"),
        ("fill = -1", "points.toml, line 1: “fill” is -1: whole points, 0 or more, are wanted"),
        ("fill", "points.toml, This is no TOML"),
        (None, "can't be read: No such file"),
    ],
)
def test_a_file_of_points_that_is_none_is_told(
    practice: Any, tmp_path: Path, text: str | None, said: str
) -> None:
    file = tmp_path / "points.toml"
    if text is not None:
        file.write_text(text)
    with pytest.raises(CommandError, match=said):
        run("plan", "2027-01", "--weights", str(file))


def test_who_sees_no_stages_is_printed_none(practice: Any) -> None:
    a_month_to_plan()
    found = json.loads(run("plan", "2027-01", "--json", "--as", "assistant"))
    assert (found["better"], found["unmet"]) == ([], [])
    assert [slot["reasons"] for slot in found["slots"]] == [[]] * len(found["slots"])


@pytest.mark.parametrize("command", [("plan", "2027-01"), ("check_data",)])
def test_without_a_practice_it_says_what_to_do(db: None, command: tuple[str, ...]) -> None:
    with pytest.raises(CommandError, match="There is no practice in"):
        run(*command)


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
