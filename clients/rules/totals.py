"""Totals of questionnaires of others: the number and its range, nothing of their text. Pure."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

_FILE = Path(__file__).parent.parent / "data" / "totals.toml"
LESS, MORE = "less", "more"


@dataclass(frozen=True, slots=True)
class Total:
    """One questionnaire. `possible`: the only totals that can come about; none: any in the range.

    `bands`: (from which total on, which word), as published. `better`: "less" or "more".
    """

    code: str
    name: str
    about: str
    least: int
    most: int
    digits: int
    better: str
    source: str
    bands: tuple[tuple[int, str], ...] = ()
    possible: tuple[int, ...] = ()

    @property
    def field(self) -> str:
        """The code under which it is kept."""
        return f"total-{self.code}"

    def wrong(self, value: Decimal) -> str:
        """Why it cannot be a total, in a sentence; "" if it can."""
        if not self.least <= value <= self.most:
            return f"A total from {self.least} to {self.most}."
        if self.possible and value not in self.possible:
            return f"No answers come to that: {', '.join(map(str, self.possible))}."
        if value != round(value, self.digits):
            return "A whole number." if not self.digits else f"At most {self.digits} decimal."
        return ""

    def band(self, value: Decimal | float) -> str:
        """The published word for a total; "" where none is published."""
        return next((word for least, word in reversed(self.bands) if value >= least), "")


@cache
def totals() -> dict[str, Total]:
    """All of them by code; ValueError that names the row if the data are not sound."""
    with _FILE.open("rb") as file:
        return read_totals(tomllib.load(file))


def read_totals(data: Mapping[str, Any]) -> dict[str, Total]:
    """From parsed data; ValueError for a row that is not sound."""
    found: dict[str, Total] = {}
    for row in data["total"]:
        bands = tuple((least, word) for least, word in row["bands"])
        one = Total(**{**row, "bands": bands, "possible": tuple(row.get("possible", ()))})
        known = one.better in {LESS, MORE} and one.digits in {0, 1} and one.least < one.most
        in_order = list(bands) == sorted(bands) and all(
            one.least <= n <= one.most for n, _ in bands
        )
        fresh = one.code and one.code not in found and "-" not in one.code
        if not (fresh and one.name and one.source and known and in_order):
            raise ValueError(f"the total {one.code!r} is not sound")
        found[one.code] = one
    return found
