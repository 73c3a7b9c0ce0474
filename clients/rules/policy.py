"""What the practice has decided about letters, and where each rule comes from. Pure."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

_FILE = Path(__file__).parent.parent / "data" / "go_ahead.toml"
KINDS = (
    "sign", "against", "past-forty-weeks", "unknown", "before-end", "before-start", "overtaken",
    "her-word", "no-letter", "own-end", "policy-end", "letter", "not-checked",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Policy:
    """`letter_counts_weeks`: how long a letter without an end counts, from the day it was said.

    `sources` names for each kind of reason where the rule comes from.
    """

    letter_counts_weeks: int
    sources: Mapping[str, str]

    def __post_init__(self) -> None:
        if self.letter_counts_weeks < 1:
            raise ValueError("a letter counts at least a week")
        if set(self.sources) != set(KINDS) or not all(self.sources.values()):
            raise ValueError("each kind of reason names its source, and no other does")


@cache
def policy() -> Policy:
    """The policy in force; ValueError or TypeError if the data are not sound."""
    with _FILE.open("rb") as file:
        return read_policy(tomllib.load(file))


def read_policy(data: Mapping[str, Any]) -> Policy:
    """A policy from parsed data; ValueError or TypeError if they are not sound."""
    return Policy(**data["policy"], sources=data["source"])
