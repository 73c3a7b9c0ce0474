"""Promises in a title or a description that a coach may not make, with plainer words. Pure.

A table of patterns as data, with the published guidance behind each; it finds words, not meaning:
the coach reads, and may keep hers knowingly.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

_FILE = Path(__file__).parent.parent / "data" / "claims.toml"
_BEFORE = 90  # letters in front of a match that may turn it round
_NAMED = re.compile(r"<(\w+)>")
_FITS_ALL = ".+"


@dataclass(frozen=True, slots=True)
class Claim:
    """One kind of promise. `unless` matches the words in front that turn it round.

    `put`: what is put in the place of the words found, the first pattern in them that fits.
    """

    code: str
    pattern: re.Pattern[str]
    unless: re.Pattern[str] | None
    what: str
    put: tuple[tuple[re.Pattern[str], str], ...]
    source: str

    def plainer(self, words: str) -> str:
        """What can be said instead of the words found, with a capital where they have one."""
        plain = " ".join(words.split())
        pattern, said = next(pair for pair in self.put if pair[0].search(plain))
        text = pattern.sub(said, plain, count=1)
        if words.isupper():
            return text.upper()
        capital = words[:1].isupper() and not words[1:2].isupper()
        return text[:1].upper() + text[1:] if capital else text


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

    @property
    def plainer(self) -> str:
        """What can be said instead."""
        return self.claim.plainer(self.words)


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
        code = row.get("code", "")
        try:
            claim = _claim(row, data["words"], data["source"])
        except (re.error, KeyError, ValueError) as wrong:
            raise ValueError(f"the claim {code!r} is not sound: {wrong}") from None
        if code in found:
            raise ValueError(f"the claim {code!r} is not sound: it is there twice")
        found[code] = claim
    return tuple(found.values())


def _claim(row: Mapping[str, Any], words: Mapping[str, str], sources: Mapping[str, str]) -> Claim:
    pattern, unless = _read(row["pattern"], words), _read(row["unless"], words)
    put = tuple((re.compile(one, re.IGNORECASE), said) for one, said in row["put"])
    source = "; ".join(sources[one] for one in row["source"])
    if not (row["code"] and row["what"] and source and all(said for _, said in put)):
        raise ValueError("something is left out")
    if pattern.search(""):
        raise ValueError("its pattern matches nothing at all")
    if not put or put[-1][0].pattern != _FITS_ALL:
        raise ValueError(f"the last words to put must fit all: {_FITS_ALL}")
    return Claim(row["code"], pattern, unless if row["unless"] else None, row["what"], put, source)


def _read(pattern: str, words: Mapping[str, str]) -> re.Pattern[str]:
    """A pattern with the named words in it, which may hold named words themselves."""
    while (filled := _NAMED.sub(lambda one: words[one[1]], pattern)) != pattern:
        pattern = filled
    return re.compile(pattern)


def promises(text: str, kept: Collection[str] = ()) -> list[Promise]:
    """Every promise in a text, in the order of the text; those kept knowingly are left out.

    Of two that overlap the longer one counts.
    """
    plain = _plain(text)
    found = [one for claim in claims() for one in _found(claim, plain, text)]
    found.sort(key=lambda one: (one.start, one.start - one.end))
    apart: list[Promise] = []
    for one in found:
        if not apart or one.start >= apart[-1].end:
            apart.append(one)
        elif one.end - one.start > apart[-1].end - apart[-1].start:
            apart[-1] = one
    return [one for one in apart if one.key not in kept]


def put_plainer(text: str, key: str) -> str:
    """The text with plainer words wherever the promise of this key stands; the same without it."""
    for one in reversed(promises(text)):
        if one.key == key:
            text = text[: one.start] + one.plainer + text[one.end :]
    return text


def _plain(text: str) -> str:
    """Lower case and one kind of apostrophe, hyphen and space, letter by letter: places stay."""
    return "".join(_letter(one) for one in text)


@cache
def _letter(letter: str) -> str:
    if letter in "'‘`´":
        return "’"
    if letter in "‐‑":
        return "-"
    if letter.isspace() and letter != "\n":
        return " "
    low = letter.lower()
    return low if len(low) == 1 else letter


def _found(claim: Claim, plain: str, text: str) -> Iterator[Promise]:
    for one in claim.pattern.finditer(plain):
        if not _turned_round(claim, plain, one.start()):
            yield Promise(claim, text[one.start() : one.end()], one.start(), one.end())


def _turned_round(claim: Claim, plain: str, start: int) -> bool:
    if claim.unless is None:
        return False
    return claim.unless.search(plain[max(0, start - _BEFORE) : start]) is not None
