"""The reasons of suitability with their numbers and sources, read from the app's data. Pure."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from clients.rules.words import says_too_much
from coach.scheduling.values import Finding, Severity

_FILE = Path(__file__).parents[2] / "data" / "suitability.toml"
KINDS = frozenset(
    {
        "stage", "past-due", "flat", "flat-limit", "prone", "impact-carrying", "impact-early",
        "impact-tests", "impact-limit", "gentle", "gentle-limit", "operation-trunk",
        "operation-high", "operation-lifting", "trunk-limit", "tear", "tear-unknown", "heaviness",
        "leaking", "pelvic-pain", "doming", "width", "girdle", "not-asked", "asked-long-ago",
        "curl-carrying", "plank-carrying", "core-early", "floor-early", "fall", "balance", "still",
        "breath-carrying", "breath-after", "heavy-carrying", "heavy-early", "lifting-limit",
        "vigorous-carrying", "vigorous-early", "effort-limit", "pulse-limit", "limit-in-words",
        "condition", "unknown-exercise", "no-assessment", "operation-gentle",
        "bleeding", "pulse-unknown", "lifting-unknown",
    }
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason. `weeks`: its number, 0 where it has none; `quiet`: words for a quiet page."""

    kind: str
    words: str
    source: str
    weeks: int = 0
    quiet: str = ""

    def finding(self, *, quiet: bool = False, **values: Any) -> Finding:
        """As a page shows it; `values` fill the places in its words."""
        words = self.quiet if quiet and self.quiet else self.words
        text = words.format(weeks=self.weeks, **values)
        return Finding(self.kind, Severity.CAUTION, text, self.source)


@dataclass(frozen=True, slots=True)
class Table:
    """All reasons, how old an answer may be, and the effort up to which work is light, moderate."""

    reasons: Mapping[str, Reason]
    old_weeks: int
    light: int
    moderate: int

    def weeks(self, kind: str) -> int:
        """The number of a reason."""
        return self.reasons[kind].weeks


@cache
def table() -> Table:
    """The data; ValueError that names the row if they are not sound."""
    with _FILE.open("rb") as file:
        return read_table(tomllib.load(file))


def read_table(data: Mapping[str, Any]) -> Table:
    """From parsed data; ValueError for a kind twice, unknown or left out, without words or source,

    or with words that a quiet page may not hold and none instead.
    """
    found: dict[str, Reason] = {}
    for row in data["rule"]:
        one = Reason(**row)
        quiet_words = one.quiet or one.words
        sound = one.kind in KINDS and one.kind not in found and one.words and one.source
        if not sound or one.weeks < 0 or says_too_much(quiet_words):
            raise ValueError(f"the reason {one.kind!r} is not sound")
        found[one.kind] = one
    if left := KINDS - set(found):
        raise ValueError(f"the reason {min(left)!r} is left out")
    return Table(found, data["old_weeks"], data["effort"]["light"], data["effort"]["moderate"])
