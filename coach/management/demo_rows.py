"""Reads the demo's rows."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path

_FOLDER = Path(__file__).parent / "demo"


def rows(name: str) -> Iterator[dict[str, str]]:
    """The rows of a table in demo/, by column."""
    with (_FOLDER / name).open(encoding="utf-8", newline="") as file:
        yield from csv.DictReader(file)
