"""The table of exercises read from the app's data, and those of the coach's own. Pure."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping
from dataclasses import fields
from functools import cache
from pathlib import Path
from typing import Any

from content.rules.compendium import mets
from content.rules.exercises.checks import wrong_options, wrong_with
from content.rules.exercises.library import plain
from content.rules.exercises.values import Exercise, Wrong

_FILE = Path(__file__).parents[2] / "data" / "exercises.csv"
_MARKS = {"B": "breath_holding", "F": "lying_flat", "P": "prone", "S": "still_standing",
          "H": "heavy"}  # fmt: skip
# What each exercise is asked for: none of them is read as none for want of an answer.
_ASKED = ("position", "sides", "focus", "intensity", "impact", "core_load", "pelvic_load",
          "balance", "breath_holding", "lying_flat", "prone", "still_standing",
          "heavy")  # fmt: skip
_LISTS = ("aliases", "kit", "cues", "easier", "harder")
EDITION = "2024"


@cache
def exercises() -> Mapping[str, Exercise]:
    """The table by code; ValueError with file, row and reason if it is not sound."""
    try:
        with _FILE.open(encoding="utf-8", newline="") as file:
            return read_exercises(rows_of(file), mets())
    except ValueError as wrong:
        raise ValueError(f"{_FILE.name}: {wrong}") from None


def rows_of(lines: Iterable[str]) -> list[dict[str, str]]:
    """Lines of a CSV file as rows; ValueError for one with a comma too many or too few."""
    head, *rows = (row for row in csv.reader(lines, strict=True) if row)
    for row in rows:
        if len(row) != len(head):
            raise ValueError(f"{row[0]}: it has {len(row)} columns, the first line {len(head)}")
    return [dict(zip(head, row, strict=True)) for row in rows]


def read_exercises(
    rows: list[dict[str, str]], known: Mapping[str, float]
) -> Mapping[str, Exercise]:
    """From rows of the table; ValueError for one that is not sound, with its code and why.

    `known`: MET by "edition:code".
    """
    found: dict[str, Exercise] = {}
    for row in rows:
        try:
            one = _read(row, known)
        except (KeyError, ValueError, TypeError, AttributeError) as wrong:
            raise ValueError(f"{row.get('code')}: {wrong}") from None
        for each in wrong_with(one):
            raise ValueError(f"{one.code}: {each.field}: {each.sentence}")
        if one.code in found:
            raise ValueError(f"{one.code}: the code comes twice")
        found[one.code] = one
    _check_names(found)
    _check_options(found)
    return found


def _read(row: Mapping[str, str], known: Mapping[str, float]) -> Exercise:
    marks = {_MARKS[letter]: True for letter in row["marks"]}
    code = row["compendium"]
    if code and f"{EDITION}:{code}" not in known:
        raise ValueError(f"the Compendium {EDITION} has no {code}")
    return Exercise(
        code=row["code"], name=row["name"], aliases=_many(row["aliases"]),
        position=row["position"], stance=row["stance"], sides=row["sides"] or "one",
        impact=row["impact"] or "none", core_load=row["core"] or "none",
        pelvic_load=int(row["floor"] or 0), balance=int(row["balance"] or 0),
        kit=_many(row["kit"]), focus=row["focus"], intensity=row["intensity"],
        compendium=f"{EDITION}:{code}" if code else "",
        met=known.get(f"{EDITION}:{code}"), cues=_many(row["cues"]),
        easier=_many(row["easier"]), harder=_many(row["harder"]), **marks,
    )  # fmt: skip


def _many(text: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in text.split("|") if part.strip())


def _check_names(found: Mapping[str, Exercise]) -> None:
    seen: dict[str, str] = {}
    for one in found.values():
        for words in one.spoken:
            key = plain(words)
            if key in seen:
                raise ValueError(f"{one.code}: “{words}” is also {seen[key]}")
            seen[key] = one.code


def _check_options(found: Mapping[str, Exercise]) -> None:
    for one in found.values():
        for each in wrong_options(one, found):
            raise ValueError(f"{one.code}: {each.field}: {each.sentence}")


def own_exercise(values: Mapping[str, Any]) -> tuple[Exercise | None, list[Wrong]]:
    """One of the coach's own from stored or typed values; None with what is wrong with it.

    What it asks of the body has to be said, each of it: silence is no "none".
    """
    known = {one.name for one in fields(Exercise)}
    if unknown := set(values) - known:
        return None, [Wrong("", f"There is no “{min(unknown)}”.")]
    if odd := [name for name in _LISTS if not _is_list(values.get(name, []))]:
        return None, [Wrong(name, "This is a list of words.") for name in odd]
    if silent := [name for name in _ASKED if values.get(name) is None]:
        return None, [Wrong(name, "Say which.") for name in silent]
    given: dict[str, Any] = {
        name: tuple(value) if name in _LISTS else value for name, value in values.items()
    }
    try:
        one = Exercise(**given)
    except TypeError:
        return None, [Wrong("name", "Write its name.")]
    try:
        found = list(wrong_with(one))
    except (TypeError, AttributeError):
        return None, [Wrong("", "Its values are not of the right kind.")]
    return (None, found) if found else (one, [])


def kept_of(one: Exercise, values: Mapping[str, Any]) -> dict[str, Any]:
    """What the coach's version of an exercise keeps of it beside `values`, which she typed: its
    harder options, and the Compendium's code while the effort is the same.
    """
    same = values.get("intensity") == one.intensity
    kept = {"compendium": one.compendium, "met": one.met} if same else {}
    return {**kept, "harder": list(one.harder)}


def _is_list(value: object) -> bool:
    return isinstance(value, list | tuple) and all(isinstance(one, str) for one in value)
