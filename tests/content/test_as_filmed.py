"""What is in the film takes the place of the plan: options not shown count for nothing."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client as Browser
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from coach.practice.audit import SYSTEM
from coach.scheduling.values import Stage
from content.actions.design import change_design
from content.models import ClassDesign, FitnessClass
from content.queries.design import design_of
from content.queries.library import library
from content.rules.as_filmed import Told, as_filmed, place_of
from content.rules.checks import places
from content.rules.design import Block, Design, Item, Pattern
from content.rules.exercises import exercises
from content.rules.suitability import Verdict, judge_class_stage
from tests import factories
from tests.clients.pages import read

PLAN = Design(
    (
        Block(title="Begin", patterns=(Pattern((Item("clam"),)),)),
        Block(
            title="On the floor",
            patterns=(Pattern((Item("bridge", shows=("side-lying-leg-lift",)), Item("clam"))),),
        ),
    )
)
EVERYTHING = {place_of(where) for where, _ in places(PLAN)}
OPTION = "1.0.0:side-lying-leg-lift"


@pytest.fixture
def item(practice: Any) -> FitnessClass:
    made = factories.fitness_class("Floor", state="published")
    change_design(by=SYSTEM, item=made, step=lambda _: PLAN, what="x")
    return made


def page(item: FitnessClass) -> str:
    return reverse("classes:as_filmed", args=[item.pk])


def late(design: Design) -> Verdict:
    return judge_class_stage(design, Stage("t3"), exercises()).verdict


def test_the_option_left_out_on_film_drops_the_verdict() -> None:
    assert late(PLAN) is Verdict.EASIER
    assert late(as_filmed(PLAN, Told(EVERYTHING, {OPTION}))) is Verdict.EASIER
    assert late(as_filmed(PLAN, Told(EVERYTHING))) is Verdict.LEAVE_OUT


def test_what_is_not_in_the_film_does_not_count_and_empty_parts_go() -> None:
    film = as_filmed(PLAN, Told({"1.0.1"}))
    assert [(block.title, *(one.exercise for one in film.items)) for block in film.blocks] == [
        ("On the floor", "clam")
    ]
    assert late(film) is Verdict.FINE
    with pytest.raises(ValueError, match="Something must be in the film"):
        as_filmed(PLAN, Told(set()))


def test_what_was_done_instead_shows_no_option_of_the_other() -> None:
    film = as_filmed(PLAN, Told(EVERYTHING, {OPTION}, {"1.0.0": "squat-jump"}))
    done = list(film.items)[1]
    assert (done.exercise, done.shows) == ("squat-jump", ())


@given(st.sets(st.sampled_from(sorted(EVERYTHING)), min_size=1), st.booleans())
def test_no_option_is_ever_shown_that_was_not_ticked(taken: set[str], ticked: bool) -> None:
    film = as_filmed(PLAN, Told(taken, {OPTION} if ticked else set()))
    shown = [code for one in film.items for code in one.shows]
    assert shown == (["side-lying-leg-lift"] if ticked and "1.0.0" in taken else [])


def test_no_option_is_ticked_for_her_and_what_she_says_is_judged(
    browser: Browser, item: FitnessClass
) -> None:
    answer = browser.get(page(item))
    assert [one["options"][0][1] for one in answer.context["lines"] if one["options"]] == [False]
    assert "Until you say, whom it suits goes by the plan." in read(answer)
    answer = browser.post(page(item), {"taken": sorted(EVERYTHING)}, follow=True)
    assert "goes by the film from now on" in read(answer)
    assert late(design_of(item)) is Verdict.LEAVE_OUT
    browser.post(page(item), {"taken": sorted(EVERYTHING), "shown": [OPTION]})
    assert late(design_of(item)) is Verdict.EASIER
    assert "Bridge with side-lying leg lift" in read(browser.get(page(item)))
    browser.post(page(item), {"as_planned": "yes"})
    assert ClassDesign.objects.get(item=item).filmed is None


def test_a_name_that_nobody_knows_is_told_beside_it_and_what_was_typed_stays(
    browser: Browser, item: FitnessClass
) -> None:
    answer = browser.post(page(item), {"taken": ["0.0.0"], "instead-1.0.0": "Bridgework"})
    assert answer.status_code == 422
    assert "“Bridgework” is not in the list of exercises." in read(answer)
    assert 'value="Bridgework"' in answer.content.decode()
    assert ClassDesign.objects.get(item=item).filmed is None


@pytest.mark.parametrize(
    ("state", "sent", "says"),
    [
        ("published", {}, "Something must be in the film"),
        ("outlined", {"taken": ["0.0.0"]}, "is not filmed yet"),
    ],
)
def test_what_cannot_be_is_told(
    browser: Browser, practice: Any, state: str, sent: dict[str, Any], says: str
) -> None:
    made = factories.fitness_class("Floor", state=state)
    change_design(by=SYSTEM, item=made, step=lambda _: PLAN, what="x")
    answer = browser.post(page(made), sent)
    assert (answer.status_code, says in read(answer)) == (422, True)


def test_without_a_plan_there_is_nothing_to_say(browser: Browser, practice: Any) -> None:
    made = factories.fitness_class("Empty", state="filmed")
    assert "It is not designed yet" in read(browser.get(page(made)))


def test_another_exercise_by_its_name(browser: Browser, item: FitnessClass) -> None:
    browser.post(page(item), {"taken": sorted(EVERYTHING), "instead-1.0.0": "Bird dog"})
    assert design_of(item).exercises == ("clam", "bird-dog")
    assert "bird-dog" in library()
