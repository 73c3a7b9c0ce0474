"""How the paper runs over pages, and what kind of file it is."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from coach.billing.documents import invoice_pdf
from coach.billing.documents.values import InvoicePaper, PaperSize
from tests.billing.papers import PASS, minor, paper, read, sessions, text_of

pytestmark = pytest.mark.poppler

HEAD = re.compile(r"^What\s+Quantity\s+Price of one\s+Tax\s+Net$", re.M)
LONG_NAME = "Maximiliane " * 16 + "Nnnnnnnn"
LONG_WORD = "N" * 200


def pages(made: InvoicePaper, folder: Path) -> list[str]:
    """The text of each page."""
    return text_of(made, folder).split("\f")[:-1]


def test_one_line_is_one_page(tmp_path: Path) -> None:
    (page,) = pages(sessions(1), tmp_path)
    assert page.count("Session 1 online") == 1
    assert "page 1 of 1" in page
    assert "continued" not in page
    assert "Carried over" not in page


@pytest.mark.parametrize(("lines", "count"), [(40, 2), (60, 3)])
def test_many_lines_fill_pages_with_head_and_foot_on_each(
    lines: int, count: int, tmp_path: Path
) -> None:
    found = pages(sessions(lines), tmp_path)
    assert [len(HEAD.findall(page)) for page in found] == [1] * count
    assert [re.findall(r"page \d of \d", page) for page in found] == [
        [f"page {n} of {count}"] for n in range(1, count + 1)
    ]
    foot = "Strong Tide Coaching · Invoice 2026-00012"
    assert [foot in page for page in found] == [True] * count
    assert ["continued" in page for page in found] == [False, *[True] * (count - 1)]


def test_every_line_is_printed_once_and_in_order(tmp_path: Path) -> None:
    text = "".join(pages(sessions(40), tmp_path))
    assert [int(n) for n in re.findall(r"Session (\d+) online", text)] == list(range(1, 41))


def test_the_sum_carried_over_is_that_of_the_lines_above_it(tmp_path: Path) -> None:
    found = pages(sessions(60), tmp_path)
    so_far = 0
    for page, following in pairwise(found):
        so_far += sum(4500 + int(n) for n in re.findall(r"Session (\d+) online", page))
        carried = re.findall(r"Carried over\s+(\S+)", page)
        forward = re.findall(r"Brought forward\s+(\S+)", following)
        assert [minor(figure) for figure in carried + forward] == [so_far, so_far]


@pytest.mark.parametrize("count", range(1, 61, 3))
def test_totals_never_stand_on_a_page_without_a_line(count: int, tmp_path: Path) -> None:
    last = pages(sessions(count), tmp_path)[-1]
    assert "Still open" in last
    assert f"Session {count} online" in last


def test_the_printed_lines_of_all_pages_add_up_to_the_net_sum(tmp_path: Path) -> None:
    text = "".join(pages(sessions(40), tmp_path))
    nets = [minor(net) for net in re.findall(r"Session .*20%\s+(\S+)$", text, re.M)]
    assert len(nets) == 40
    assert sum(nets) == sum(4500 + n for n in range(1, 41))


def outside(made: InvoicePaper, folder: Path) -> list[str]:
    """Words that reach into the margins, the foot's or off the page, by pdftotext's boxes.

    In points: the margins are 57 at the sides and 72 at the bottom; the foot stands 55 to 35
    above the edge.
    """
    text = read("pdftotext", "-bbox", pdf=invoice_pdf(made), folder=folder)
    (width, height), *_ = re.findall(r'<page width="([\d.]+)" height="([\d.]+)"', text)
    boxes = re.findall(
        r'xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*?)<', text
    )
    assert boxes
    return [
        word
        for left, top, right, bottom, word in boxes
        if not (float(left) >= 56 and float(right) <= float(width) - 56 and float(top) >= 36)
        or not (
            float(bottom) <= float(height) - 68
            or float(height) - 55 <= float(top) <= float(bottom) <= float(height) - 35
        )
    ]


HARD = {
    "names of 200 letters": paper(buyer=(LONG_NAME, LONG_WORD), seller=(LONG_WORD, LONG_NAME)),
    "a long number": paper(number="A-SERIES-WITH-A-VERY-LONG-NAME-2026-000000000012"),
    "a long text": paper(lines=(replace(PASS, text="word " * 1500),), notes=("note " * 3000,)),
    "large amounts": paper(lines=(replace(PASS, unit_minor=10**15, net_minor=10**15),)),
    "a long reason": paper(no_tax_reason=LONG_WORD, supplied=LONG_WORD, payment=(LONG_WORD,)),
    "many address lines": paper(buyer=tuple(f"Line {n}" for n in range(90))),
    "no lines": paper(lines=()),
    "letter": sessions(40, size=PaperSize.LETTER, buyer=(LONG_NAME,)),
}


@pytest.mark.parametrize("made", HARD.values(), ids=HARD.keys())
def test_nothing_leaves_the_page(made: InvoicePaper, tmp_path: Path) -> None:
    assert outside(made, tmp_path) == []


def test_a_name_of_200_letters_is_printed_whole(tmp_path: Path) -> None:
    found = read(
        "pdftotext", "-raw", pdf=invoice_pdf(paper(buyer=(LONG_NAME, LONG_WORD))), folder=tmp_path
    )
    assert found.count("Maximiliane") == 16
    assert "".join(re.findall(r"\bN+\b", found)) == LONG_WORD


def test_a_text_longer_than_a_page_is_printed_whole(tmp_path: Path) -> None:
    text = text_of(HARD["a long text"], tmp_path)
    assert (len(re.findall(r"\bword\b", text)), len(re.findall(r"\bnote\b", text))) == (1500, 3000)


@pytest.mark.parametrize(
    ("size", "shown"),
    [(PaperSize.A4, "595.28 x 841.89 pts (A4)"), (PaperSize.LETTER, "612 x 792 pts (letter)")],
)
def test_the_sheet_is_the_one_asked_for(size: PaperSize, shown: str, tmp_path: Path) -> None:
    assert shown in read("pdfinfo", pdf=invoice_pdf(paper(size=size)), folder=tmp_path)


def test_the_file_names_itself_its_author_its_day_and_its_language(tmp_path: Path) -> None:
    pdf = invoice_pdf(paper())
    told = read("pdfinfo", "-isodates", pdf=pdf, folder=tmp_path)
    facts = dict(re.findall(r"^(\w+): +(.+)$", told, re.M))
    assert (facts["Title"], facts["Author"]) == ("Invoice 2026-00012", "Strong Tide Coaching")
    assert facts["CreationDate"].startswith("2026-11-25")
    assert b"/Lang (en-IE)" in pdf
    assert b"/DisplayDocTitle true" in pdf


def test_the_same_paper_gives_the_same_bytes_also_in_another_process() -> None:
    made = (
        "import sys; from tests.billing.papers import sessions, invoice_pdf;"
        "sys.stdout.buffer.write(invoice_pdf(sessions(30)))"
    )
    outputs = {
        subprocess.run(
            [sys.executable, "-c", made], capture_output=True, check=True, env={"PYTHONHASHSEED": n}
        ).stdout
        for n in ("1", "2")
    }
    assert outputs == {invoice_pdf(sessions(30))} == {invoice_pdf(sessions(30))}


@pytest.fixture
def threads_change_often() -> Iterator[None]:
    usual = sys.getswitchinterval()
    sys.setswitchinterval(1e-6)
    yield
    sys.setswitchinterval(usual)


def test_papers_printed_at_once_don_t_mix(threads_change_often: None) -> None:
    made = [paper(buyer=(name,)) for name in ("王小明", "ليلى", "Ελένη", "Aoife", "김민지")] * 6
    alone = [invoice_pdf(one) for one in made]
    with ThreadPoolExecutor(6) as threads:
        assert list(threads.map(invoice_pdf, made)) == alone


def test_printing_loads_neither_django_nor_the_clock() -> None:
    line = (
        "import sys, coach.billing.documents.invoice;"
        "print([name for name in sys.modules if name in ('django', 'coach.clock')])"
    )
    done = subprocess.run([sys.executable, "-c", line], capture_output=True, check=True, text=True)
    assert done.stdout.strip() == "[]"
