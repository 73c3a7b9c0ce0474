"""Which classes have much the same exercises. Pure."""

from __future__ import annotations

from collections.abc import Collection, Mapping

_Codes = frozenset[str]


def families(exercises: Mapping[int, Collection[str]]) -> dict[int, int]:
    """The family of each class that has one: the lowest id in it.

    Two classes are alike if they share at least half of the exercises of the one that has fewer.
    A family is grown by complete linkage: by rising id each class joins the first family in which
    it is like every member. A class without exercises, or like no other, is in none. The measure
    is the overlap coefficient (Szymkiewicz–Simpson, from memory); that a half is much is ours.
    """
    codes = {pk: frozenset(exercises[pk]) for pk in sorted(exercises)}
    found: list[list[int]] = []
    for pk, own in codes.items():
        home = next((one for one in found if _fits(own, one, codes)), None)
        if home is None:
            found.append([pk])
        else:
            home.append(pk)
    return {pk: members[0] for members in found if len(members) > 1 for pk in members}


def _fits(own: _Codes, members: list[int], codes: Mapping[int, _Codes]) -> bool:
    return all(alike(own, codes[pk]) for pk in members)


def alike(one: Collection[str], other: Collection[str]) -> bool:
    """Whether two lists of exercises share at least half of the shorter; never with none in it."""
    fewer = min(len(set(one)), len(set(other)))
    return bool(fewer) and 2 * len(set(one) & set(other)) >= fewer
