"""Exercises: a broken row is refused with its reason, the coach's own too; search and names."""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from content.rules.exercises import (
    Exercise,
    Library,
    Wrong,
    asks_more,
    exercises,
    own_exercise,
    read_exercises,
    wrong_options,
    wrong_with,
)

FILE = Path(__file__).parents[2] / "content" / "data" / "exercises.csv"
TABLE = exercises()
KNOWN = {"2024:02024": 2.8, "2024:02022": 3.8}


def row(**values: str) -> dict[str, str]:
    names = FILE.read_text("utf-8").splitlines()[0].split(",")
    plain = {
        "code": "nod", "name": "Nod", "aliases": "yes nod", "position": "seated",
        "focus": "mobility", "intensity": "light", "cues": "Slowly",
    }  # fmt: skip
    return {name: values.get(name, plain.get(name, "")) for name in names}


@pytest.mark.parametrize(
    ("values", "why"),
    [
        ({"position": "flying"}, "nod: position: Choose one of these."),
        ({"stance": "two legs"}, "nod: stance: Standing has a stance"),
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
        ({"aliases": "baby nod"}, "nod: aliases: An exercise is neutral"),
        ({"cues": "Lift the bump"}, "nod: cues: An exercise is neutral"),
        ({"code": "birth-nod"}, "birth-nod: code: An exercise is neutral"),
        ({"code": "nod-"}, "nod-: code: Small letters and hyphens."),
        ({"cues": "One|Two|Three|Four"}, "nod: cues: At most 3"),
        ({"sides": "both"}, "nod: sides: Choose one of these."),
        ({"impact": "medium"}, "nod: impact: Choose one of these."),
        ({"core": "some"}, "nod: core_load: Choose one of these."),
        ({"intensity": "brisk"}, "nod: intensity: Choose one of these."),
        (
            {
                "position": "standing",
                "stance": "two",
            },
            "nod: stance: Choose one of these.",
        ),
        ({"position": "standing", "stance": "single-leg"}, "nod: sides: On one leg there are two"),
        ({"position": "supine", "marks": "FP"}, "nod: prone: This goes with the position."),
        ({"position": "prone"}, "nod: prone: This goes with the position."),
        ({"marks": "S"}, "nod: still_standing: Only who stands can stand still."),
        ({"compendium": "99999"}, "nod: the Compendium 2024 has no 99999"),
        ({"compendium": "02022"}, "nod: intensity: 3.8 MET is moderate."),
        ({"easier": "nothing"}, "nod: easier: “nothing” is no other exercise"),
        ({"easier": "nod"}, "nod: easier: “nod” is no other exercise"),
        ({"harder": "nothing"}, "nod: harder: “nothing” is no other exercise"),
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
        ({"code": "bow", "name": "Yes-nod", "aliases": ""}, "bow: “Yes-nod” is also nod"),
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


def test_options_that_ask_more_or_lead_back_are_refused() -> None:
    more = row(code="bow", name="Bow", aliases="", floor="2")
    with pytest.raises(ValueError, match=r"^nod: easier: Bow asks more: load on the pelvic floor"):
        read_exercises([row(easier="bow"), more], KNOWN)
    with pytest.raises(ValueError, match=r"^bow: harder: Nod asks less: load on the pelvic floor"):
        read_exercises([row(), {**more, "harder": "nod"}], KNOWN)
    back = row(code="bow", name="Bow", aliases="", easier="nod")
    with pytest.raises(ValueError, match=r"^nod: easier: Its easier options lead back to it"):
        read_exercises([row(easier="bow"), back], KNOWN)
    with pytest.raises(ValueError, match=r"^nod: easier: Its easier options lead back to it"):
        read_exercises([row(easier="bow", harder="bow"), {**back, "easier": ""}], KNOWN)


def test_a_circle_over_three_is_found() -> None:
    names = {"nod": "bow", "bow": "tip", "tip": "nod"}
    rows = [row(code=c, name=c, aliases="", easier=names[c]) for c in names]
    with pytest.raises(ValueError, match="lead back"):
        read_exercises(rows, KNOWN)
    rows[2]["easier"] = ""
    assert set(read_exercises(rows, KNOWN)) == set(names)


PLAIN = Exercise("a", "A", (), "standing", "two legs", cues=("Go",))


@pytest.mark.parametrize(
    ("values", "way"),
    [
        ({}, ""),
        ({"impact": "low"}, "impact"),
        ({"pelvic_load": 1}, "load on the pelvic floor"),
        ({"heavy": True}, "weight"),
        ({"balance": 1}, "balance"),
        ({"lying_flat": True}, "lying flat"),
        ({"prone": True}, "lying on the front"),
        ({"core_load": "rotation"}, "load on the middle"),
        ({"core_load": "plank"}, "load on the middle"),
        ({"stance": "split"}, "an uneven stance"),
        ({"stance": "wide"}, "an uneven stance"),
        ({"stance": "single-leg"}, "an uneven stance"),
        ({"still_standing": True}, "standing still"),
        ({"breath_holding": True}, "holding the breath"),
        ({"intensity": "moderate"}, "effort"),
    ],
)
def test_each_way_of_asking_more(values: dict[str, Any], way: str) -> None:
    more = replace(PLAIN, **values)
    assert (asks_more(more, PLAIN), asks_more(PLAIN, more)) == (way, "")


@pytest.mark.parametrize(
    ("one", "two", "more"),
    [
        ("plank", "plank", False), ("rotation", "plank", False), ("rotation", "rotation", False),
        ("flexion", "plank", True), ("plank", "flexion", True), ("leg-lowering", "flexion", True),
        ("plank", "rotation", True), ("none", "rotation", False),
    ],
)  # fmt: skip
def test_another_kind_of_load_on_the_middle_is_more(one: str, two: str, more: bool) -> None:
    first, second = replace(PLAIN, core_load=one), replace(PLAIN, core_load=two)
    assert bool(asks_more(first, second)) is more


def test_search_finds_the_nearest_first() -> None:
    library = Library(TABLE)
    assert library.search("bridge")[0].name == "Bridge"
    assert library.search("side leg")[0].name.startswith("Side-lying leg")
    assert library.search("opposite arm")[0].name == "Bird dog"
    assert library.search("  ") == []
    assert library.search("zzz") == []
    assert library.search("rows with the band")[0].code == "band-row"
    assert {one.position for one in library.search("pelvic floor reclined")} == {"reclined"}
    assert len(library.search("s")) == 12
    assert len(library.search("s", most=3)) == 3


@pytest.mark.parametrize("typed", ["Bird Dogs", " bird   dog ", "bird-dog", "BIRD DOG"])
def test_an_exercise_is_found_by_its_name_however_it_is_written(typed: str) -> None:
    assert Library(TABLE).named(typed) is TABLE["bird-dog"]


def test_a_name_is_found_with_either_apostrophe_and_only_whole() -> None:
    library = Library(TABLE)
    assert library.named("child's pose") is library.named("child’s pose") is TABLE["childs-pose"]
    assert library.named("bird") is None


@pytest.mark.parametrize("one", TABLE.values(), ids=list(TABLE))
def test_every_exercise_comes_first_under_its_own_name_and_is_named_by_each_alias(
    one: Exercise,
) -> None:
    library = Library(TABLE)
    assert library.search(one.name)[0] is one
    assert [library.named(words) for words in one.spoken] == [one] * len(one.spoken)


def test_the_coach_s_own_come_before_the_table() -> None:
    own = Exercise("bird-dog", "Bird dog, my way", ("bird dogs",), "all fours", cues=("Reach",))
    library = Library(TABLE, {"bird-dog": own})
    assert (len(library), library["bird-dog"].name) == (len(TABLE), "Bird dog, my way")


# What her form says of a seated exercise that asks little.
ANSWERED: dict[str, Any] = {
    "position": "seated", "sides": "one", "focus": "full body", "intensity": "light",
    "impact": "none", "core_load": "none", "pelvic_load": 0, "balance": 0,
    "breath_holding": False, "lying_flat": False, "prone": False, "still_standing": False,
    "heavy": False,
}  # fmt: skip


@pytest.mark.parametrize(
    ("values", "fields"),
    [
        ({"code": "x", "name": "X", "cues": ["Go"], "position": "seated"}, []),
        ({"code": "x", "name": "", "cues": [], "position": "seated"}, ["name", "cues"]),
        ({"code": "x", "name": "X", "cues": ["Go"], "position": "standing"}, ["stance"]),
        ({"code": "x", "colour": "red"}, [""]),
        ({"code": "x"}, ["name"]),
        (
            {"code": "x", "name": "X", "cues": ["Go"], "position": "seated", "pelvic_load": "much"},
            [""],
        ),
        (
            {
                "code": "x",
                "name": "X",
                "cues": ["Go"],
                "position": "seated",
                "compendium": "2011:99999",
            },
            ["compendium"],
        ),
        ({"code": "x", "name": "X", "cues": ["Go"], "position": "seated", "met": 2.8}, ["met"]),
        (
            {
                "code": "x",
                "name": "X",
                "cues": ["Go"],
                "position": "seated",
                "compendium": "2024:02020",
                "met": 8.0,
            },
            ["met"],
        ),
        (
            {
                "code": "x",
                "name": "X",
                "cues": ["Go"],
                "position": "seated",
                "compendium": "2024:02020",
                "met": 7.5,
            },
            ["intensity"],
        ),
    ],
)
def test_one_of_her_own_is_told_what_is_wrong_beside_its_fields(
    values: dict[str, Any], fields: list[str]
) -> None:
    one, wrong = own_exercise({**ANSWERED, **values})
    assert [each.field for each in wrong] == fields
    assert (one is None) is bool(fields)


@pytest.mark.parametrize("name", list(ANSWERED))
@pytest.mark.parametrize("silence", [{}, {"value": None}])
def test_what_one_of_her_own_asks_has_to_be_said(name: str, silence: dict[str, None]) -> None:
    said = {key: value for key, value in ANSWERED.items() if key != name}
    said |= {name: silence["value"]} if silence else {}
    one, wrong = own_exercise({"code": "x", "name": "X", "cues": ["Go"], **said})
    assert (one, wrong) == (None, [Wrong(name, "Say which.")])


def test_options_of_her_own_are_told_beside_their_fields() -> None:
    own = replace(TABLE["wall-plank"], code="mine", easier=("plank", "nowhere"), harder=("squat",))
    assert list(wrong_options(own, TABLE)) == [
        Wrong("easier", "“nowhere” is no other exercise in the list."),
        Wrong("easier", "Plank asks more: load on the pelvic floor."),
    ]
    circle = replace(TABLE["all-fours-belly-hug"], pelvic_load=1, easier=("wall-plank",))
    assert list(wrong_options(circle, TABLE)) == [
        Wrong("easier", "Its easier options lead back to it, or to a harder one."),
    ]


def test_everything_wrong_is_told_at_once() -> None:
    own = Exercise(
        "x y", " ", ("bump",), "floating", "two legs", "some", "much", "all", 9, kit=("a",)
    )
    assert [one.field for one in wrong_with(own)] == [
        "code", "name", "cues", "aliases", "position", "sides", "impact", "core_load", "kit",
        "pelvic_load", "stance",
    ]  # fmt: skip


def test_the_file_is_read_whole() -> None:
    with FILE.open(encoding="utf-8", newline="") as file:
        assert [line["code"] for line in csv.DictReader(file)] == list(TABLE)
