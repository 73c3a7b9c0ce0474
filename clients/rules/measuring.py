"""What an assessment can hold: sites, ways of measuring, what is asked; read from data. Pure."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from clients.rules.words import says_too_much

_FILE = Path(__file__).parent.parent / "data" / "assessment.toml"
FINGERS, MM = "fingers", "mm"
REST, LIFT = "rest", "lift"
COACH, HERSELF, CLINICIAN = "coach", "client", "clinician"
YES, NO = "yes", "no"


@dataclass(frozen=True, slots=True)
class Site:
    """Where a width is taken. `at_mm`: above the navel, below it where less than 0."""

    code: str
    words: str
    short: str
    at_mm: int
    default: bool
    source: str


@dataclass(frozen=True, slots=True)
class Method:
    """What a width is taken with. `unit`: "mm" or "fingers"."""

    code: str
    words: str
    unit: str


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked or seen, answered yes or no. `finding`: what a yes is called.

    `symptom`: she feels it. `phase` "after": asked after an end only, "" always.
    """

    code: str
    ask: str
    finding: str
    symptom: bool
    phase: str = ""


@dataclass(frozen=True, slots=True)
class Scheme:
    """All of the data, each by its code and in the order of the data."""

    sites: Mapping[str, Site]
    states: Mapping[str, str]
    methods: Mapping[str, Method]
    positions: Mapping[str, str]
    who: Mapping[str, str]
    answers: Mapping[str, Asked]
    tension: Mapping[str, str]
    effort: tuple[str, ...]


@cache
def scheme() -> Scheme:
    """The data; ValueError that names the row for anything that is not sound."""
    with _FILE.open("rb") as file:
        return read_scheme(tomllib.load(file))


def read_scheme(data: Mapping[str, Any]) -> Scheme:
    """From parsed data; ValueError for a code twice, words that are none, an effort left out,

    a site without a source, a unit that there is not, or a word that no quiet page may hold.
    """
    sites = _by_code("site", [Site(**row) for row in data["site"]])
    methods = _by_code("method", [Method(**row) for row in data["method"]])
    answers = _by_code("answer", [Asked(**row) for row in data["answer"]])
    for row in sites.values():
        _sound("site", row.code, bool(row.source and row.short))
    for one in methods.values():
        _sound("method", one.code, one.unit in {MM, FINGERS})
    for asked in answers.values():
        _sound("answer", asked.code, bool(asked.finding) and asked.phase in {"", "after"})
    effort = tuple(row["words"] for row in sorted(data["effort"], key=lambda row: row["at"]))
    _sound("effort", "0 to 10", [row["at"] for row in data["effort"]] == list(range(11)))
    found = Scheme(
        sites, _words(data, "state"), methods, _words(data, "position"), _words(data, "who"),
        answers, _words(data, "tension"), effort,
    )  # fmt: skip
    _sound("state", "rest and lift", set(found.states) == {REST, LIFT})
    _sound("who", "who", set(found.who) == {COACH, HERSELF, CLINICIAN})
    return found


def _by_code(kind: str, rows: list[Any]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for row in rows:
        words = row.ask if isinstance(row, Asked) else row.words
        sound = row.code and row.code not in found and "-" not in row.code and words
        _sound(kind, row.code, bool(sound) and not says_too_much(f"{row.code} {words}"))
        found[row.code] = row
    return found


def _words(data: Mapping[str, Any], kind: str) -> dict[str, str]:
    found: dict[str, str] = {}
    for row in data[kind]:
        sound = row["code"] and row["code"] not in found and row["words"]
        _sound(kind, row["code"], bool(sound) and not says_too_much(row["words"]))
        found[row["code"]] = row["words"]
    return found


def _sound(kind: str, code: str, sound: bool) -> None:
    if not sound:
        raise ValueError(f"the {kind} {code!r} is not sound")


def default_sites() -> tuple[str, ...]:
    """The sites that a practice measures at until it chooses others, from above to below."""
    return tuple(code for code, one in scheme().sites.items() if one.default)
