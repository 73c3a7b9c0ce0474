"""The month planner: a frozen problem in, a frozen plan out. problem.py states rules and value."""

from coach.scheduling.planner.greedy import greedy
from coach.scheduling.planner.measure import broken_rules, value_of
from coach.scheduling.planner.month import make_plan
from coach.scheduling.planner.problem import (
    FixedUpload,
    Need,
    Placement,
    Plan,
    PlanClass,
    PlannedSlot,
    Problem,
    Status,
    Weights,
    freeze_need,
)

__all__ = [
    "FixedUpload",
    "Need",
    "Placement",
    "Plan",
    "PlanClass",
    "PlannedSlot",
    "Problem",
    "Status",
    "Weights",
    "broken_rules",
    "freeze_need",
    "greedy",
    "make_plan",
    "value_of",
]
