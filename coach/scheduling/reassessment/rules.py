"""What each rule of reassessment asks, as the data give it and as a practice has changed it. Pure.

How long each stage waits, and every other number, is data: data/reassessment.toml.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from functools import cache
from pathlib import Path

from coach.scheduling.values import Stage

_FILE = Path(__file__).parent.parent / "data" / "reassessment.toml"
COMMON = "common practice, no source"
OURS = "policy of the practice"
HERS = "decided for her"
EVERY = "every-"
MOST_WEEKS = 104
NAMES = frozenset(
    ("first_days", "sign_days", "back_weeks", "back_days", "finding_weeks", "symptom_days",
     "least_weeks")
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class StageRule:
    """What one stage asks, in whole weeks: how often (0: not in this stage), and how soon in it."""

    every_weeks: int
    after_weeks: int
    source: str

    def __post_init__(self) -> None:
        if self.every_weeks < 0 or self.after_weeks < 0:
            raise ValueError("weeks are none or more")
        if not self.source:
            raise ValueError("a rule names its source")


@dataclass(frozen=True, slots=True)
class Number:
    """One number that can be changed: whole days or weeks, within `least` and `most`.

    `words` say what it asks. ValueError for a value that cannot be.
    """

    value: int
    least: int
    most: int
    words: str
    source: str

    def __post_init__(self) -> None:
        if type(self.value) is not int or not self.least <= self.value <= self.most:
            raise ValueError(f"{self.words}: whole, {self.least} to {self.most}")
        if not self.words or not self.source:
            raise ValueError("a number names what it asks and its source")


@dataclass(frozen=True, slots=True)
class Rules:
    """All that decides when the next one is wanted; ValueError if anything is missing or unknown.

    `numbers` by their names: those that end in _days are days, the others weeks.
    """

    stages: Mapping[Stage, StageRule]
    numbers: Mapping[str, Number]

    def __post_init__(self) -> None:
        if self.stages.keys() != set(Stage) - {Stage.PAST_DUE}:
            raise ValueError("every stage except past the due date has its rule, and no other")
        if self.numbers.keys() != NAMES:
            raise ValueError("every number that the rules want, and no other")

    def number(self, name: str) -> int:
        """The number of that name; KeyError for another."""
        return self.numbers[name].value

    def wait(self, name: str) -> timedelta:
        """The same as a time."""
        unit = "days" if name.endswith("_days") else "weeks"
        return timedelta(**{unit: self.number(name)})

    @property
    def adjustable(self) -> dict[str, Number]:
        """Everything that a practice may change, by the names that `rules_with` takes.

        The first weeks after an end are not among them: they are her clinician's.
        """
        stages = {
            f"{EVERY}{stage}": Number(
                rule.every_weeks, 1, MOST_WEEKS, f"Every so many weeks: {stage.label}", rule.source
            )
            for stage, rule in self.stages.items()
            if rule.every_weeks
        }
        return {**stages, **self.numbers}


@cache
def policy() -> Rules:
    """The rules as the data give them; ValueError or TypeError if they are wrong or incomplete."""
    with _FILE.open("rb") as file:
        found = tomllib.load(file)
    stages = {Stage(code): StageRule(**row) for code, row in found["stages"].items()}
    return Rules(stages, {name: Number(**row) for name, row in found["numbers"].items()})


def rules_with(changed: Mapping[str, int]) -> Rules:
    """The rules with what a practice has changed: "every-<code of a stage>", or a number's name.

    ValueError for another name, and for a value that cannot be. What differs names the practice
    as its source.
    """
    rules = policy()
    known, stages, numbers = rules.adjustable, dict(rules.stages), dict(rules.numbers)
    for name, value in changed.items():
        if name not in known:
            raise ValueError(f"{name!r} is nothing that can be changed")
        source = OURS if value != known[name].value else known[name].source
        number = replace(known[name], value=value, source=source)
        if name in numbers:
            numbers[name] = number
        else:
            stage = Stage(name.removeprefix(EVERY))
            stages[stage] = replace(stages[stage], every_weeks=value, source=source)
    return Rules(stages, numbers)
