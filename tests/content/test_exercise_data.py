"""The table of exercises looked at from outside: what is called so must be marked so.

What a word in a name asks of the body is common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from content.rules.exercises import Exercise, exercises, own_exercise
from content.rules.exercises.table import rows_of

TABLE = exercises()

# A word in the name or an alias, and what whoever is called so must be marked with.
MEANS: list[tuple[str, Callable[[Exercise], bool]]] = [
    (r"jumps?|hops?|skip(ping)?|jog(ging)?|leap|bounds?|burpees?",
     lambda one: one.impact == "high" or "burpee without the jump" in one.spoken),
    (r"(on )?one leg|single leg",
     lambda one: one.position != "standing" or one.stance == "single-leg"),
    (r"sit ups?|crunch|curl up", lambda one: one.core_load == "flexion"),
    (r"(full|half|front|side) plank|knee push up|full press-up|climbers?",
     lambda one: one.core_load == "plank"),
    (r"lower both legs|dead bugs", lambda one: one.core_load == "leg-lowering"),
    (r"lunges?", lambda one: one.position != "standing" or one.stance in {"split", "wide"}),
    (r"sumo squat|wide squat", lambda one: one.stance == "wide"),
    (r"bridges?", lambda one: one.lying_flat and one.position == "supine"),
    (r"deadlifts|heavy|weight swing", lambda one: one.heavy),
    (r"on the chair|chair", lambda one: "chair" in one.kit),
    (r"(at|up|down) the wall|wall (sit|hold|slide|plank|press-up)", lambda one: "wall" in one.kit),
    (r"at the worktop", lambda one: "worktop" in one.kit),
    (r"with a band|band (row|pull-apart|pull-down|turn)", lambda one: "band" in one.kit),
    (r"with a loop|loop clams", lambda one: "loop" in one.kit),
    (r"(?<!half )sitting|seated", lambda one: one.position in {"seated", "standing"}),
    (r"half sitting|reclined", lambda one: one.position == "reclined"),
    (r"on the side|on your side|side-lying", lambda one: one.position == "side-lying"),
    (r"on the back|on your back", lambda one: one.position == "supine"),
    (r"lying on the front", lambda one: one.position == "prone"),
    (r"on all fours|hands and knees", lambda one: one.position == "all fours"),
    (r"on one knee|kneeling", lambda one: one.position == "kneeling"),
    (r"standing|on the spot", lambda one: one.position == "standing"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "marked"), MEANS, ids=[words for words, _ in MEANS])
def test_a_name_promises_what_is_marked(words: str, marked: Callable[[Exercise], bool]) -> None:
    called = [
        one for one in TABLE.values()
        if any(re.search(rf"\b({words})\b", spoken.casefold()) for spoken in one.spoken)
    ]  # fmt: skip
    assert called
    assert [one.code for one in called if not marked(one)] == []


def test_a_name_holds_no_comma_because_forms_part_names_there() -> None:
    odd = [name for one in TABLE.values() for name in one.spoken if re.search(r"[^\w’ -]", name)]
    assert odd == []


def test_a_greeting_or_a_word_of_talk_is_no_name_of_an_exercise() -> None:
    """Names are listened for in captions: what is said to everybody would be found everywhere."""
    talk = {"good morning", "hello", "well done", "rest", "breathe", "relax", "ready", "and go"}
    found = {name.casefold() for one in TABLE.values() for name in one.spoken}
    assert found & talk == set()


HEAD = "code,name,cues"


def test_a_line_of_the_file_becomes_a_row_and_an_empty_one_none() -> None:
    assert rows_of([HEAD, 'nod,Nod,"Slowly, twice"', "", "bow,Bow,"]) == [
        {"code": "nod", "name": "Nod", "cues": "Slowly, twice"},
        {"code": "bow", "name": "Bow", "cues": ""},
    ]


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("nod,Nod,Slowly, twice", "nod: it has 4 columns, the first line 3"),
        ("nod,Nod", "nod: it has 2 columns, the first line 3"),
    ],
)
def test_a_comma_too_many_or_too_few_is_refused_with_the_row(line: str, why: str) -> None:
    with pytest.raises(ValueError, match=f"^{why}$"):
        rows_of([HEAD, line])


@pytest.mark.parametrize("value", [None, "crunch", 3, [1], {"a": "b"}])
def test_a_list_that_is_none_is_told_and_does_not_become_letters(value: object) -> None:
    one, wrong = own_exercise({"code": "x", "name": "X", "position": "seated", "aliases": value})
    assert (one, [each.field for each in wrong]) == (None, ["aliases"])
