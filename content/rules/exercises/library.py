"""Exercises by code, found by the words somebody types. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from content.rules.exercises.values import Exercise


def plain(text: str) -> str:
    """As names are compared: small letters, one kind of apostrophe, no hyphens, single spaces."""
    return " ".join(text.casefold().replace("’", "'").replace("-", " ").split())


class Library(Mapping[str, Exercise]):
    """Exercises by code, those of the table and the coach's own; hers come first."""

    def __init__(self, table: Mapping[str, Exercise], own: Mapping[str, Exercise] = {}) -> None:
        self._all = {**table, **own}
        self._named = {plain(words): one.code for one in self._all.values() for words in one.spoken}

    def __getitem__(self, code: str) -> Exercise:
        return self._all[code]

    def __iter__(self) -> Iterator[str]:
        return iter(self._all)

    def __len__(self) -> int:
        return len(self._all)

    def named(self, text: str) -> Exercise | None:
        """The exercise of exactly that name or alias, however it is written."""
        code = self._named.get(plain(text))
        return self._all[code] if code else None

    def search(self, text: str, most: int = 12) -> list[Exercise]:
        """Those whose words begin with the words typed, the nearest name first."""
        typed = plain(text).split()
        if not typed:
            return []
        ranked = [
            (rank, one.name, one) for one in self._all.values()
            if (rank := _rank(one, typed)) is not None
        ]  # fmt: skip
        return [one for _, _, one in sorted(ranked, key=lambda row: row[:2])][:most]


def _rank(one: Exercise, typed: list[str]) -> int | None:
    """0 the name begins so, 1 words of the name in this order, 2 in another, 3 of an alias,
    4 of what it is; None: none.
    """
    name = plain(one.name)
    if name.startswith(" ".join(typed)):
        return 0
    rest = iter(name.split())
    if all(any(word.startswith(part) for word in rest) for part in typed):
        return 1
    about = (name, " ".join(one.aliases), f"{one.focus} {one.position} {' '.join(one.kit)}")
    words: list[str] = []
    for rank, text in enumerate(about, 2):
        words += plain(text).split()
        if all(any(word.startswith(part) for word in words) for part in typed):
            return rank
    return None
