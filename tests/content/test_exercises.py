"""The table of exercises: sound, and refused with the row and the reason where it is not."""

from __future__ import annotations

import csv
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from clients.rules.words import says_too_much
from content.rules.exercises import (
    FOCUSES,
    Exercise,
    Library,
    asks_more,
    exercises,
    intensity_of,
    mets,
    own_exercise,
    read_exercises,
)

FILE = Path(__file__).parents[2] / "content" / "data" / "exercises.csv"
TABLE = exercises()
HARD_CORE = {"flexion", "plank", "leg-lowering"}
KNOWN = {"2024:02024": 2.8, "2024:02022": 3.8}


def row(**values: str) -> dict[str, str]:
    names = FILE.read_text("utf-8").splitlines()[0].split(",")
    plain = {
        "code": "nod", "name": "Nod", "aliases": "yes nod", "position": "seated",
        "focus": "mobility", "intensity": "light", "cues": "Slowly",
    }  # fmt: skip
    return {name: values.get(name, plain.get(name, "")) for name in names}


def test_there_are_many_of_every_focus_with_a_choice_for_every_stage() -> None:
    assert len(TABLE) >= 150
    gentle = Counter(
        one.focus
        for one in TABLE.values()
        if one.position in {"seated", "side-lying", "standing"}
        and one.impact == "none" and not one.lying_flat
    )  # fmt: skip
    assert [focus for focus in FOCUSES if gentle[focus] < 3] == []


def test_whatever_asks_much_has_an_easier_option() -> None:
    asks = [one for one in TABLE.values() if one.impact == "high" or one.core_load in HARD_CORE]
    assert len(asks) > 20
    assert [one.code for one in asks if not one.easier] == []


def test_no_name_says_what_a_quiet_page_may_not_hold() -> None:
    told = [" ".join((*one.spoken, *one.cues)) for one in TABLE.values()]
    assert [words for words in told if says_too_much(words)] == []


def test_an_easier_option_asks_no_more_in_any_way() -> None:
    worse = [
        (one.code, code, asks_more(TABLE[code], one))
        for one in TABLE.values()
        for code in one.easier
    ]
    assert [found for found in worse if found[2]] == []


def test_intensity_follows_the_code_of_the_compendium() -> None:
    """Light below 3 MET, moderate below 6, vigorous from there: WHO, CDC, ACSM."""
    assert [intensity_of(met) for met in (2.9, 3.0, 5.9, 5.95, 6.0)] == [
        "light", "moderate", "moderate", "moderate", "vigorous",
    ]  # fmt: skip
    coded = [one for one in TABLE.values() if one.compendium]
    assert len(coded) > 150
    assert [one.code for one in coded if one.met != mets()[one.compendium]] == []


def test_the_same_code_may_be_another_activity_in_another_edition() -> None:
    """Herrmann and others 2024, Ainsworth and others 2011: calisthenics, vigorous, 8.0 and 7.5;
    02001 is stepping in 2024 alone, a light video game in 2011.
    """
    assert (mets()["2011:02020"], mets()["2024:02020"]) == (8.0, 7.5)
    assert mets()["2024:02001"] == 5.5
    assert "2011:02001" not in mets()


@pytest.mark.parametrize(
    ("values", "why"),
    [
        ({"position": "flying"}, "nod: position: Choose one of these."),
        ({"stance": "wide"}, "nod: stance: Standing has a stance"),
        ({"position": "standing"}, "nod: stance: Standing has a stance"),
        ({"marks": "F"}, "nod: lying_flat: Only lying on the back is flat."),
        ({"marks": "P"}, "nod: prone: This goes with the position."),
        ({"marks": "Z"}, "nod: 'Z'"),
        ({"impact": "high"}, "nod: intensity: Both feet off the ground is not light."),
        ({"floor": "4"}, "nod: pelvic_load: From 0 to 3."),
        ({"floor": "much"}, "nod: invalid literal"),
        ({"balance": "3"}, "nod: balance: From 0 to 2."),
        ({"kit": "anvil"}, "nod: kit: “anvil” is not among the kit."),
        ({"cues": ""}, "nod: cues: Write one cue at least."),
        ({"name": " "}, "nod: name: Write its name."),
        ({"name": "Baby hold"}, "nod: name: An exercise is neutral"),
        ({"compendium": "99999"}, "nod: the Compendium 2024 has no 99999"),
        ({"compendium": "02022"}, "nod: intensity: 3.8 MET is moderate."),
        ({"easier": "nothing"}, "nod: 'nothing' is no option of it"),
        ({"easier": "nod"}, "nod: 'nod' is no option of it"),
        ({"focus": "shopping"}, "nod: focus: Choose one of these."),
        ({"code": "No D"}, "No D: code: Small letters and hyphens."),
    ],
)
def test_a_broken_row_is_refused_with_its_code_and_the_reason(
    values: dict[str, str], why: str
) -> None:
    with pytest.raises(ValueError, match=r"^\w") as refused:
        read_exercises([row(**values)], KNOWN)
    assert str(refused.value).startswith(why)


@pytest.mark.parametrize(
    ("other", "why"),
    [
        ({"code": "nod", "name": "Other", "aliases": ""}, "nod: the code comes twice"),
        ({"code": "bow", "name": "yes NOD", "aliases": ""}, "bow: “yes NOD” is also nod"),
        ({"code": "bow", "name": "Bow", "aliases": "", "floor": "1", "harder": ""}, ""),
    ],
)
def test_two_rows_together(other: dict[str, str], why: str) -> None:
    rows = [row(), row(**other)]
    if not why:
        assert set(read_exercises(rows, KNOWN)) == {"nod", "bow"}
        return
    with pytest.raises(ValueError, match=r"^\w") as refused:
        read_exercises(rows, KNOWN)
    assert str(refused.value) == why


def test_an_easier_option_that_asks_more_or_leads_back_is_refused() -> None:
    more = row(code="bow", name="Bow", aliases="", floor="2")
    with pytest.raises(ValueError, match="nod: bow is easier and asks more: load on the pelvic"):
        read_exercises([row(easier="bow"), more], KNOWN)
    back = row(code="bow", name="Bow", aliases="", easier="nod")
    with pytest.raises(ValueError, match="nod: its easier options lead back to it"):
        read_exercises([row(easier="bow"), back], KNOWN)


def test_search_finds_the_nearest_first() -> None:
    library = Library(TABLE)
    assert library.search("bridge")[0].name == "Bridge"
    assert library.search("side leg")[0].name.startswith("Side-lying leg")
    assert library.search("opposite arm")[0].name == "Bird dog"
    assert library.search("  ") == []
    assert library.search("zzz") == []
    assert library.named("Bird Dogs") is TABLE["bird-dog"]


def test_the_coach_s_own_come_before_the_table() -> None:
    own = Exercise("bird-dog", "Bird dog, my way", ("bird dogs",), "all fours", cues=("Reach",))
    library = Library(TABLE, {"bird-dog": own})
    assert (len(library), library["bird-dog"].name) == (len(TABLE), "Bird dog, my way")


@pytest.mark.parametrize(
    ("values", "fields"),
    [
        ({"code": "x", "name": "X", "cues": ["Go"], "position": "seated"}, []),
        ({"code": "x", "name": "", "cues": [], "position": "seated"}, ["name", "cues"]),
        ({"code": "x", "name": "X", "cues": ["Go"], "position": "standing"}, ["stance"]),
        ({"code": "x", "colour": "red"}, [""]),
        ({"code": "x"}, ["name"]),
    ],
)
def test_one_of_her_own_is_told_what_is_wrong_beside_its_fields(
    values: dict[str, Any], fields: list[str]
) -> None:
    one, wrong = own_exercise(values)
    assert [each.field for each in wrong] == fields
    assert (one is None) is bool(fields)


def test_the_file_is_read_whole() -> None:
    with FILE.open(encoding="utf-8", newline="") as file:
        assert [line["code"] for line in csv.DictReader(file)] == list(TABLE)
