"""The tests before a return to impact: what passes, and who is offered them. Pure.

Goom, Donnelly and Brockwell 2019: seven of load, four of strength, and no pain, heaviness, dragging
or leaking in any of them. Amounts are data, and the practice may set its own.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Any

from clients.rules.measuring import NO, YES
from coach.scheduling.values import GoAhead, Stage

_FILE = Path(__file__).parent.parent / "data" / "impact_tests.toml"
LOAD, STRENGTH = "load", "strength"
LEFT, RIGHT, WHOLE = "left", "right", "amount"
SYMPTOM, OFFERED = "symptom", "offered"
UNITS = ("s", "min", "times")


class Result(StrEnum):
    """What a test came to. Only PASS is a pass: nothing said is never one."""

    PASS = "pass"  # noqa: S105  # the trade's word, no secret
    FAIL = "fail"
    INCOMPLETE = "incomplete"
    NOT_OFFERED = "not offered"
    NOT_ASKED = "not asked"


@dataclass(frozen=True, slots=True)
class ImpactTest:
    """One test: `amount` of `unit`, of each leg where `each_leg`.

    `impact`: both feet leave the ground.
    """

    code: str
    kind: str
    words: str
    amount: int
    unit: str
    each_leg: bool
    impact: bool
    source: str

    @property
    def parts(self) -> tuple[str, ...]:
        """What is counted: each leg, or the whole."""
        return (LEFT, RIGHT) if self.each_leg else (WHOLE,)

    @property
    def asks(self) -> str:
        """ "10 s each leg"."""
        return f"{self.amount} {self.unit}{' each leg' if self.each_leg else ''}"

    def field(self, part: str) -> str:
        """The code under which a part is kept: "test-hop-left"."""
        return f"test-{self.code}-{part}"

    @property
    def fields(self) -> tuple[str, ...]:
        """Every code of the test."""
        return tuple(self.field(part) for part in (*self.parts, SYMPTOM, OFFERED))


@cache
def impact_tests() -> dict[str, ImpactTest]:
    """All tests by code, load first; ValueError that names the row if the data are not sound."""
    with _FILE.open("rb") as file:
        return read_tests(tomllib.load(file))


def read_tests(data: Mapping[str, Any]) -> dict[str, ImpactTest]:
    """From parsed data; ValueError for a row that is not sound."""
    found: dict[str, ImpactTest] = {}
    for row in data["test"]:
        one = ImpactTest(**row)
        known = one.kind in {LOAD, STRENGTH} and one.unit in UNITS
        fresh = one.code not in found and "-" not in one.code
        if not (one.code and fresh and known and one.words and one.source and one.amount > 0):
            raise ValueError(f"the test {one.code!r} is not sound")
        found[one.code] = one
    return found


def grade(test: ImpactTest, values: Mapping[str, Any], amount: int | None = None) -> Result:
    """What a test came to, from the values of one assessment.

    `amount`: what the practice asks instead of the test's own. Any symptom fails, and so does a
    leg below the amount; a leg missing or symptoms not asked leave it incomplete.
    """
    wanted = test.amount if amount is None else amount
    done = [values.get(test.field(part)) for part in test.parts]
    symptom = values.get(test.field(SYMPTOM))
    if symptom == YES or any(n is not None and n < wanted for n in done):
        return Result.FAIL
    if symptom == NO and all(n is not None for n in done):
        return Result.PASS
    if symptom == NO or any(n is not None for n in done):
        return Result.INCOMPLETE
    return Result.NOT_OFFERED if values.get(test.field(OFFERED)) == NO else Result.NOT_ASKED


def why_not_offered(
    test: ImpactTest, found: GoAhead, stage: Stage, weeks_since: int | None, *, from_weeks: int
) -> str:
    """Why a test is not offered today, in a sentence that a quiet page may hold; "" if it is.

    `weeks_since`: completed weeks since the latest end; None: not known. `from_weeks`: the first
    week in which the practice offers them.
    """
    if not found.word.may_train:
        return f"Her go-ahead says “{found.word}”."
    if stage.pregnant:
        return "Not offered at this stage."
    if weeks_since is None:
        return "Her stage is not known."
    if weeks_since < from_weeks:
        return f"Not offered in the first {from_weeks} weeks."
    if found.limits.gentle_recovery_only:
        return "She is limited to gentle recovery work."
    if test.impact and found.limits.no_impact:
        return "She is limited to no impact."
    return ""
