"""The stages that a class serves: by its exercises, and by whom it is announced for."""

from __future__ import annotations

from typing import Any

import pytest

from coach.practice.audit import SYSTEM
from coach.scheduling.values import SERVABLE_STAGES, Stage
from content.actions.design import change_design
from content.models import FitnessClass, OwnExercise
from content.queries.serving import class_stages
from content.rules.design import Block, Design, Item, Pattern
from tests import factories

ALL = frozenset(SERVABLE_STAGES)
# A bridge is left out from the second trimester on and in the first six weeks after a birth:
# content/data/suitability.toml, each row with its source.
BACK = frozenset(SERVABLE_STAGES) - {Stage.TRIMESTER_2, Stage.TRIMESTER_3, Stage.WEEKS_0_6}


def a_class(*items: Item, stages: tuple[str, ...] = (), **values: Any) -> FitnessClass:
    made = factories.fitness_class(stages=list(stages), **values)
    if items:
        design = Design((Block(patterns=(Pattern(items),)),))
        change_design(by=SYSTEM, item=made, step=lambda _: design, what="x")
    return made


def served(item: FitnessClass) -> frozenset[Stage]:
    return class_stages()[item.pk]


def test_a_class_never_designed_serves_whom_it_is_announced_for(practice: Any) -> None:
    assert served(a_class(stages=("t3", "w6-12"))) == {Stage.TRIMESTER_3, Stage.WEEKS_6_12}
    assert served(a_class()) == frozenset()


def test_a_design_without_an_exercise_is_no_design(practice: Any) -> None:
    item = a_class(stages=("t3",))
    empty = Design((Block(patterns=(Pattern(()),)),))
    change_design(by=SYSTEM, item=item, step=lambda _: empty, what="x")
    assert served(item) == {Stage.TRIMESTER_3}


def test_a_designed_class_serves_no_stage_that_its_exercises_exclude(practice: Any) -> None:
    assert served(a_class(Item("bridge"))) == BACK
    assert served(a_class(Item("bridge"), stages=tuple(map(str, ALL)))) == BACK


def test_of_those_it_serves_only_those_it_is_announced_for(practice: Any) -> None:
    assert served(a_class(Item("bridge"), stages=("t1", "t3"))) == {Stage.TRIMESTER_1}
    assert served(a_class(Item("bridge"), stages=("t3",))) == frozenset()


def test_an_easier_option_counts_only_where_it_is_shown(practice: Any) -> None:
    shown = a_class(Item("bridge", shows=("side-lying-leg-lift",)))
    assert Stage.TRIMESTER_3 in served(shown)
    assert Stage.TRIMESTER_3 not in served(a_class(Item("bridge")))


def test_what_nobody_knows_of_an_exercise_serves_nobody(practice: Any) -> None:
    factories.own_exercise("lean", "Lean to the wall")
    item = a_class(Item("lean"), stages=("t1", "w52-on"))
    assert served(item) == {Stage.TRIMESTER_1, Stage.WEEKS_52_ON}
    OwnExercise.objects.update(values={"name": "Lean to the wall"})
    assert served(item) == frozenset()


@pytest.mark.parametrize("state", ["idea", "published", "withdrawn"])
def test_every_class_is_asked_whatever_its_state(practice: Any, state: str) -> None:
    assert served(a_class(Item("bridge"), state=state)) == BACK


@pytest.mark.parametrize("count", [1, 30])
def test_three_queries_whatever_the_size(
    practice: Any, count: int, django_assert_num_queries: Any
) -> None:
    for _ in range(count):
        a_class(Item("bridge"))
    with django_assert_num_queries(3):
        assert len(class_stages()) == count
