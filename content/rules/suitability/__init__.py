"""Whom an exercise and a class suit: what each asks, against what is recorded of a person. Pure.

The strongest thing said is “nothing against it in what is recorded”. What is not known is said to
be not known. `values.py` holds the values, `against.py` the rules, `judging.py` the verdicts.
"""

from content.rules.suitability.judging import (
    judge,
    judge_class,
    judge_class_stage,
    judge_stage,
    suits,
)
from content.rules.suitability.values import (
    SUPPOSED,
    ClassJudged,
    Judged,
    Person,
    Recovery,
    Verdict,
    person_at_stage,
)

__all__ = [
    "SUPPOSED",
    "ClassJudged",
    "Judged",
    "Person",
    "Recovery",
    "Verdict",
    "judge",
    "judge_class",
    "judge_class_stage",
    "judge_stage",
    "person_at_stage",
    "suits",
]
