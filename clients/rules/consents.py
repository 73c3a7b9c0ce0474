"""What a client can consent to, each purpose by itself, with the versions of its words. Pure."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from clients.rules.words import says_too_much

_FILE = Path(__file__).parent.parent / "data" / "consents.toml"


@dataclass(frozen=True, slots=True)
class Purpose:
    """One purpose. `texts` holds its words by version, the one that is asked last."""

    code: str
    title: str
    needed: bool
    texts: Mapping[str, str]

    @property
    def version(self) -> str:
        """The version that is asked."""
        return list(self.texts)[-1]

    def words(self, practice: str, version: str = "") -> str:
        """What is agreed to, in the version that is asked or in an earlier one."""
        return self.texts[version or self.version].replace("{practice}", practice)


@cache
def purposes() -> dict[str, Purpose]:
    """All purposes by code; ValueError if the data are not sound."""
    with _FILE.open("rb") as file:
        return read_purposes(tomllib.load(file))


def read_purposes(data: Mapping[str, Any]) -> dict[str, Purpose]:
    """Purposes from parsed data; ValueError that names the row for anything that is not sound.

    Sound is: a code once, a title, words in every version, a version once, and nothing that a
    quiet client's page must not hold.
    """
    found: dict[str, Purpose] = {}
    for row in data["purpose"]:
        texts = {one["version"]: one["words"] for one in row["text"]}
        one = Purpose(row["code"], row["title"], row["needed"], texts)
        sound = (
            one.code
            and one.code not in found
            and one.title
            and len(texts) == len(row["text"]) > 0
            and all(texts.values())
            and not says_too_much(" ".join((one.code, one.title, *texts.values())))
        )
        if not sound:
            raise ValueError(f"the purpose {row['code']!r} is not sound")
        found[one.code] = one
    return found
