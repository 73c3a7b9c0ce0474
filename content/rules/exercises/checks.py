"""What cannot be about an exercise, by itself and among others; which of two asks more. Pure."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from clients.rules.words import says_too_much
from content.rules.compendium import intensity_of, mets
from content.rules.exercises.values import (
    CORE,
    FOCUSES,
    IMPACT,
    INTENSITIES,
    KIT,
    MOST_BALANCE,
    MOST_CUES,
    MOST_FLOOR,
    POSITIONS,
    SIDES,
    STANCES,
    Exercise,
    Wrong,
)

_HARD_CORE = ("flexion", "plank", "leg-lowering")
_UNEVEN = ("split", "wide", "single-leg")


def wrong_with(one: Exercise) -> Iterator[Wrong]:
    """Everything that cannot be about an exercise by itself."""
    yield from _wrong_words(one)
    choices = (
        ("position", POSITIONS), ("stance", STANCES), ("sides", SIDES), ("impact", IMPACT),
        ("core_load", CORE), ("focus", FOCUSES), ("intensity", INTENSITIES),
    )  # fmt: skip
    for name, known in choices:
        if getattr(one, name) not in known:
            yield Wrong(name, "Choose one of these.")
    if unknown := set(one.kit) - set(KIT):
        yield Wrong("kit", f"“{min(unknown)}” is not among the kit.")
    if not 0 <= one.pelvic_load <= MOST_FLOOR:
        yield Wrong("pelvic_load", f"From 0 to {MOST_FLOOR}.")
    if not 0 <= one.balance <= MOST_BALANCE:
        yield Wrong("balance", f"From 0 to {MOST_BALANCE}.")
    yield from _wrong_together(one)


def _wrong_words(one: Exercise) -> Iterator[Wrong]:
    if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", one.code):
        yield Wrong("code", "Small letters and hyphens.")
    if not one.name.strip():
        yield Wrong("name", "Write its name.")
    if not one.cues:
        yield Wrong("cues", "Write one cue at least.")
    if len(one.cues) > MOST_CUES:
        yield Wrong("cues", f"At most {MOST_CUES}: she says them while she moves.")
    for name in ("code", "name", "aliases", "cues"):
        value = getattr(one, name)
        if says_too_much(value if isinstance(value, str) else " ".join(value)):
            yield Wrong(name, "An exercise is neutral: leave out what not every page may hold.")


def _wrong_together(one: Exercise) -> Iterator[Wrong]:
    standing = one.position == "standing"
    if (standing and not one.stance) or (not standing and one.stance == "two legs"):
        yield Wrong("stance", "Standing has a stance; another position only an uneven one.")
    if one.lying_flat and one.position != "supine":
        yield Wrong("lying_flat", "Only lying on the back is flat.")
    if one.prone != (one.position == "prone"):
        yield Wrong("prone", "This goes with the position.")
    if one.impact == "high" and one.intensity == "light":
        yield Wrong("intensity", "Both feet off the ground is not light.")
    if one.stance == "single-leg" and one.sides == "one":
        yield Wrong("sides", "On one leg there are two sides.")
    if one.still_standing and not standing:
        yield Wrong("still_standing", "Only who stands can stand still.")
    yield from _wrong_effort(one)


def _wrong_effort(one: Exercise) -> Iterator[Wrong]:
    if one.compendium and one.compendium not in mets():
        yield Wrong("compendium", f"The Compendium has no {one.compendium}.")
    elif one.met != mets().get(one.compendium):
        yield Wrong("met", "The MET is that of the Compendium’s row, or none.")
    elif one.met is not None and one.intensity != intensity_of(one.met):
        yield Wrong("intensity", f"{one.met:g} MET is {intensity_of(one.met)}.")


def wrong_options(one: Exercise, known: Mapping[str, Exercise]) -> Iterator[Wrong]:
    """What cannot be about its easier and harder options, among all that are known."""
    for name in ("easier", "harder"):
        for code in getattr(one, name):
            if code not in known or code == one.code:
                yield Wrong(name, f"“{code}” is no other exercise in the list.")
    easier = [known[code] for code in one.easier if code in known]
    harder = [known[code] for code in one.harder if code in known]
    for option in easier:
        if more := asks_more(option, one):
            yield Wrong("easier", f"{option.name} asks more: {more}.")
    for option in harder:
        if less := asks_more(one, option):
            yield Wrong("harder", f"{option.name} asks less: {less}.")
    if {one.code, *one.harder} & _below(one, known):
        yield Wrong("easier", "Its easier options lead back to it, or to a harder one.")


def _below(one: Exercise, known: Mapping[str, Exercise]) -> set[str]:
    """Every code that the chain of its easier options reaches."""
    seen: set[str] = set()
    row = set(one.easier)
    while row:
        seen |= row
        row = {below for each in row if each in known for below in known[each].easier} - seen
    return seen


def asks_more(one: Exercise, two: Exercise) -> str:
    """In which way the first asks more than the second; "" where in none.

    Loads of the core are of different kinds: another kind than the second's is more, save turning
    beside a curl, a plank or lowered legs.
    """
    ordered = ("none", "low", "high")
    ways = (
        ("impact", ordered.index(one.impact) > ordered.index(two.impact)),
        ("load on the pelvic floor", one.pelvic_load > two.pelvic_load),
        ("weight", one.heavy > two.heavy),
        ("balance", one.balance > two.balance),
        ("lying flat", one.lying_flat > two.lying_flat),
        ("lying on the front", one.prone > two.prone),
        ("load on the middle", _other_core(one.core_load, two.core_load)),
        ("an uneven stance", one.stance in _UNEVEN and two.stance not in _UNEVEN),
        ("standing still", one.still_standing > two.still_standing),
        ("holding the breath", one.breath_holding > two.breath_holding),
        ("effort", INTENSITIES.index(one.intensity) > INTENSITIES.index(two.intensity)),
    )
    return next((words for words, more in ways if more), "")


def _other_core(one: str, two: str) -> bool:
    if one in _HARD_CORE:
        return one != two
    return one == "rotation" and two == "none"
