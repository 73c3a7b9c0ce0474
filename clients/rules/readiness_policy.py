"""Which policy of a return to impact is in force, what is asked, and what sources say. Pure."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

from clients.rules.measuring_policy import OWN, POLICIES, Measuring
from clients.rules.words import says_too_much

_FILE = Path(__file__).parent.parent / "data" / "readiness.toml"
KINDS = (
    "stage", "time", "operation", "go-ahead", "limit", "limit-in-words", "gentle", "tests",
    "symptoms", "others", "next-day", "bleeding",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class ReadinessPolicy:
    """One policy. Nothing else counts before `rest_days` from the end, which is day 0; a result
    counts for `tests_days`; `individual`: after the rest no week is named.
    """

    code: str
    title: str
    words: str
    rest_days: int
    tests_days: int
    source: str
    individual: bool = False

    @property
    def name(self) -> str:
        """The title as it begins a line."""
        return self.title[:1].upper() + self.title[1:]

    @property
    def numbers(self) -> str:
        """ "12 weeks from the end, results of the last 14 days"."""
        return (
            f"{self.rest_days // 7} weeks from the end, results of the last {self.tests_days} days"
        )


@dataclass(frozen=True, slots=True)
class Position:
    """What one published source says, in words of our own."""

    words: str
    source: str


@dataclass(frozen=True, slots=True)
class Asked:
    """One thing that is asked, with its source."""

    kind: str
    words: str
    source: str


@dataclass(frozen=True, slots=True)
class Data:
    """All of the file. `bleeding_days`: the last day on which bleeding is looked on as usual."""

    policies: Mapping[str, ReadinessPolicy]
    positions: tuple[Position, ...]
    rules: Mapping[str, Asked]
    bleeding_days: int
    caesarean_least_weeks: int


@cache
def data() -> Data:
    """The data; ValueError if they are not sound."""
    with _FILE.open("rb") as file:
        return read_data(tomllib.load(file))


def read_data(parsed: Mapping[str, Any]) -> Data:
    """From parsed data; ValueError for a policy, a rule or a position that is not sound."""
    found = Data(
        policies={row["code"]: ReadinessPolicy(**row) for row in parsed["policy"]},
        positions=tuple(Position(**row) for row in parsed["position"]),
        rules={row["kind"]: Asked(**row) for row in parsed["rule"]},
        bleeding_days=parsed["bleeding_days"],
        caesarean_least_weeks=parsed["caesarean_least_weeks"],
    )
    named: tuple[ReadinessPolicy | Position | Asked, ...] = (
        *found.policies.values(),
        *found.positions,
        *found.rules.values(),
    )
    sourced = all(one.words and one.source and not _too_much(one) for one in named)
    days = all(one.rest_days > 0 and one.tests_days > 0 for one in found.policies.values())
    known = tuple(found.policies) == POLICIES and tuple(found.rules) == KINDS
    if not (sourced and days and known and found.bleeding_days and found.caesarean_least_weeks):
        raise ValueError("the data of readiness are not sound")
    return found


def _too_much(one: ReadinessPolicy | Position | Asked) -> bool:
    return says_too_much(f"{one.words} {one.source}")


def policies() -> Mapping[str, ReadinessPolicy]:
    """The policies that a practice may choose between, as published, by code."""
    return data().policies


def positions() -> tuple[Position, ...]:
    """What published sources say: they differ."""
    return data().positions


def rules() -> Mapping[str, Asked]:
    """What is asked, by kind, in the order of the page."""
    return data().rules


def in_force(chosen: Measuring) -> ReadinessPolicy:
    """The policy that a practice has chosen, with its own days where they count."""
    found = policies()[chosen.readiness]
    if found.code != OWN:
        return found
    return replace(found, rest_days=7 * chosen.own_gate_weeks, tests_days=chosen.own_tests_days)
