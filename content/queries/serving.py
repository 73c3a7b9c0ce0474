"""Which stages each class serves, by what it asks of the body and whom it is announced for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from coach.scheduling.values import SERVABLE_STAGES, Stage
from content.models import FitnessClass
from content.queries.design import designs
from content.queries.library import library
from content.rules.design import Design
from content.rules.suitability import person_at_stage, suits
from content.rules.suitability.judging import Judge

_ANY_DAY = date(2000, 1, 1)  # a stage is asked about without a day


def class_stages() -> Mapping[int, frozenset[Stage]]:
    """The stages that each class serves, by its id; three queries for any number of classes.

    Of a designed class those at which nothing is against it, or the easier option is shown in it;
    and among them those it is announced for, where it says any. What is not known about an exercise
    is against it. Of a class without exercises those it is announced for: none is not known, and
    serves nobody.
    """
    known, plans = library(), designs()
    judges = [(stage, Judge(person_at_stage(stage, _ANY_DAY), known)) for stage in SERVABLE_STAGES]
    rows = FitnessClass.objects.values_list("pk", "stages")
    return {pk: _serves(plans.get(pk), codes, judges) for pk, codes in rows}


def _serves(
    design: Design | None, codes: Iterable[str], judges: Iterable[tuple[Stage, Judge]]
) -> frozenset[Stage]:
    announced = frozenset(Stage(code) for code in codes)
    if design is None or not design.exercises:
        return announced
    found = frozenset(stage for stage, judge in judges if suits(judge.of_class(design)))
    return found & announced if announced else found
