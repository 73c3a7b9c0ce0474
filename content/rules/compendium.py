"""MET of activities by edition and code of the Compendium of Physical Activities. Pure.

Used for the effort of an exercise only: no energy is ever worked out from it.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

_FILE = Path(__file__).parent.parent / "data" / "compendium.toml"
_READ = {"table", "copy", "one copy", "memory"}
_LEAST_MET, _MOST_MET = 0.9, 25.0


@dataclass(frozen=True, slots=True)
class Activity:
    """One row: `key` is "2024:02024", edition and code; `read` is where its value was read."""

    key: str
    met: float
    words: str
    read: str


@cache
def _data() -> dict[str, Any]:
    with _FILE.open("rb") as file:
        return tomllib.load(file)


@cache
def activities() -> Mapping[str, Activity]:
    """Every row by "edition:code"; ValueError that names the row if the data are not sound."""
    return read_activities(_data()["edition"])


def read_activities(editions: Mapping[str, Mapping[str, Any]]) -> Mapping[str, Activity]:
    """Rows from parsed data; ValueError for a code that is not five digits, a MET that none has,
    no words, or a place it was read that is not known.
    """
    found: dict[str, Activity] = {}
    for edition, rows in editions.items():
        for code, row in rows.items():
            key = f"{edition}:{code}"
            try:
                found[key] = _activity(key, *row)
            except (TypeError, ValueError) as wrong:
                raise ValueError(f"compendium.toml: {key}: {wrong}") from None
    return found


def _activity(key: str, met: float, words: str, read: str) -> Activity:
    if not re.fullmatch(r"\d{4}:\d{5}", key):
        raise ValueError("an edition is a year, a code five digits")
    if not _LEAST_MET <= met <= _MOST_MET:
        raise ValueError(f"{met} is no MET of anything")
    if not words or read not in _READ:
        raise ValueError("say what it is and where it was read")
    return Activity(key, met, words, read)


@cache
def mets() -> Mapping[str, float]:
    """MET by "edition:code"."""
    return {key: one.met for key, one in activities().items()}


def intensity_of(met: float) -> str:
    """Light below 3 MET, moderate below 6, vigorous from there: WHO, CDC, ACSM."""
    begins = _data()["intensity"]
    if met < begins["moderate_from"]:
        return "light"
    return "moderate" if met < begins["vigorous_from"] else "vigorous"
