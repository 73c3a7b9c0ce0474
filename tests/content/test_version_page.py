"""A class rewritten for a stage or one client: offered, accepted one by one, a class of its own."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.test import Client as Browser
from django.urls import reverse

from clients.models import Client
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry
from coach.scheduling.values import Stage
from content.actions.design import change_design
from content.models import FitnessClass
from content.queries.design import design_of
from content.queries.library import library
from content.rules.design import Block, Design, Item, Pattern
from content.rules.suitability import Verdict, judge_class_stage
from tests import factories
from tests.clients.pages import read
from tests.factories_clearance import assessment, clearance, screening

pytestmark = pytest.mark.django_db


@pytest.fixture
def floor(practice: Any) -> FitnessClass:
    """One on the back, two that ask nothing of it: the rest of the class stays as it is."""
    made = factories.fitness_class("Floor", state="published", for_quiet="yes")
    items = (Item("bridge"), Item("clam"), Item("side-lying-leg-lift"))
    design = Design((Block(title="On the floor", patterns=(Pattern(items),)),))
    change_design(by=SYSTEM, item=made, step=lambda _: design, what="x")
    return made


def late(item: FitnessClass) -> str:
    return reverse("classes:version", args=[item.pk, "t3"])


def test_what_is_on_the_back_is_offered_another_and_the_rest_is_not_touched(
    browser: Browser, floor: FitnessClass
) -> None:
    text = read(browser.get(late(floor)))
    assert f"A version for {Stage('t3').label}" in text
    assert "Bridge becomes" in text
    assert "Clam becomes" not in text
    assert "The class keeps its length" in text
    assert "With all of it: no exercise is excluded at this stage" in text


def test_the_version_is_a_class_of_its_own_that_suits_and_the_old_one_stays(
    browser: Browser, floor: FitnessClass
) -> None:
    before = design_of(floor)
    answer = browser.post(late(floor), {"changes": ["0.0.0"], "title": "Floor, late"}, follow=True)
    made = FitnessClass.objects.get(title="Floor, late")
    assert "“Floor, late” is made" in read(answer)
    assert (made.state, made.for_quiet, made.stages) == ("outlined", "", [])
    assert design_of(floor) == before
    after = design_of(made)
    assert [one.exercise for one in after.items][1:] == ["clam", "side-lying-leg-lift"]
    assert judge_class_stage(after, Stage("t3"), library()).verdict is Verdict.FINE
    assert AuditEntry.objects.filter(verb="added", subject_id=str(made.pk)).count() == 1


@pytest.mark.parametrize(
    ("sent", "says"),
    [
        ({"changes": [], "title": "Floor, late"}, "Tick at least one change"),
        ({"changes": ["9.9.9", "x"], "title": "Floor, late"}, "Tick at least one change"),
        ({"changes": ["0.0.0"], "title": "  "}, "Give it a title"),
        ({"changes": ["0.0.0"], "title": "x" * 161}, "Give it a title"),
        ({"changes": ["0.0.0"], "title": "floor"}, "Give it another title"),
    ],
)
def test_what_cannot_be_is_told_and_what_was_typed_stays(
    browser: Browser, floor: FitnessClass, sent: dict[str, Any], says: str
) -> None:
    answer = browser.post(late(floor), sent)
    assert answer.status_code == 422
    assert says in read(answer)
    assert f'value="{sent["title"]}"' in answer.content.decode()
    assert FitnessClass.objects.count() == 1


def test_a_class_that_suits_or_is_not_designed_says_so(
    browser: Browser, floor: FitnessClass
) -> None:
    fine = reverse("classes:version", args=[floor.pk, "t1"])
    assert "Nothing to change" in read(browser.get(fine))
    empty = factories.fitness_class("Empty", state="outlined")
    assert "It is not designed yet" in read(browser.get(late(empty)))
    wrong = reverse("classes:version", args=[floor.pk, "no-such"])
    assert browser.get(wrong).status_code == 404


def test_what_no_exercise_can_stand_for_stays_in_the_way(browser: Browser, practice: Any) -> None:
    made = factories.fitness_class("Unknown", state="published")
    design = Design((Block(patterns=(Pattern((Item("bridge"), Item("gone"))),)),))
    change_design(by=SYSTEM, item=made, step=lambda _: design, what="x")
    text = read(browser.get(late(made)))
    assert "gone in Main part" in text
    assert "No exercise passes: choose one yourself" in text
    assert "With all of it: not known" in text


def test_for_one_client_the_reasons_are_hers_and_the_title_never_names_her(
    browser: Browser, floor: FitnessClass
) -> None:
    her = factories.client("Honora Finch")
    factories.pregnancy(her, due=date(2027, 2, 21))
    screening(her, date(2026, 11, 20))
    clearance(her, date(2026, 11, 20))
    assessment(her, date(2026, 11, 26), heaviness="no", leaking="no", pain="no")
    answer = browser.get(reverse("classes:version_for", args=[floor.pk, her.pk]))
    text = read(answer)
    assert "A version for Honora Finch" in text
    assert "Bridge" in text
    assert 'value="Floor, second version"' in answer.content.decode()
    assert AuditEntry.objects.filter(verb="looked at", subject_id=str(her.pk)).exists()


def test_for_a_client_who_may_not_train_nothing_is_offered(
    browser: Browser, floor: FitnessClass
) -> None:
    her: Client = factories.client("Nell Over")
    factories.pregnancy(her, due=date(2027, 2, 21))
    text = read(browser.get(reverse("classes:version_for", args=[floor.pk, her.pk])))
    assert "no class is offered until that is mended" in text
    assert "becomes" not in text
