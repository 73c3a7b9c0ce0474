"""Promises in a title or a description that a coach may not make, with plainer words. Pure.

A table of patterns as data, with the published guidance behind each; it finds words, not meaning:
the coach reads, and may keep hers knowingly.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

_FILE = Path(__file__).parent.parent / "data" / "claims.toml"
_BEFORE = 60  # letters in front of a match that may turn it round


@dataclass(frozen=True, slots=True)
class Claim:
    """One kind of promise. `unless` matches the words in front that turn it round."""

    code: str
    pattern: re.Pattern[str]
    unless: re.Pattern[str] | None
    what: str
    plainer: str
    source: str


@dataclass(frozen=True, slots=True)
class Promise:
    """A claim found in a text: the words as they stand, from `start` to `end`.

    `key` stays the same while the words do, so that one kept knowingly is not asked again.
    """

    claim: Claim
    words: str
    start: int
    end: int

    @property
    def key(self) -> str:
        """What it is kept under: the kind and the words."""
        return f"{self.claim.code}:{' '.join(self.words.casefold().split())}"


@cache
def claims() -> tuple[Claim, ...]:
    """All of the table; ValueError that names the row if it is not sound."""
    with _FILE.open("rb") as file:
        return read_claims(tomllib.load(file))


def read_claims(data: Mapping[str, Any]) -> tuple[Claim, ...]:
    """From parsed data; ValueError for a code twice, a pattern that is none or matches nothing at
    all, words left out, or a source that is not named.
    """
    found: dict[str, Claim] = {}
    for row in data["claim"]:
        code = row["code"]
        try:
            pattern = re.compile(row["pattern"])
            unless = re.compile(row["unless"]) if row["unless"] else None
            source = "; ".join(data["source"][one] for one in row["source"])
        except (re.error, KeyError) as wrong:
            raise ValueError(f"the claim {code!r} is not sound: {wrong}") from None
        sound = code and code not in found and row["what"] and row["plainer"] and source
        if not sound or pattern.search(""):
            raise ValueError(f"the claim {code!r} is not sound")
        found[code] = Claim(code, pattern, unless, row["what"], row["plainer"], source)
    return tuple(found.values())


def promises(text: str, kept: Collection[str] = ()) -> list[Promise]:
    """Every promise in a text, in the order of the text; those kept knowingly are left out.

    Of two that overlap the longer one counts.
    """
    plain = text.casefold().replace("'", "’")
    if len(plain) != len(text):  # a letter whose lower case is longer: places would be wrong
        plain = text.lower().replace("'", "’")
    found = [one for claim in claims() for one in _found(claim, plain, text)]
    found.sort(key=lambda one: (one.start, one.start - one.end))
    apart: list[Promise] = []
    for one in found:
        if apart and one.start < apart[-1].end:
            if one.end - one.start > apart[-1].end - apart[-1].start:
                apart[-1] = one
            continue
        apart.append(one)
    return [one for one in apart if one.key not in kept]


def _found(claim: Claim, plain: str, text: str) -> list[Promise]:
    return [
        Promise(claim, text[one.start() : one.end()], one.start(), one.end())
        for one in claim.pattern.finditer(plain)
        if not _turned_round(claim, plain, one.start())
    ]


def _turned_round(claim: Claim, plain: str, start: int) -> bool:
    if claim.unless is None:
        return False
    return claim.unless.search(plain[max(0, start - _BEFORE) : start]) is not None
