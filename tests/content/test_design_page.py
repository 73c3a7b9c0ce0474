"""The builder: each step kept at once, taken back, told when it cannot be, lost on no reload."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry
from content.actions.design import change_design, set_filmed, undo_design
from content.actions.uploads import Refused
from content.models import ClassDesign, DesignStep, FitnessClass
from content.queries.design import design_of, designed
from content.rules import design_steps as steps
from content.rules.design import Design, Item
from content.rules.exercises import exercises
from tests import factories
from tests.clients.pages import read

HTMX = {"HX-Request": "true", "HX-Target": "design"}


@pytest.fixture
def item(practice: Any) -> FitnessClass:
    return factories.fitness_class("Standing core", state="outlined", minutes=20)


def page(item: FitnessClass, name: str = "design") -> str:
    return reverse(f"classes:{name}", args=[item.pk])


def step(browser: Browser, of: FitnessClass, **sent: object) -> Any:
    return browser.post(page(of, "save_design"), sent)


def codes(item: FitnessClass) -> list[str]:
    return [one.exercise for one in design_of(item).items]


def test_a_class_is_built_step_by_step_and_each_is_kept(
    browser: Browser, item: FitnessClass
) -> None:
    step(browser, item, op="add_block", kind="warm-up")
    step(browser, item, op="add_item", block=0, pattern=0, exercise="cat-and-cow")
    step(browser, item, op="add_item", block=0, pattern=0, exercise="squat")
    step(browser, item, op="set_pattern", block=0, pattern=0, work="0:40", rest="20", rounds="2",
         round_rest="60")  # fmt: skip
    step(browser, item, op="move_item", block=0, pattern=0, item=1, by=-1)
    assert codes(item) == ["squat", "cat-and-cow"]
    assert designed(item).line.seconds == 2 * 2 * 60 + 60
    text = read(browser.get(page(item)))
    assert "5:00 announced 20:00" in text
    assert "5:00 is 15:00 shorter than the 20:00 announced." in text


def test_htmx_gets_the_builder_alone_and_the_totals_with_it(
    browser: Browser, item: FitnessClass
) -> None:
    answer = browser.post(
        page(item, "save_design"), {"op": "add_block", "kind": "main"}, headers=HTMX
    )
    source = answer.content.decode()
    assert ('id="design"' in source, "<h1" in source) == (True, False)


def test_a_search_offers_exercises_to_add(browser: Browser, item: FitnessClass) -> None:
    step(browser, item, op="add_block", kind="main")
    text = read(browser.get(f"{page(item)}?find=bridge&at=0.0"))
    assert "Bridge legs, supine Add" in text
    text = read(browser.get(f"{page(item)}?find=zzz&at=0.0"))
    assert "No exercise of that name." in text


@pytest.mark.parametrize(
    ("sent", "words"),
    [
        ({"op": "dance"}, "There is no such step."),
        ({"op": "add_item", "block": 0, "pattern": 0, "exercise": "gone"}, "not in the list"),
        ({"op": "add_item", "block": 0, "pattern": 0}, "Name an exercise"),
        ({"op": "add_item", "block": 7, "pattern": 0, "exercise": "squat"}, "not there any more"),
        ({"op": "add_item", "block": "x", "pattern": 0, "exercise": "squat"}, "not there any"),
        ({"op": "set_pattern", "block": 0, "pattern": 0, "work": "soon"}, "Write whole seconds"),
        ({"op": "set_pattern", "block": 0, "pattern": 0, "work": "1:75"}, "Write whole seconds"),
        ({"op": "set_pattern", "block": 0, "pattern": 0, "work": "45", "rounds": "many"},
         "Write how many rounds"),
        ({"op": "add_block", "kind": "party"}, "Choose one of the kinds."),
        ({"op": "add_block", "kind": "main", "revision": "99"}, "Somebody changed this class"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_told_and_changes_nothing(
    browser: Browser, item: FitnessClass, sent: dict[str, Any], words: str
) -> None:
    step(browser, item, op="add_block", kind="main")
    before = ClassDesign.objects.get().planned
    answer = browser.post(page(item, "save_design"), sent)
    assert (answer.status_code, words in read(answer)) == (422, True)
    assert ClassDesign.objects.get().planned == before


def test_the_last_step_is_taken_back_one_after_the_other(
    browser: Browser, item: FitnessClass
) -> None:
    step(browser, item, op="add_block", kind="main")
    step(browser, item, op="add_item", block=0, pattern=0, exercise="squat")
    assert "Take back: added Squat" in read(browser.get(page(item)))
    browser.post(page(item, "undo_design"))
    assert codes(item) == []
    browser.post(page(item, "undo_design"))
    assert design_of(item).blocks == ()
    assert browser.post(page(item, "undo_design")).status_code == 422


def test_steps_leave_names_in_the_trail_and_of_many_the_oldest_go(item: FitnessClass) -> None:
    for n in range(70):
        change_design(
            by=SYSTEM, item=item, what="x",
            step=lambda d, n=n: steps.set_class(d, promised=600 + n),
        )  # fmt: skip
    assert DesignStep.objects.count() == 60
    assert AuditEntry.objects.filter(fields=["design"]).count() == 70
    undo_design(by=SYSTEM, item=item)
    assert design_of(item).promised == 668


def test_nothing_is_kept_where_a_step_changes_nothing(item: FitnessClass) -> None:
    row = change_design(by=SYSTEM, item=item, step=lambda d: d, what="x")
    assert (row.revision, DesignStep.objects.count()) == (0, 0)


def test_as_filmed_counts_once_it_is_filmed(item: FitnessClass) -> None:
    plan = steps.add_item(steps.add_block(Design(), "main"), 0, 0, Item("squat"), exercises())
    change_design(by=SYSTEM, item=item, step=lambda _: plan, what="x")
    with pytest.raises(Refused, match="not filmed yet"):
        set_filmed(by=SYSTEM, item=item, filmed=Design())
    item.state = "filmed"
    item.save()
    filmed = steps.remove_item(plan, 0, 0, 0)
    set_filmed(by=SYSTEM, item=item, filmed=filmed)
    assert design_of(item) == filmed
    assert designed(item).design == plan


def test_an_exercise_of_her_own_is_found_and_one_retired_is_not(
    browser: Browser, item: FitnessClass
) -> None:
    own = factories.own_exercise("counter-lean", "Kitchen counter lean")
    step(browser, item, op="add_block", kind="main")
    step(browser, item, op="add_item", block=0, pattern=0, exercise="counter-lean")
    assert "Kitchen counter lean" in read(browser.get(f"{page(item)}?find=kitchen&at=0.0"))
    own.retired = True
    own.save()
    text = read(browser.get(f"{page(item)}?find=kitchen&at=0.0"))
    assert "No exercise of that name." in text
    assert "0:00 Kitchen counter lean" in text.replace("⠿ ", "")


def test_who_only_sees_content_changes_nothing(
    people: Any, signed_in: Any, item: FitnessClass
) -> None:
    coach = signed_in(people["covering coach"])
    source = coach.get(page(item)).content.decode()
    assert ("save/" in re.sub(r'data-save="[^"]*"', "", source), "Add a part" in source) == (
        False, False,
    )  # fmt: skip
    assert coach.post(page(item, "save_design"), {"op": "add_block"}).status_code == 403


def test_as_many_queries_for_a_long_class_as_for_a_short_one(
    browser: Browser, item: FitnessClass
) -> None:
    def count() -> int:
        with CaptureQueriesContext(connection) as caught:
            assert browser.get(page(item)).status_code == 200
        return len(caught)

    step(browser, item, op="add_block", kind="main")
    step(browser, item, op="add_item", block=0, pattern=0, exercise="squat")
    first = count()
    for code in list(exercises())[:30]:
        step(browser, item, op="add_item", block=0, pattern=0, exercise=code)
    assert count() == first
