"""The run sheet: its values, and the paper read back by poppler."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from itertools import pairwise
from math import radians, tan
from pathlib import Path

import pytest

from content.documents import run_sheet_pdf
from content.rules.design import Design, Item
from content.rules.run_sheet import Row, RunSheet, promise_words, run_sheet, sums_words
from content.rules.timeline import timeline
from tests import pdf as paper
from tests.content.filming import CLASS, LIBRARY, many

DAY = date(2026, 12, 3)
PRACTICE = "Strand Row Movement"
WORD = re.compile(
    r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>'
)


def sheet(design: Design = CLASS, title: str = "Standing strength") -> RunSheet:
    return run_sheet(title, DAY, design, timeline(design, LIBRARY), LIBRARY)


def pages(of: RunSheet, folder: Path) -> int:
    return paper.pages(run_sheet_pdf(of, PRACTICE), folder)


def text_of(of: RunSheet, folder: Path) -> str:
    return paper.text_of(run_sheet_pdf(of, PRACTICE), folder)


def test_each_interval_has_its_time_its_side_and_the_rest_after_it() -> None:
    main = sheet().parts[1].rows
    assert [(one.at, one.seconds, one.name, one.side, one.rest) for one in main] == [
        (65, 40, "Wall press", "", 20),
        (125, 40, "Side kick", "left", 20),
        (185, 40, "Side kick", "right", 0),
        (225, 30, "Rest between rounds", "", 0),
        (255, 40, "Wall press", "", 20),
        (315, 40, "Side kick", "left", 20),
        (375, 40, "Side kick", "right", 0),
    ]
    assert [one.round for one in main if one.round] == ["round 1 of 2", "round 2 of 2"]


def test_cues_and_options_are_said_once_and_kit_where_it_changes() -> None:
    first, left, right, _, again, *_ = sheet().parts[1].rows
    assert (first.cues, first.options, first.kit) == (
        ("Ribs down", "Press away", "Breathe"), ("Arm swing",), ("a wall",)
    )  # fmt: skip
    assert (left.cues, left.options, left.kit) == (
        ("Hips level",), ("Toe tap",), ("a chair", "a mat")
    )  # fmt: skip
    assert [(one.cues, one.options, one.kit) for one in (right, again)] == [((), (), ())] * 2


def test_a_change_between_parts_stands_as_a_row_of_its_own() -> None:
    assert sheet().parts[0].rows[-1] == Row(60, 5, "Change over", pause=True)


def test_kit_that_is_not_announced_is_told() -> None:
    assert (sheet().kit, sheet().unannounced) == (
        ("a wall", "a chair", "a mat"), ("a chair", "a mat")
    )  # fmt: skip


@pytest.mark.parametrize(
    ("promised", "words"),
    [
        (None, "no length announced"),
        (475, "as announced"),
        (480, "announced 8:00, this is 0:05 shorter"),
        (355, "announced 5:55, this is 2:00 longer"),
    ],
)
def test_the_length_stands_beside_what_is_announced(promised: int | None, words: str) -> None:
    assert promise_words(sheet(replace(CLASS, promised=promised))) == words


def test_sums_of_a_part_are_those_of_the_time_line() -> None:
    """5:50 from 1:05 is 6 × 0:40 of work, 4 × 0:20 and 0:30 of rest: 240 s to 110 s."""
    assert [sums_words(part.told) for part in sheet().parts] == [
        "1:00", "5:50 · work 4:00, rest 1:50 (24:11)", "1:00",
    ]  # fmt: skip


@pytest.mark.poppler
def test_everything_stands_on_the_paper(tmp_path: Path) -> None:
    text = text_of(sheet(), tmp_path)
    wanted = (
        "Standing strength", "7:55", "announced 8:00, this is 0:05 shorter", "Warm-up",
        "3 December 2026 · Have ready: a wall, a chair, a mat (not",
        "from 0:00 · 1:00", "Main part", "from 1:05 · 5:50 · work 4:00, rest 1:50 (24:11)",
        "Settle", "2:05", "Side kick, left", "and right", "rest 0:20", "Rest between rounds",
        "Ribs down · Press away · Breathe", "Easier: Arm swing", "with a wall",
        "Sides in turn · Slow", PRACTICE, "page 1 of 1",
    )  # fmt: skip
    assert [words for words in wanted if words not in text] == []


@pytest.mark.poppler
def test_times_stand_in_order_down_the_page(tmp_path: Path) -> None:
    out = paper.tool("pdftotext", run_sheet_pdf(sheet(), PRACTICE), tmp_path, "-layout")
    times = re.findall(r"^\s{0,3}(\d+:\d\d) ", out, re.MULTILINE)
    assert times == [
        "0:00", "0:30", "1:00", "1:05", "2:05", "3:05", "3:45", "4:15", "5:15", "6:15", "6:55",
    ]  # fmt: skip


@pytest.mark.poppler
@pytest.mark.parametrize(("minutes", "wanted"), [(10, 1), (20, 1), (60, 3)])
def test_twenty_minutes_are_one_page_and_more_goes_on(
    minutes: int, wanted: int, tmp_path: Path
) -> None:
    of = sheet(many(minutes * 60) if minutes > 10 else CLASS)
    assert pages(of, tmp_path) == wanted


@pytest.mark.poppler
@pytest.mark.parametrize("minutes", [20, 60])
def test_what_is_done_and_when_is_made_out_from_two_metres(minutes: int, tmp_path: Path) -> None:
    """Five minutes of arc, the letters of the 6/6 line (ISO 8596): 2.9 mm at two metres."""
    needed_mm = 2000 * tan(radians(5 / 60))
    pdf = run_sheet_pdf(sheet(many(minutes * 60)), PRACTICE)
    words = WORD.findall(paper.tool("pdftotext", pdf, tmp_path, "-bbox"))
    heights = [
        float(bottom) - float(top) for _, top, _, bottom, word in words if word in {"press", "tap"}
    ]
    assert len(heights) >= 5
    # Atkinson Hyperlegible Next: small letters 0.496 of its size (its OS/2 table), lines 1.2.
    sizes = [height / _line_height(pdf, tmp_path) for height in heights]
    assert max(sizes) * 0.496 * 25.4 / 72 >= needed_mm * 0.99


def _line_height(pdf: bytes, folder: Path) -> float:
    """How high poppler takes a line to be for each point of size, by the foot's 8.5 points."""
    words = WORD.findall(paper.tool("pdftotext", pdf, folder, "-bbox"))
    return next(float(bottom) - float(top) for _, top, _, bottom, w in words if w == "Strand") / 8.5


@pytest.mark.poppler
def test_a_part_that_goes_on_overleaf_is_named_again(tmp_path: Path) -> None:
    text = text_of(sheet(many(3600)), tmp_path)
    assert text.count("Main part, going on") == 2


@pytest.mark.poppler
def test_nothing_runs_over_an_edge_or_into_its_neighbour(tmp_path: Path) -> None:
    long = replace(
        LIBRARY["side-kick"], code="long", name="Standing hip opener with a long reach overhead",
        cues=("Slowly round and round, as far as it is comfortable, and back again",) * 3,
    )  # fmt: skip
    design = replace(
        CLASS,
        blocks=(
            *CLASS.blocks,
            replace(CLASS.blocks[1], change_after=3500, title="Seventy letters of a title " * 3),
            replace(
                CLASS.blocks[1],
                patterns=(replace(CLASS.blocks[1].patterns[0], items=(Item("long", work=3600),)),),
            ),
        ),
    )
    known = {**LIBRARY, "long": long}
    of = run_sheet("A very long title of a class " * 4, DAY, design, timeline(design, known), known)
    found = WORD.findall(paper.tool("pdftotext", run_sheet_pdf(of, PRACTICE), tmp_path, "-bbox"))
    boxes = [(*map(float, one[:4]), one[4]) for one in found]
    assert len(boxes) > 100
    assert [one for one in boxes if one[0] < 29.5 or one[2] > 566 or one[3] > 830] == []
    same_line = [
        (one[4], two[4]) for one, two in pairwise(boxes)
        if abs(one[1] - two[1]) < 1 and one[0] < two[0] < one[2] - 0.5
    ]  # fmt: skip
    assert same_line == []


@pytest.mark.poppler
def test_every_font_is_embedded_and_is_one_of_the_house(tmp_path: Path) -> None:
    rows = paper.tool("pdffonts", run_sheet_pdf(sheet(), PRACTICE), tmp_path).splitlines()[2:]
    names = {row.split()[0].split("+")[1] for row in rows}
    assert {name.split("-")[0] for name in names} == {"AtkinsonHyperlegibleNext", "Literata"}
    assert {row.split()[-5] for row in rows} == {"yes"}


def test_equal_values_give_equal_bytes_and_others_others() -> None:
    made = run_sheet_pdf(sheet(), PRACTICE)
    assert run_sheet_pdf(sheet(), PRACTICE) == made
    assert run_sheet_pdf(sheet(replace(CLASS, promised=475)), PRACTICE) != made
