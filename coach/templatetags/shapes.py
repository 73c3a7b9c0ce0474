"""The shape of each status, from shapes.toml: a small drawing, and a tone beside it."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

FALLBACK = "not known"


@dataclass(frozen=True, slots=True)
class Shape:
    """A path in a box of 12 × 12, filled by the even-odd rule, and "late", "good" or no tone."""

    name: str
    path: str
    tone: str = ""


@cache
def shapes() -> dict[str, Shape]:
    """The shape of each status; KeyError at once if a status names a shape that is not drawn."""
    data = tomllib.loads((Path(__file__).parent / "shapes.toml").read_text("utf-8"))
    drawn: dict[str, str] = data["shapes"]
    return {
        status: Shape(name, drawn[name], tone)
        for name, by_tone in data["statuses"].items()
        for tone, statuses in by_tone.items()
        for status in statuses
    }


def shape_of(status: str) -> Shape:
    """The shape of a status, whatever its case; the open square for one that has none."""
    known = shapes()
    return known.get(status.lower(), known[FALLBACK])
