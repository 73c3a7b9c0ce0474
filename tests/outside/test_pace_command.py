"""`pace`: the figures of the page, as text and as JSON, for each role."""

from __future__ import annotations

import json
from datetime import date, timedelta
from io import StringIO
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from clients.models import Enquiry
from coach.management.commands.pace import as_json
from coach.practice.permissions import Role
from content.models import State
from content.queries.pace import whole_pace
from tests import factories
from tests.clients.test_needs_of_the_roster import cleared

TODAY = date(2026, 12, 3)


def run(*arguments: str) -> str:
    out = StringIO()
    call_command("pace", *arguments, stdout=out)
    return out.getvalue()


@pytest.fixture
def world(practice: Any) -> None:
    factories.wishes(weekdays=[1, 5])
    for n in (9, 2):
        item = factories.fitness_class(state=State.PUBLISHED, stages=["t2"])
        factories.upload(TODAY - timedelta(days=n), item)
    factories.fitness_class(stages=["t2"])
    cleared(due=date(2027, 2, 21))
    cleared(standing="paused")
    Enquiry.objects.create(name="A", told="third trimester", came_on=TODAY)
    Enquiry.objects.create(name="B", came_on=TODAY)


def test_json_has_the_figures_of_the_page(world: None) -> None:
    found = json.loads(run("--json"))
    assert found == as_json(whole_pace(today=TODAY, with_needs=True))
    pace, needs = found["pace"], found["needs"]
    assert (found["target"], pace["share_met"], pace["days_since_last"]) == (2, 0.0, 2)
    assert pace["weeks"][-2:] == [
        {"week": "2026-W48", "monday": "2026-11-23", "uploads": 1, "met": False},
        {"week": "2026-W49", "monday": "2026-11-30", "uploads": 1, "met": None},
    ]
    longest = {"mean": 7.0, "spread": 0.0, "longest": 7, "longest_from": "2026-11-24"}
    assert pace["gaps"] == longest
    assert (pace["weeks_in_hand"], pace["last_out"]) == (0.5, "2026-12-07")
    assert (pace["filmed_a_week"], pace["runs_out"]) == (0.375, "2026-12-08")
    assert found["days_since"]["stage"]["t2"] == 2
    assert found["days_since"]["stage"]["t3"] is None
    assert found["days_since"]["focus"]["core"] == 2
    third = needs["stages"]["t3"]
    assert (third["finished"], third["in_the_making"], third["days_since"]) == (0, 0, None)
    assert third["weeks"][0] == {
        "week": "2026-W50", "monday": "2026-12-07", "clients": 1, "ready": 1, "enquiries": 1,
    }  # fmt: skip
    assert len(needs["unserved"]) == 2
    counts = {"on_hold": 0, "past_due": 0, "quiet": 0, "paused": 1, "unknown": 0}
    assert (needs["not_counted"], needs["enquiries_without_stage"]) == (counts, 1)


def test_text_says_the_same(world: None) -> None:
    text = run()
    for line in (
        "2 a week wanted: not met last week.",
        "  2026-W49  #",
        "What the roster will need from 2026-W50 to 2027-W08",
        "  Trimester 3: 0 finished, last out never",
        "  Not counted: one paused.",
    ):
        assert line in text.splitlines()
    assert "    1/1+1  1/1+1  1/1+1  1/1+1  1/1" in text


def test_without_a_pace_it_says_so(practice: Any) -> None:
    assert run().splitlines()[0] == "No pace is set in the wishes."
    assert json.loads(run("--json"))["pace"] is None
    factories.wishes()
    assert run().splitlines()[0] == "Nothing is published yet."


@pytest.mark.parametrize(
    ("role", "needs"), [(Role.OWNER, True), (Role.COVERING_COACH, True), (Role.ASSISTANT, False)]
)
def test_stages_of_clients_are_for_those_who_see_them(world: None, role: str, needs: bool) -> None:
    found = json.loads(run("--json", "--as", str(role)))
    assert (found["needs"] is not None) == needs
    assert ("What the roster will need" in run("--as", str(role))) == needs
    assert found["pace"]["days_since_last"] == 2


def test_it_is_nothing_for_who_does_not_see_classes(world: None) -> None:
    with pytest.raises(CommandError, match="does not see content"):
        run("--as", str(Role.BOOKKEEPER))


def test_without_a_practice_it_says_what_to_do(db: None) -> None:
    with pytest.raises(CommandError, match="There is no practice in"):
        run()
