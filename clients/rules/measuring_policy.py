"""What the practice has chosen about measuring, readiness and reassessment, from a day on. Pure.

A day is judged by the policy of that day. What is not chosen is as in the data.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, fields
from datetime import date
from typing import Any

from clients.rules.assessment import MOST_TEST
from clients.rules.impact_tests import impact_tests
from clients.rules.measuring import default_sites, scheme
from coach.scheduling.reassessment import rules_with

GUIDELINE, CONSENSUS, OWN = "2019", "2024", "own"
POLICIES = (GUIDELINE, CONSENSUS, OWN)
MOST_SITES = 5
MOST_WEEKS, MOST_DAYS = 104, 90


@dataclass(frozen=True, slots=True)
class Measuring:
    """The practice's choices. ValueError for one that cannot be.

    `sites` from above to below; `method` and `position` a new assessment begins with;
    `tests_from_weeks`: the first completed week after an end in which tests are offered;
    `readiness`: which policy of a return to impact is in force; the `own_` values and `amounts`
    (by test) count under "own" alone; `reassessment`: what differs from the data of
    coach.scheduling.reassessment, by its names.
    """

    sites: tuple[str, ...] = field(default_factory=default_sites)
    method: str = ""
    position: str = "crook"
    tests_from_weeks: int = 6
    readiness: str = GUIDELINE
    own_gate_weeks: int = 12
    own_tests_days: int = 14
    amounts: Mapping[str, int] = field(default_factory=dict)
    reassessment: Mapping[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        known = scheme()
        if not self.sites or len(self.sites) > MOST_SITES or set(self.sites) - set(known.sites):
            raise ValueError(f"sites: one to {MOST_SITES} of those there are")
        if self.method not in {"", *known.methods} or self.position not in {"", *known.positions}:
            raise ValueError("method and position: of those there are")
        if self.readiness not in POLICIES:
            raise ValueError("readiness: one of the policies")
        _within("tests_from_weeks", self.tests_from_weeks, 3, MOST_WEEKS)
        _within("own_gate_weeks", self.own_gate_weeks, 3, MOST_WEEKS)
        _within("own_tests_days", self.own_tests_days, 1, MOST_DAYS)
        for code, amount in self.amounts.items():
            if code not in impact_tests():
                raise ValueError("amounts: of tests that there are")
            _within("amounts", amount, 1, MOST_TEST)
        rules_with(self.reassessment)

    @property
    def asked(self) -> Mapping[str, int]:
        """What tests ask, where it is another than published: under the own policy alone."""
        return self.amounts if self.readiness == OWN else {}


def _within(name: str, value: Any, least: int, most: int) -> None:
    if type(value) is not int or not least <= value <= most:
        raise ValueError(f"{name}: whole, {least} to {most}")


def measuring_with(values: Mapping[str, Any]) -> Measuring:
    """The choices with what differs from the data; ValueError if they are not sound."""
    if unknown := set(values) - {one.name for one in fields(Measuring)}:
        raise ValueError(f"{min(unknown)!r} is nothing that can be chosen")
    sites = {"sites": tuple(values["sites"])} if "sites" in values else {}
    return Measuring(**{**values, **sites})


@dataclass(frozen=True, slots=True)
class MeasuringPolicies:
    """The choices by their first days; the first of all has none."""

    versions: tuple[Measuring, ...]
    begins: tuple[date, ...] = ()

    @classmethod
    def of(cls, rows: Iterable[tuple[date, Mapping[str, Any]]]) -> MeasuringPolicies:
        """From (first day, what differs from the data), in any order; ValueError for a bad one."""
        ordered = sorted(rows, key=lambda row: row[0])
        versions = (Measuring(), *(measuring_with(values) for _, values in ordered))
        return cls(versions, tuple(begins for begins, _ in ordered))

    def on(self, day: date) -> Measuring:
        """The choices of a day."""
        return self.versions[bisect_right(self.begins, day)]
