"""Every class of the demo serves what each of them, asked by itself, says that it does."""

from __future__ import annotations

from coach.scheduling.values import SERVABLE_STAGES
from content.models import FitnessClass
from content.queries.design import designs
from content.queries.library import library
from content.queries.serving import class_stages
from content.rules.suitability import judge_class_stage, suits


def test_the_demo_agrees_with_each_class_asked_by_itself(demo: None) -> None:
    known, plans, found = library(), designs(), class_stages()
    announced = dict(FitnessClass.objects.values_list("pk", "stages"))
    assert set(found) == set(announced)
    asked = {
        pk: {
            stage
            for stage in SERVABLE_STAGES
            if suits(judge_class_stage(plan, stage, known))
            if str(stage) in announced[pk] or not announced[pk]
        }
        for pk, plan in plans.items()
    }
    assert {pk: set(found[pk]) for pk in asked} == asked
    assert any(asked.values())
