"""Whom the demo's classes suit, over all stages and findings, in a table that a coach can read.

demo_suits.txt is that table. It was read through row by row; a change of a rule, of an exercise or
of a class shows there as a changed row. Beside it the published exclusions are looked up in the
exercises themselves, without the rules.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from coach.scheduling.values import Stage
from content.models import FitnessClass, State
from content.queries.design import designs
from content.queries.suits import StageRow, class_by_stage
from content.rules.design import Design
from content.rules.exercises import Exercise, exercises
from content.rules.suitability import SUPPOSED, Verdict

pytestmark = pytest.mark.usefixtures("demo")

TABLE = Path(__file__).parent / "demo_suits.txt"
WORDS = {
    Verdict.FINE: "fits", Verdict.EASIER: "option", Verdict.LEAVE_OUT: "leave out",
    Verdict.NOT_KNOWN: "not known",
}  # fmt: skip
TITLE, CELL = 52, 11
ALLOWED = {Verdict.FINE, Verdict.EASIER}
WEEKS_RUN = (Stage.TRIMESTER_1, Stage.TRIMESTER_2, Stage.TRIMESTER_3)


def cells(row: StageRow) -> list[str]:
    return [WORDS[verdict] for _, verdict in row.verdicts]


def line(title: str, words: list[str]) -> str:
    return (f"{title:<{TITLE}}" + "".join(f"{word:<{CELL}}" for word in words)).rstrip()


def the_table() -> Iterator[str]:
    """Every class at every stage; then, for each finding, the classes that it changes."""
    plain = {row.item.pk: row for row in class_by_stage()}
    heads = ["T1", "T2", "T3", "0-6 w", "6-12 w", "12-26 w", "26-52 w", "52 w on"]
    yield line("Nothing beside the stage", heads)
    yield from (line(f"  {row.item.title}", cells(row)) for row in plain.values())
    idle = FitnessClass.objects.exclude(pk__in=plain).exclude(state=State.WITHDRAWN)
    yield from (line(f"  {one.title}", ["not known, as it is not designed"]) for one in idle)
    for supposed, words in SUPPOSED.items():
        yield ""
        yield line(f"With {words}", heads)
        for row in class_by_stage(supposed=supposed):
            was, now = cells(plain[row.item.pk]), cells(row)
            if was != now:
                changed = zip(was, now, strict=True)
                yield line(
                    f"  {row.item.title}", ["·" if old == new else new for old, new in changed]
                )


def test_the_table_is_the_one_that_was_read() -> None:
    assert "\n".join(the_table()) + "\n" == TABLE.read_text("utf-8")


def test_it_has_every_class_of_the_demo_but_the_withdrawn() -> None:
    first = TABLE.read_text("utf-8").split("\n\n")[0].splitlines()[1:]
    assert len(first) == FitnessClass.objects.exclude(state=State.WITHDRAWN).count()
    assert len(first) >= 58


def in_class(design: Design) -> list[tuple[Exercise, bool]]:
    """Every exercise of a class, with whether an easier option is shown for it."""
    known = exercises()
    return [(known[item.exercise], bool(item.shows)) for item in design.items if item.exercise]


def found(stage: Stage, supposed: str = "") -> dict[int, Verdict]:
    rows = class_by_stage(supposed=supposed)
    return {row.item.pk: dict(row.verdicts)[stage] for row in rows}


@pytest.mark.parametrize("stage", [Stage.TRIMESTER_2, Stage.TRIMESTER_3])
def test_none_fits_where_somebody_lies_flat_and_no_option_is_shown(stage: Stage) -> None:
    """ACOG committee opinion 804: no long lying flat; from 20 weeks, the week from memory."""
    plans = designs()
    for pk, verdict in found(stage).items():
        flat = [shown for one, shown in in_class(plans[pk]) if one.lying_flat]
        assert not (False in flat and verdict in ALLOWED)


@pytest.mark.parametrize("stage", [*WEEKS_RUN, Stage.WEEKS_0_6, Stage.WEEKS_6_12])
def test_none_with_jumps_fits_while_weeks_run_or_before_twelve_weeks(stage: Stage) -> None:
    """Goom, Donnelly and Brockwell 2019: no running or impact in the first three months."""
    plans = designs()
    for pk, verdict in found(stage).items():
        jumps = [shown for one, shown in in_class(plans[pk]) if one.impact == "high"]
        assert not (False in jumps and verdict in ALLOWED)


@pytest.mark.parametrize("supposed", SUPPOSED)
def test_a_finding_never_makes_a_class_fit_better(supposed: str) -> None:
    plain, worse = class_by_stage(), class_by_stage(supposed=supposed)
    better = [
        (one.item.title, stage)
        for one, two in zip(plain, worse, strict=True)
        for (stage, was), (_, now) in zip(one.verdicts, two.verdicts, strict=True)
        if now.weight < was.weight
    ]
    assert better == []


@pytest.mark.parametrize("supposed", ["heaviness", "leaking", "pain"])
def test_symptoms_leave_no_jump_and_nothing_heavy_without_an_option(supposed: str) -> None:
    """Goom, Donnelly and Brockwell 2019: heaviness, leaking or pain is a reason not to go on."""
    plans = designs()
    for pk, verdict in found(Stage.WEEKS_52_ON, supposed).items():
        loads = [
            shown for one, shown in in_class(plans[pk])
            if one.impact == "high" or one.heavy or one.pelvic_load == 3
        ]  # fmt: skip
        assert not (False in loads and verdict in ALLOWED)


def test_every_class_fits_the_stages_that_it_is_announced_for() -> None:
    for row in class_by_stage():
        told = {Stage(code) for code in row.item.stages}
        out = [stage for stage, verdict in row.verdicts if stage in told and verdict not in ALLOWED]
        assert (row.item.title, out) == (row.item.title, [])
