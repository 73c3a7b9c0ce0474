"""The warning signs: symptoms that mean stop and refer, read from the app's data. Pure.

Each row of the data names its published sources, or says that it has none.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from clients.rules.words import says_too_much, unless_quiet
from coach.scheduling.values import Stage

OTHER = "other"
PREGNANT, AFTER = "pregnant", "after"
_URGENCIES = ("emergency", "clinician")
_FILE = Path(__file__).parent.parent / "data" / "warning_signs.toml"


@dataclass(frozen=True, slots=True)
class Sign:
    """One warning sign: words of our own, for a quiet client others where needed, its sources.

    `emergency`: the emergency number comes first. `stages` holds PREGNANT, AFTER or both.
    `lists` are the identities of the published lists that have it, `sources` their names.
    """

    code: str
    words: str
    quiet_words: str
    emergency: bool
    stages: frozenset[str]
    sources: tuple[str, ...]
    lists: tuple[str, ...] = ()

    def said(self, *, quiet: bool) -> str:
        """The words for a client's pages."""
        return self.quiet_words if quiet else self.words

    @property
    def source(self) -> str:
        """All its sources in one line."""
        return "; ".join(self.sources)


@cache
def warning_signs() -> dict[str, Sign]:
    """All signs by code, emergencies first; ValueError if the data are not sound."""
    with _FILE.open("rb") as file:
        return read_signs(tomllib.load(file))


def read_signs(data: Mapping[str, Any]) -> dict[str, Sign]:
    """Signs from parsed data; ValueError that names the row for anything that is not sound.

    Sound is: a code once, words, a known urgency, known stages, known sources, and nothing in
    code, quiet words or sources that a quiet client's page must not hold.
    """
    signs = [_sign(row, data["source"]) for row in data["sign"]]
    found = {sign.code: sign for sign in signs}
    if len(found) < len(signs):
        raise ValueError("two warning signs have one code")
    if OTHER not in found:
        raise ValueError(f"the warning sign {OTHER!r} is missing")
    return dict(sorted(found.items(), key=lambda item: not item[1].emergency))


def _sign(row: Mapping[str, Any], sources: Mapping[str, str]) -> Sign:
    unknown = set(row) - {"code", "words", "quiet", "urgency", "stages", "sources"}
    sign = Sign(
        code=row["code"],
        words=row["words"],
        quiet_words=row.get("quiet", row["words"]),
        emergency=row["urgency"] == _URGENCIES[0],
        stages=frozenset(row["stages"]),
        sources=tuple(sources.get(name, "") for name in row["sources"]),
        lists=tuple(row["sources"]),
    )
    sound = (
        not unknown
        and sign.code
        and sign.words
        and row["urgency"] in _URGENCIES
        and sign.stages
        and sign.stages <= {PREGNANT, AFTER}
        and sign.sources
        and all(sign.sources)
        and not says_too_much(f"{sign.code} {sign.quiet_words} {sign.source}")
    )
    if not sound:
        raise ValueError(f"the warning sign {row['code']!r} is not sound")
    return sign


def signs_for(stage: Stage) -> list[Sign]:
    """The signs to offer at a stage, emergencies first; at an unknown stage all of them."""
    return [sign for sign in warning_signs().values() if sign.stages & _groups(stage)]


def _groups(stage: Stage) -> set[str]:
    if stage is Stage.UNKNOWN:
        return {PREGNANT, AFTER}
    return {PREGNANT} if stage.pregnant else {AFTER}


def sign_words(code: str, text: str = "", *, quiet: bool) -> str:
    """A recorded sign in words, with what was added: "Dizzy or faint (since the morning)".

    For a quiet client an addition that says too much is left out; a code that the list does not
    have any more is told as such.
    """
    sign = warning_signs().get(code)
    words = sign.said(quiet=quiet) if sign else "A sign that is not in the list"
    added = unless_quiet(text, quiet=quiet)
    return f"{words} ({added})" if added else words


def sign_source(code: str) -> str:
    """Where a sign comes from; a code that the list does not have is the practice's own."""
    sign = warning_signs().get(code)
    return sign.source if sign else "policy of the practice"
