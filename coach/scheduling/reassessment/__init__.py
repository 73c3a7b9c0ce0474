"""When the next assessment of a client is wanted, and why. Pure; the rules stand at `due`.

Reasons name weeks, days and what was found, so that they can be read on a quiet client's page.
"""

from coach.scheduling.reassessment.asks import (
    BACK,
    CHANGED,
    FIRST,
    FOUND,
    INTERVAL,
    SIGN,
    SYMPTOM,
)
from coach.scheduling.reassessment.history import Found, History
from coach.scheduling.reassessment.next import Due, Later, due
from coach.scheduling.reassessment.rules import Number, Rules, StageRule, policy, rules_with
from coach.scheduling.reassessment.run import lost_on, run_on

__all__ = [
    "BACK",
    "CHANGED",
    "FIRST",
    "FOUND",
    "INTERVAL",
    "SIGN",
    "SYMPTOM",
    "Due",
    "Found",
    "History",
    "Later",
    "Number",
    "Rules",
    "StageRule",
    "due",
    "lost_on",
    "policy",
    "rules_with",
    "run_on",
]
