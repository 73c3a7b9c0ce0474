"""Charts: one drawing for page and paper, no style in it, words and shapes beside colour."""

from __future__ import annotations

import re
import shutil
import subprocess
import xml.etree.ElementTree as ET
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path

import pytest

from coach.practice.print.charts import block, svg
from coach.practice.print.paper import A4, About, printed
from coach.scheduling.charted import Band, Chart, Line, apart, marks, thinned

BEGIN = date(2026, 1, 5)
FIGURE = re.compile(r"−?\d+(?:\.\d+)?")
MOVED = re.compile(r"matrix\(1,0,0,1,([-\d.]+),([-\d.]+)\)")


def points(*values: float, every: int = 28) -> tuple[tuple[date, float], ...]:
    return tuple((BEGIN + timedelta(days=n * every), value) for n, value in enumerate(values))


def chart(*lines: Line, bands: tuple[Band, ...] = ()) -> Chart:
    days = {day: f"{n} w" for n, (day, _) in enumerate(lines[0].points)}
    return Chart("At the navel", "mm", lines, tuple(days.items()), bands, "28, then 21 mm")


ONE = chart(Line("calliper", points(28)))
TWO = chart(Line("calliper", points(28, 26, 21)), Line("tape", points(33, 30)))
BANDED = chart(Line("ultrasound", points(26, 24)), bands=(Band(9, 21, "Mota and others 2018"),))
LONG = chart(Line("tape", points(*(30 - n % 12 for n in range(87)), every=42)))


def drawn(one: Chart) -> str:
    return str(svg(one, width=460, height=170))


def words(source: str) -> list[str]:
    return [text.text or "" for text in ET.fromstring(source).iter() if text.tag.endswith("text")]


def paper(one: Chart, path: Path) -> list[str]:
    """Every word of the same chart in a PDF."""
    about = About("A chart", "A practice", "en-GB", "", BEGIN)
    path.write_bytes(printed([[block(one, width=460, height=170)]], A4, about))
    tool = shutil.which("pdftotext")
    assert tool
    done = subprocess.run([tool, "-layout", path, "-"], capture_output=True, check=True)
    return done.stdout.decode().split()


@pytest.mark.parametrize("one", [ONE, TWO, BANDED, LONG])
def test_the_content_policy_holds_in_it(one: Chart) -> None:
    source = drawn(one)
    assert re.search(r"\sstyle=|<style|<script|http(?!://www\.w3\.org)|url\(", source) is None
    assert source.startswith("<svg")
    root = ET.fromstring(source)
    assert root.get("role") == "img"
    assert "28, then 21 mm" in source


@pytest.mark.parametrize("one", [ONE, TWO, BANDED, LONG])
def test_page_and_paper_show_the_same_figures(one: Chart, tmp_path: Path) -> None:
    on_page = " ".join(words(drawn(one)))
    on_paper = " ".join(paper(one, tmp_path / "c.pdf")).removesuffix("page 1 of 1")
    assert sorted(FIGURE.findall(on_page)) == sorted(FIGURE.findall(on_paper))
    # The reader of the PDF leaves out narrow spaces.
    assert sorted(on_page.replace(" ", "")) == sorted(on_paper.replace(" ", ""))


def test_fonts_on_paper_are_those_of_the_house(tmp_path: Path) -> None:
    paper(TWO, tmp_path / "c.pdf")
    tool = shutil.which("pdffonts")
    assert tool
    listed = subprocess.run([tool, tmp_path / "c.pdf"], capture_output=True, check=True)
    rows = listed.stdout.decode().splitlines()[2:]
    assert rows
    assert all(" yes yes " in row and "Helvetica" not in row for row in rows)


def test_lines_differ_by_shape_and_dash_and_are_named_beside_their_end() -> None:
    source = drawn(TWO)
    assert "stroke-dasharray" in source
    told = " ".join(words(source))
    assert ("calliper 21" in told, "tape 30" in told) == (True, True)


def test_a_range_has_its_name_in_words() -> None:
    assert any("Mota and others 2018" in text for text in words(drawn(BANDED)))


def test_words_beneath_do_not_cover_each_other() -> None:
    beneath = [text for text in words(drawn(LONG)) if text.endswith(" w")]
    assert 1 < len(beneath) < 20


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        ((28, 21), (20, 22, 24, 26, 28)),
        ((5,), (4, 4.5, 5, 5.5, 6)),
        ((0,), (0, 0.5, 1)),
        ((-5, 10), (-5, 0, 5, 10)),
    ],
)
def test_marks_are_round_and_few_and_hold_every_value(
    values: tuple[float, ...], expected: tuple[float, ...]
) -> None:
    found = marks(values)
    assert found[0] <= min(values) <= max(values) <= found[-1]
    assert len(found) <= 5
    assert found == expected


def test_names_are_moved_apart_and_stay_inside() -> None:
    found = apart([(10, 12), (12, 12), (13, 12)], 0, 100)
    assert all(b - a >= 12 for a, b in pairwise(found))
    assert apart([(98, 12), (99, 12)], 0, 100) == [82, 94]


def test_the_last_word_beneath_is_always_kept() -> None:
    assert thinned([(0, 30), (10, 30), (50, 30)]) == [1, 2]


def test_more_lines_than_can_be_told_apart_are_refused() -> None:
    with pytest.raises(ValueError, match="1 to 4"):
        Chart("x", "mm", tuple(Line(str(n), points(1)) for n in range(5)))


def places(source: str, text: str) -> tuple[float, float]:
    """Where a text stands: its left edge from the left of the chart, and its base line."""
    for group in ET.fromstring(source).iter("g"):
        for child in group:
            if child.tag == "text" and child.text == text:
                moved = re.search(
                    r"matrix\(1,0,0,1,([-\d.]+),([-\d.]+)\)", group.get("transform", "")
                )
                x, y = (float(moved[1]), float(moved[2])) if moved else (0.0, 0.0)
                return x + float(child.get("x", 0)), y - float(child.get("y", 0))
    raise AssertionError(f"{text!r} is not in it")


def test_no_word_beneath_is_cut_off_at_the_left() -> None:
    begin, end = BEGIN, BEGIN + timedelta(days=400)
    one = Chart("x", "mm", (Line("tape", ((begin, 5.0), (end, 9.0))),),
                ((begin, "104 w since"), (end, "3 y since")), (), "")  # fmt: skip
    assert places(drawn(one), "104 w since")[0] >= 0


def test_a_point_alone_stands_beside_its_name() -> None:
    source = drawn(ONE)
    (dot,) = [float(one.get("cx", 0)) for one in ET.fromstring(source).iter("circle")]
    assert 0 < places(source, "calliper 28")[0] - dot < 25


def test_days_keep_their_true_distances() -> None:
    spaced = tuple((BEGIN + timedelta(days=n), 20.0) for n in (0, 10, 40, 100))
    source = drawn(Chart("x", "mm", (Line("tape", spaced),)))
    dots = [float(one.get("cx", 0)) for one in ET.fromstring(source).iter("circle")]
    day = (dots[-1] - dots[0]) / 100
    assert [round((dot - dots[0]) / day) for dot in dots] == [0, 10, 40, 100]


def test_a_range_is_drawn_on_its_days_alone_and_without_an_uncertain_edge() -> None:
    since, until = BEGIN + timedelta(days=28), BEGIN + timedelta(days=56)
    line = Line("ultrasound", points(40, 30, 26, 24, 20))
    wide = {}
    for low in (None, 9.0):
        source = drawn(chart(line, bands=(Band(low, 21, "Mota and others 2018", since, until),)))
        pale = [
            one for one in ET.fromstring(source).iter("rect") if one.get("class") == "fill-pale"
        ]
        edges = re.findall(r'class="stroke-soft"', source)
        wide[low] = (round(max(float(one.get("width", 0)) for one in pale)), len(edges))
    dots = [float(one.get("cx", 0)) for one in ET.fromstring(drawn(chart(line))).iter("circle")]
    # An end that is certain has an edge in the chart and in its sample beneath.
    assert wide == {None: (round(dots[2] - dots[1]), 2), 9.0: (round(dots[2] - dots[1]), 4)}
