"""The weights behind each preference, read from the app's data and checked when loaded."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path

from coach.scheduling.planner import Weights

_FILE = Path(__file__).parent.parent / "data" / "preferences.toml"


@cache
def weights() -> dict[str, Weights]:
    """Weights by preference; TypeError or ValueError if the data name others or negative ones."""
    with _FILE.open("rb") as file:
        return {name: Weights(**points) for name, points in tomllib.load(file).items()}
