"""Exercises and what each asks of the body, read from the app's data. Pure.

Attributes are common practice, judged conservatively: in doubt the higher demand. Intensity follows
the Compendium code where one fits (MET below 3 light, below 6 moderate: WHO, CDC, ACSM).
"""

from __future__ import annotations

import csv
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from functools import cache
from pathlib import Path
from typing import Any

from clients.rules.words import says_too_much

_DATA = Path(__file__).parent.parent / "data"
POSITIONS: dict[str, str] = {
    "standing": "standing", "seated": "seated", "kneeling": "kneeling", "all fours": "on all fours",
    "side-lying": "lying on the side", "supine": "lying on the back", "prone": "lying on the front",
    "reclined": "half sitting",
}  # fmt: skip
STANCES: dict[str, str] = {
    "": "", "two legs": "on two legs", "split": "split stance", "wide": "wide stance",
    "single-leg": "on one leg",
}  # fmt: skip
SIDES: dict[str, str] = {
    "one": "no sides", "each": "each side", "alternating": "sides in turn",
}  # fmt: skip
IMPACT: dict[str, str] = {"none": "none", "low": "low, one foot stays down", "high": "high"}
CORE: dict[str, str] = {
    "none": "none", "flexion": "curling up", "rotation": "turning", "plank": "plank-like",
    "leg-lowering": "lowering both legs",
}  # fmt: skip
KIT: dict[str, str] = {
    "band": "a band", "loop": "a loop band", "ball": "a soft ball", "chair": "a chair",
    "wall": "a wall", "mat": "a mat", "weights": "light weights", "cushion": "a cushion",
    "step": "a step", "big ball": "a big ball",
}  # fmt: skip
FOCUSES = (
    "core", "pelvic floor", "upper body", "legs", "full body", "mobility", "recovery", "breath",
)  # fmt: skip
INTENSITIES = ("light", "moderate", "vigorous")
MODERATE_FROM, VIGOROUS_FROM = 3.0, 6.0
MOST_FLOOR, MOST_BALANCE = 3, 2
_MARKS = {"B": "breath_holding", "F": "lying_flat", "P": "prone", "S": "still_standing",
          "H": "heavy"}  # fmt: skip
_HARD_CORE = ("flexion", "plank", "leg-lowering")
EDITION = "2024"


@dataclass(frozen=True, slots=True)
class Exercise:
    """One exercise. `pelvic_load`: 0 none to 3 high; `balance`: 0 steady, 1 asks balance, 2 a risk
    of falling. `compendium`: "2024:02024", edition and code, "" where none fits; `met` of it.
    """

    code: str
    name: str
    aliases: tuple[str, ...] = ()
    position: str = "standing"
    stance: str = ""
    sides: str = "one"
    impact: str = "none"
    core_load: str = "none"
    pelvic_load: int = 0
    breath_holding: bool = False
    balance: int = 0
    lying_flat: bool = False
    prone: bool = False
    still_standing: bool = False
    heavy: bool = False
    kit: tuple[str, ...] = ()
    focus: str = "full body"
    intensity: str = "light"
    compendium: str = ""
    met: float | None = None
    cues: tuple[str, ...] = ()
    easier: tuple[str, ...] = ()
    harder: tuple[str, ...] = ()

    @property
    def spoken(self) -> tuple[str, ...]:
        """Its name and what else it is called."""
        return (self.name, *self.aliases)


@dataclass(frozen=True, slots=True)
class Wrong:
    """What cannot be about one field of an exercise, in a sentence."""

    field: str
    sentence: str


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
    if not one.code or one.code != one.code.lower() or " " in one.code:
        yield Wrong("code", "Small letters and hyphens.")
    if not one.name.strip():
        yield Wrong("name", "Write its name.")
    if not one.cues:
        yield Wrong("cues", "Write one cue at least.")
    for name in ("name", "aliases", "cues"):
        value = getattr(one, name)
        if says_too_much(value if isinstance(value, str) else " ".join(value)):
            yield Wrong(name, "An exercise is neutral: leave out what not every page may hold.")


def _wrong_together(one: Exercise) -> Iterator[Wrong]:
    standing = one.position == "standing"
    if standing != bool(one.stance):
        yield Wrong("stance", "Standing has a stance, every other position none.")
    if one.lying_flat and one.position != "supine":
        yield Wrong("lying_flat", "Only lying on the back is flat.")
    if one.prone != (one.position == "prone"):
        yield Wrong("prone", "This goes with the position.")
    if one.impact == "high" and one.intensity == "light":
        yield Wrong("intensity", "Both feet off the ground is not light.")
    if one.stance == "single-leg" and one.sides == "one":
        yield Wrong("sides", "On one leg there are two sides.")
    if one.met is not None and one.intensity != intensity_of(one.met):
        yield Wrong("intensity", f"{one.met:g} MET is {intensity_of(one.met)}.")


def intensity_of(met: float) -> str:
    """Light below 3 MET, moderate below 6, vigorous from there: WHO, CDC, ACSM."""
    if met < MODERATE_FROM:
        return "light"
    return "moderate" if met < VIGOROUS_FROM else "vigorous"


def asks_more(one: Exercise, two: Exercise) -> str:
    """In which way the first asks more than the second; "" where in none."""
    ordered = ("none", "low", "high")
    ways = (
        ("impact", ordered.index(one.impact) > ordered.index(two.impact)),
        ("load on the pelvic floor", one.pelvic_load > two.pelvic_load),
        ("weight", one.heavy > two.heavy),
        ("balance", one.balance > two.balance),
        ("lying flat", one.lying_flat > two.lying_flat),
        ("lying on the front", one.prone > two.prone),
        ("core", one.core_load in _HARD_CORE and two.core_load not in _HARD_CORE),
        ("holding the breath", one.breath_holding > two.breath_holding),
        ("effort", INTENSITIES.index(one.intensity) > INTENSITIES.index(two.intensity)),
    )
    return next((words for words, more in ways if more), "")


class Library(Mapping[str, Exercise]):
    """Exercises by code, those of the table and the coach's own; hers come first."""

    def __init__(self, table: Mapping[str, Exercise], own: Mapping[str, Exercise] = {}) -> None:
        self._all = {**table, **own}
        self._named = {
            words.casefold(): one.code for one in self._all.values() for words in one.spoken
        }

    def __getitem__(self, code: str) -> Exercise:
        return self._all[code]

    def __iter__(self) -> Iterator[str]:
        return iter(self._all)

    def __len__(self) -> int:
        return len(self._all)

    def named(self, text: str) -> Exercise | None:
        """The exercise of exactly that name or alias."""
        code = self._named.get(" ".join(text.split()).casefold())
        return self._all[code] if code else None

    def search(self, text: str, most: int = 12) -> list[Exercise]:
        """Those whose words begin with the words typed, the nearest name first."""
        typed = text.casefold().replace("-", " ").split()
        if not typed:
            return []
        ranked = [
            (rank, one.name, one) for one in self._all.values()
            if (rank := _rank(one, typed)) is not None
        ]  # fmt: skip
        return [one for _, _, one in sorted(ranked, key=lambda row: row[:2])][:most]


def _rank(one: Exercise, typed: list[str]) -> int | None:
    """0 the name begins so, 1 words of the name, 2 of an alias, 3 of what it is; None: none."""
    start = " ".join(typed)
    name = one.name.casefold().replace("-", " ")
    if name.startswith(start):
        return 0
    about = (name, " ".join(one.aliases), f"{one.focus} {one.position} {' '.join(one.kit)}")
    words: list[str] = []
    for rank, text in enumerate(about, 1):
        words += text.casefold().replace("-", " ").split()
        if all(any(word.startswith(part) for word in words) for part in typed):
            return rank
    return None


@cache
def exercises() -> Mapping[str, Exercise]:
    """The table by code; ValueError that names the row and the reason if it is not sound."""
    with (_DATA / "exercises.csv").open(encoding="utf-8", newline="") as file:
        return read_exercises(list(csv.DictReader(file)), mets())


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
            key = words.casefold()
            if key in seen:
                raise ValueError(f"{one.code}: “{words}” is also {seen[key]}")
            seen[key] = one.code


def _check_options(found: Mapping[str, Exercise]) -> None:
    for one in found.values():
        for code in (*one.easier, *one.harder):
            if code not in found or code == one.code:
                raise ValueError(f"{one.code}: {code!r} is no option of it")
        for code in one.easier:
            if more := asks_more(found[code], one):
                raise ValueError(f"{one.code}: {code} is easier and asks more: {more}")
    for code in found:
        _check_chain(code, found)


def _check_chain(code: str, found: Mapping[str, Exercise]) -> None:
    """No way down the easier options comes back to where it began."""
    seen: set[str] = set()
    row = set(found[code].easier)
    while row:
        if code in row:
            raise ValueError(f"{code}: its easier options lead back to it")
        seen |= row
        row = {below for each in row for below in found[each].easier} - seen


@cache
def mets() -> Mapping[str, float]:
    """MET by "edition:code"; ValueError for a code twice or a value that is none."""
    with (_DATA / "compendium.toml").open("rb") as file:
        data = tomllib.load(file)
    found: dict[str, float] = {}
    for edition, rows in data["edition"].items():
        for code, (met, _) in rows.items():
            if not 0.5 <= met <= 25 or len(code) != 5:
                raise ValueError(f"compendium.toml: {edition} {code}")
            found[f"{edition}:{code}"] = met
    return found


def own_exercise(values: Mapping[str, Any]) -> tuple[Exercise | None, list[Wrong]]:
    """One of the coach's own from stored or typed values; None with what is wrong with it."""
    known = {one.name for one in fields(Exercise)}
    if unknown := set(values) - known:
        return None, [Wrong("", f"There is no “{min(unknown)}”.")]
    lists = ("aliases", "kit", "cues", "easier", "harder")
    plain: dict[str, Any] = {
        name: tuple(value) if name in lists else value for name, value in values.items()
    }
    try:
        one = Exercise(**plain)
    except TypeError:
        return None, [Wrong("name", "Write its name.")]
    found = list(wrong_with(one))
    return (None, found) if found else (one, [])
