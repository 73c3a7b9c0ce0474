"""What each wish weighs: the presets of the app's data, her sliders, a file of points. Pure."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Mapping
from dataclasses import fields, replace
from functools import cache
from pathlib import Path
from typing import Any

from coach.scheduling.planner import Weights

_FILE = Path(__file__).parent.parent / "data" / "preferences.toml"

# Each wish as the page of wishes calls it, in the order of the page.
WISHES: dict[str, str] = {
    "fill": "Every publish day has a class",
    "serve": "Every stage is served in time",
    "reach": "Each class suits many clients",
    "soon": "What is wanted soon comes first",
    "focus": "No focus twice running",
    "mix": "The mix stays near its target",
    "effort": "Hard and easy take turns",
    "family": "Few exercises of the one before",
    "film": "Filming gathered on few days",
    "work": "Less work left to do",
}
USUAL, MOST_PER_CENT = 100, 300


@cache
def weights() -> dict[str, Weights]:
    """Weights by preference; TypeError or ValueError if the data name others or negative ones."""
    with _FILE.open("rb") as file:
        return {name: Weights(**points) for name, points in tomllib.load(file).items()}


def tuned(preset: Weights, sliders: Mapping[str, int]) -> Weights:
    """The points with each slider's per cent of them, rounded to whole ones, a half up."""
    turned = {
        name: (getattr(preset, name) * sliders.get(name, USUAL) + USUAL // 2) // USUAL
        for name in WISHES
    }
    return replace(preset, **turned)


class NotWeights(ValueError):
    """What is wrong with a file of points, and where: its line, or the wish by name."""


def weights_from(text: str, *, as_json: bool, preset: Weights) -> Weights:
    """The points a file names, TOML or JSON of wish = points; the others are the preset's.

    NotWeights for anything else than whole points of wishes there are.
    """
    found = _read(text, as_json=as_json)
    known = {field.name for field in fields(Weights)}
    for name, points in found.items():
        if name not in known:
            wishes = ", ".join(sorted(known))
            raise NotWeights(
                f"{_place(text, name)}: there is no wish “{name}”. There are {wishes}."
            )
        if type(points) is not int or points < 0:
            raise NotWeights(
                f"{_place(text, name)}: “{name}” is {_shown(points)}: "
                "whole points, 0 or more, are wanted."
            )
    return replace(preset, **found)


def _read(text: str, *, as_json: bool) -> dict[str, Any]:
    try:
        found = _json(text) if as_json else tomllib.loads(f"{text}\n")
    except tomllib.TOMLDecodeError as wrong:
        raise NotWeights(f"This is no TOML: {wrong}.") from None
    except json.JSONDecodeError as wrong:
        raise NotWeights(f"line {wrong.lineno}: this is no JSON: {wrong.msg}.") from None
    if not isinstance(found, dict):
        raise NotWeights("line 1: an object of wish: points is wanted.")
    return found


def _json(text: str) -> Any:
    """JSON in which no key stands twice; the later one would win unseen."""

    def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        names = [name for name, _ in pairs]
        for name in names:
            if names.count(name) > 1:
                raise NotWeights(f"{_place(text, name)}: “{name}” stands there twice.")
        return dict(pairs)

    return json.loads(text, object_pairs_hook=once)


def _place(text: str, name: str) -> str:
    """ "line 3": where a key is first named; a key written in a way of its own is in line 1."""
    named = re.compile(rf"(?<![\w-]){re.escape(name)}(?![\w-])")
    lines = (n for n, line in enumerate(text.splitlines(), 1) if named.search(_bare(line)))
    return f"line {next(lines, 1)}"


def _bare(line: str) -> str:
    """A line without what is said about it."""
    return line.split("#", 1)[0]


def _shown(points: Any) -> str:
    return json.dumps(points, ensure_ascii=False, default=str)
