"""What the practice has decided about the go-ahead, by its first day; where each rule comes from.

Pure. A day is judged by the policy of that day: a change never rewrites the past.
"""

from __future__ import annotations

import tomllib
from bisect import bisect_right
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

_FILE = Path(__file__).parent.parent / "data" / "go_ahead.toml"
KINDS = (
    "sign", "against", "stop-answer", "stop-condition", "past-forty-weeks", "unknown",
    "hold-answer", "hold-condition", "no-screening", "screening-old", "no-letter", "her-word",
    "before-end", "before-start", "overtaken", "not-examined", "own-end", "policy-end", "letter",
    "limit", "gentle", "caesarean", "screening", "noted", "no-letter-required", "screened",
    "not-checked",
)  # fmt: skip
SWITCHES = ("examined", "screening", "gentle", "caesarean", "conditions", "policy-end")
MOST_WEEKS = 104
# Both may be stricter than the data, never laxer: neither rule can be switched off.
PAST_DUE_DAYS = range(281, 295)
LEAST_WEEKS = {"letter_wanted_weeks": 52}


@dataclass(frozen=True, slots=True)
class Policy:
    """The practice's numbers, in whole weeks or days, and which rules it has switched off.

    ValueError for a number that cannot be, or a switch that there is not.
    """

    letter_counts_weeks: int
    screening_counts_weeks: int
    letter_wanted_weeks: int
    gentle_weeks: int
    caesarean_impact_weeks: int
    caesarean_trunk_weeks: int
    caesarean_lifting_weeks: int
    past_due_days: int
    screening_suffices: bool = False
    off: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        for name in WEEKS:
            weeks = getattr(self, name)
            least = LEAST_WEEKS.get(name, 1)
            if type(weeks) is not int or not least <= weeks <= MOST_WEEKS:
                raise ValueError(f"{name}: whole weeks, {least} to {MOST_WEEKS}")
        if self.past_due_days not in PAST_DUE_DAYS:
            raise ValueError("past_due_days: a day after the due date, 42w0d at the latest")
        if not isinstance(self.screening_suffices, bool):
            raise ValueError("screening_suffices: yes or no")
        if unknown := self.off - set(SWITCHES):
            raise ValueError(f"{min(unknown)!r} is nothing that can be switched off")

    def checks(self, switch: str) -> bool:
        """Whether a rule that may be switched off is on."""
        return switch not in self.off

    @property
    def unchecked(self) -> tuple[str, ...]:
        """What is not checked, in words."""
        return tuple(switches()[one] for one in SWITCHES if one in self.off)


WEEKS = tuple(one.name for one in fields(Policy) if one.name.endswith("_weeks"))


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule in words with its source; `switch` names what switches it off, `numbers` its own."""

    kind: str
    words: str
    source: str
    switch: str = ""
    switch_words: str = ""
    numbers: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Policies:
    """The policies by their first days; the first of all has none."""

    versions: tuple[Policy, ...]
    begins: tuple[date, ...] = ()

    @classmethod
    def of(cls, rows: Iterable[tuple[date, Mapping[str, Any]]]) -> Policies:
        """From (first day, what differs from the data), in any order; ValueError for a bad one."""
        ordered = sorted(rows, key=lambda row: row[0])
        return cls(
            (policy(), *(policy_with(values) for _, values in ordered)),
            tuple(begins for begins, _ in ordered),
        )

    def on(self, day: date) -> Policy:
        """The policy of a day."""
        return self.versions[bisect_right(self.begins, day)]


@cache
def _data() -> Mapping[str, Any]:
    with _FILE.open("rb") as file:
        data = tomllib.load(file)
    _check(data)
    return data


def _check(data: Mapping[str, Any]) -> None:
    """ValueError or TypeError if the data are not sound."""
    Policy(**data["policy"])
    found = [Rule(**row) for row in data["rule"]]
    kinds = [one.kind for one in found]
    if sorted(kinds) != sorted(KINDS) or not all(one.source and one.words for one in found):
        raise ValueError("each kind of reason has its words and its source, and no other does")
    if set(data["switch"]) != set(SWITCHES):
        raise ValueError("each switch has its words, and no other does")
    for one in found:
        known = {field.name for field in fields(Policy)}
        if not set(one.numbers) <= known or one.switch not in {"", *SWITCHES}:
            raise ValueError(f"the rule {one.kind!r} has a number or a switch that there is not")


@cache
def policy() -> Policy:
    """The policy as it is to begin with; ValueError or TypeError if the data are not sound."""
    return Policy(**_data()["policy"])


def policy_with(values: Mapping[str, Any]) -> Policy:
    """The policy with what differs from the data; `off` may be a list. ValueError if not sound."""
    known = {field.name for field in fields(Policy)}
    if unknown := set(values) - known:
        raise ValueError(f"{min(unknown)!r} is nothing of the policy")
    changed = {**values, "off": frozenset(values.get("off", ()))}
    return replace(policy(), **changed)


@cache
def rules() -> dict[str, Rule]:
    """Every rule by kind, in the order of the data."""
    found = (Rule(**{**row, "numbers": tuple(row.get("numbers", ()))}) for row in _data()["rule"])
    return {one.kind: one for one in found}


@cache
def switches() -> dict[str, str]:
    """What is not checked when a switch is off, in words."""
    return dict(_data()["switch"])


def source_of(kind: str) -> str:
    """Where a rule comes from."""
    return rules()[kind].source


DEFAULT = Policies((policy(),))
