"""What the practice has chosen about measuring, in words: labels, changes, what is wrong. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from clients.rules.assessment import MOST_TEST
from clients.rules.impact_tests import impact_tests
from clients.rules.measuring import scheme
from clients.rules.measuring_policy import MOST_DAYS, MOST_SITES, MOST_WEEKS, Measuring
from clients.rules.readiness_policy import policies
from coach.scheduling.reassessment import policy as reassessment_policy

LEAST_WEEKS = 3
LABELS = {
    "sites": "Sites",
    "method": "Measured with",
    "position": "How she lies or stands",
    "tests_from_weeks": "Completed weeks after an end before a test is offered",
    "readiness": "Which policy of a return to impact is in force",
    "own_gate_weeks": "Completed weeks after an end",
    "own_tests_days": "Days that a result counts",
    "amounts": "What is asked in the tests",
    "reassessment": "When she is seen again",
}
BOUNDS = {
    "tests_from_weeks": (LEAST_WEEKS, MOST_WEEKS),
    "own_gate_weeks": (LEAST_WEEKS, MOST_WEEKS),
    "own_tests_days": (1, MOST_DAYS),
}
_WRONG = {
    "sites": f"Choose one to {MOST_SITES} sites.",
    "method": "Choose one of these.",
    "position": "Choose one of these.",
    "readiness": "Choose one of the policies.",
    "amounts": f"Whole, from 1 to {MOST_TEST}.",
    "reassessment": "A whole number within its bounds.",
    **{name: f"Whole, from {least} to {most}." for name, (least, most) in BOUNDS.items()},
}


def wrong_words(name: str) -> str:
    """What a choice of that name has to be."""
    return _WRONG[name]


def changes_words(values: Mapping[str, Any]) -> list[str]:
    """What of stored choices is other than to begin with, one sentence each."""
    return [*_changes(values)] or ["Everything as to begin with"]


def _changes(values: Mapping[str, Any]) -> Iterator[str]:
    usual = Measuring()
    for name, label in LABELS.items():
        if name not in values:
            continue
        if name == "amounts":
            yield from _amounts(values[name])
        elif name == "reassessment":
            yield from _reassessment(values[name])
        else:
            told, begins = (value_words(name, one) for one in (values[name], getattr(usual, name)))
            yield f"{label}: {told}, to begin with {begins}"


def value_words(name: str, value: Any) -> str:
    """A choice as the page tells it."""
    known = scheme()
    if name == "sites":
        return _list(known.sites[code].words for code in value)
    if name == "method":
        return known.methods[value].words if value else "nothing chosen beforehand"
    if name == "position":
        return known.positions[value] if value else "nothing chosen beforehand"
    return policies()[value].title if name == "readiness" else str(value)


def _amounts(amounts: Mapping[str, int]) -> Iterator[str]:
    for code, amount in amounts.items():
        test = impact_tests()[code]
        yield f"{test.words}: {amount} {test.unit}, published {test.amount}"


def _reassessment(changed: Mapping[str, int]) -> Iterator[str]:
    known = reassessment_policy().adjustable
    for name, value in changed.items():
        yield f"{known[name].words}: {value}, to begin with {known[name].value}"


def _list(words: Iterable[str]) -> str:
    return "; ".join(words)
