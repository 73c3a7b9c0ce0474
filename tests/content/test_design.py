"""How a class is built, step by step; what is looked at; what it comes to."""

from __future__ import annotations

from typing import Any

import pytest

from content.rules import design_steps as steps
from content.rules.checks import checks
from content.rules.design import Block, Design, Item, NotADesign, Pattern, design_from
from content.rules.exercises import exercises
from content.rules.figures import figures
from content.rules.timeline import timeline

TABLE = exercises()


def built(*codes: str, kind: str = "main", **pattern: Any) -> Design:
    row = Pattern(tuple(Item(code) for code in codes), **pattern)
    return Design((Block(kind, "", (row,)),))


def codes(design: Design) -> list[str]:
    return [item.exercise for item in design.items]


def test_what_is_stored_is_read_back_the_same() -> None:
    design = Design(
        (Block("warm-up", "Slowly", (Pattern((Item("cat-and-cow", work=40),), 30, 0, 2, 15),),
               False, 10, 20),),
        1200, True, ("mat",),
    )  # fmt: skip
    assert design_from(design.stored) == design


@pytest.mark.parametrize(
    ("stored", "where"),
    [
        ({"blocks": "x"}, "blocks"),
        ({"blocks": [7]}, "blocks.0"),
        ({"blocks": [{"kind": "party"}]}, "blocks.0.kind"),
        ({"blocks": [{"patterns": [{"work": 0}]}]}, "blocks.0.patterns.0.work"),
        ({"blocks": [{"patterns": [{"work": True}]}]}, "blocks.0.patterns.0.work"),
        ({"blocks": [{"patterns": [{"rounds": 61}]}]}, "blocks.0.patterns.0.rounds"),
        ({"blocks": [{"patterns": [{"items": [{}]}]}]}, "blocks.0.patterns.0.items.0.label"),
        ({"blocks": [{"patterns": [{"items": [{"label": "x", "sides": "top"}]}]}]},
         "blocks.0.patterns.0.items.0.sides"),
        ({"blocks": [{}] * 21}, "blocks"),
        ({"promised": -1}, "promised"),
        ({"no_repeats": "yes"}, "no_repeats"),
        ({"kit": "mat"}, "kit"),
    ],
)  # fmt: skip
def test_what_is_no_design_is_refused_with_its_place(stored: dict[str, Any], where: str) -> None:
    with pytest.raises(NotADesign) as refused:
        design_from(stored)
    assert refused.value.where == where


def test_exercises_are_added_moved_and_taken_out() -> None:
    design = steps.add_block(Design(), "main")
    for code in ("squat", "bird-dog", "clam"):
        design = steps.add_item(design, 0, 0, Item(code), TABLE)
    assert codes(steps.move_item(design, (0, 0, 2), (0, 0, 0))) == ["clam", "squat", "bird-dog"]
    assert codes(steps.move_item(design, (0, 0, 0), (0, 0, 9))) == ["bird-dog", "clam", "squat"]
    assert codes(steps.remove_item(design, 0, 0, 1)) == ["squat", "clam"]
    two = steps.add_block(design, "cool-down")
    moved = steps.move_item(two, (0, 0, 0), (1, 0, 0))
    assert [[i.exercise for i in b.patterns[0].items] for b in moved.blocks] == [
        ["bird-dog", "clam"], ["squat"],
    ]  # fmt: skip


def test_a_block_is_doubled_moved_and_taken_out() -> None:
    design = steps.add_block(built("squat"), "cool-down")
    kinds = [b.kind for b in steps.duplicate_block(design, 0).blocks]
    assert kinds == ["main", "main", "cool-down"]
    assert [b.kind for b in steps.move_block(design, 1, -1).blocks] == ["cool-down", "main"]
    assert [b.kind for b in steps.remove_block(design, 0).blocks] == ["cool-down"]


@pytest.mark.parametrize(
    "step",
    [
        lambda d: steps.remove_block(d, 4),
        lambda d: steps.remove_item(d, 0, 0, 9),
        lambda d: steps.add_item(d, 0, 0, Item("unknown"), TABLE),
        lambda d: steps.set_pattern(d, 0, 0, work=0),
        lambda d: steps.set_item(d, (0, 0, 0), TABLE, shows=("burpee",)),
        lambda d: steps.set_block(d, 0, title="x" * 81),
        lambda d: steps.move_item(d, (0, 3, 0), (0, 0, 0)),
    ],
)
def test_a_step_that_cannot_be_is_refused(step: Any) -> None:
    with pytest.raises(ValueError, match=r"\."):
        step(built("squat"))


def found(design: Design) -> set[str]:
    return {one.kind for one in checks(design, timeline(design, TABLE), TABLE)}


WARM = Block("warm-up", "", (Pattern((Item("side-step"),), 180, 0),))
DOWN = Block("cool-down", "", (Pattern((Item("rest-on-the-side"),), 180, 0),))


@pytest.mark.parametrize(
    ("kind", "yes", "no"),
    [
        ("warm-up",
         Design((Block(patterns=(Pattern((Item("squat-jump"),)),)),)),
         Design((WARM, Block(patterns=(Pattern((Item("squat-jump"),)),))))),
        ("side",
         Design((Block(patterns=(Pattern((Item("clam", sides="one"),)),)),)), built("clam")),
        ("flat", built(*["bridge"] * 4), built("bridge", "bird-dog", "bridge")),
        ("cool-down", built(*["squat"] * 20),
         Design((Block(patterns=(Pattern((Item("squat"),) * 20),)), DOWN))),
        ("repeat", Design(built("squat", "squat").blocks, no_repeats=True),
         Design(built("squat", "clam").blocks, no_repeats=True)),
        ("levels", built(*["squat", "bird-dog"] * 4), built(*["squat"] * 4, *["bird-dog"] * 4)),
        ("length", Design(built("squat").blocks, promised=600),
         Design(built("squat").blocks, promised=75)),
        ("kit", built("band-row"), Design(built("band-row").blocks, kit=("band",))),
        ("unknown", built("gone"), built("squat")),
        ("empty", Design(), built("squat")),
    ],
)  # fmt: skip
def test_what_is_looked_at(kind: str, yes: Design, no: Design) -> None:
    assert (kind in found(yes), kind in found(no)) == (True, False)


def test_every_check_says_what_to_do() -> None:
    design = Design(built("gone", "squat-jump", *["bridge"] * 5).blocks, 60, True)
    told = checks(design, timeline(design, TABLE), TABLE)
    assert len(told) >= 5
    assert all(one.to_do and one.words.endswith(".") and one.source for one in told)


def test_figures_are_seconds_of_work_by_effort_and_focus() -> None:
    """150 min a week: ACOG CO 804 (2020), WHO 2020, Mottola and others 2018."""
    design = built("squat", "side-step", "open-book", work=60, rest=30, rounds=3)
    told = figures(timeline(design, TABLE), TABLE)
    assert told.by_intensity == {"light": 360, "moderate": 360, "vigorous": 0}
    assert told.by_focus == {"mobility": 360, "full body": 180, "legs": 180}
    assert told.active == 360
    assert [(one.week.minutes, one.percent) for one in told.shares] == [(150, 4), (120, 5)]
    assert told.curve[0] == (0, 2)
    assert told.curve[-1] == (timeline(design, TABLE).seconds, 0)
