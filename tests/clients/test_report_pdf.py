"""A progress report as paper: one page for one assessment, two for 25, read back by poppler."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from clients.documents import report_pdf
from clients.rules.assessment import Measured
from clients.rules.progress import progress
from clients.rules.report import report_paper
from clients.rules.report_paper import ReportPaper
from clients.rules.report_words import CLIENT, CLINICIAN, WIDTH_ALONE
from clients.rules.words import NEVER_IF_QUIET
from coach.scheduling.charted import number_words
from coach.scheduling.dates import Ending, PregnancyDates
from tests.clients.reports import (
    ALL_OF_IT,
    ENDED,
    KNOWN,
    TODAY,
    facts,
    measured,
    twenty_five,
    with_tests,
)
from tests.pdf import outside as over_margins
from tests.pdf import pages, tool
from tests.pdf import text_of as pdf_text

pytestmark = pytest.mark.poppler
ONE = measured(TODAY, **(ALL_OF_IT | with_tests(count=9, below="hop")))
REMARK = "Lovely work: keep the evening breathing, and we look again in four weeks."
LONG = "Aleksandra Maria Wiśniewska-Przybyszewska de la Fuente y Sotomayor van der Wijngaarden"


def text_of(pdf: bytes, folder: Path) -> str:
    return pdf_text(pdf, folder, "-raw")


def outside(pdf: bytes, folder: Path) -> list[str]:
    return over_margins(pdf, folder, left=48)


FULLEST = measured(
    TODAY, **(ALL_OF_IT | with_tests(below="hop")), urgency="no", pain="yes", girdle="no",
    bleeding="no", total_pfdi=75, total_severity3=4, total_severity4=6, next_day="yes",
    width_xiphoid_rest=9, width_xiphoid_lift=7, width_above20_rest=22, width_above20_lift=20,
)  # fmt: skip


def made(*ones: Measured, **changes: Any) -> ReportPaper:
    return report_paper(facts(*ones, **changes))


@pytest.mark.parametrize("audience", [CLIENT, CLINICIAN])
def test_one_assessment_is_one_page_with_all_that_was_measured(
    audience: str, tmp_path: Path
) -> None:
    pdf = report_pdf(made(ONE, audience=audience, remark=REMARK))
    text = text_of(pdf, tmp_path)
    assert (pages(pdf, tmp_path), outside(pdf, tmp_path)) == (1, [])
    wanted = (
        "Progress report", "3 December 2026", "Strand Row Movement", "Una Tallon",
        "Maeve Ashgrove", REMARK, "34 mm", "28 mm", "Doming yes on 3 Dec", "Leaking yes on 3 Dec",
        "Heaviness no on 3 Dec", "hop on the spot (less than asked)", "7, moderate",
        "Klovning and others 2009", "Measured by Una Tallon (coach), calliper", WIDTH_ALONE,
        "no diagnosis", "page 1 of 1", "charts begin with the second",
    )  # fmt: skip
    assert [words for words in wanted if words not in text] == []


@pytest.mark.parametrize("audience", [CLIENT, CLINICIAN])
def test_one_with_all_that_can_be_measured_is_one_page_too(audience: str, tmp_path: Path) -> None:
    paper = made(FULLEST, audience=audience, remark="Well done, all of it. " * 18)
    pdf = report_pdf(paper)
    assert (pages(pdf, tmp_path), outside(pdf, tmp_path)) == (1, [])
    assert [one for one in paper.cautions if one.split()[-1] not in text_of(pdf, tmp_path)] == []


@pytest.mark.parametrize("audience", [CLIENT, CLINICIAN])
def test_twenty_five_are_two_pages(audience: str, tmp_path: Path) -> None:
    pdf = report_pdf(made(*twenty_five(), audience=audience, remark=REMARK))
    text = text_of(pdf, tmp_path)
    assert (pages(pdf, tmp_path), outside(pdf, tmp_path)) == (2, [])
    wanted = ("25 assessments", "The latest 8 of 25 assessments", "When to stop, and whom to ring",
              "Left out for want of room: the charts", WIDTH_ALONE, "page 2 of 2")  # fmt: skip
    assert [words for words in wanted if words not in text] == []
    assert "595.28 x 841.89" in tool("pdfinfo", pdf, tmp_path)


@pytest.mark.parametrize("count", [2, 3, 8, 14, 25])
def test_however_many_there_are_it_is_at_most_two(count: int, tmp_path: Path) -> None:
    pdf = report_pdf(made(*twenty_five()[:count], remark=REMARK))
    assert (pages(pdf, tmp_path) <= 2, outside(pdf, tmp_path)) == (True, [])


def test_its_charts_show_the_figures_of_the_page(tmp_path: Path) -> None:
    """Each chart on paper is the page's own value, and its last figure is printed beside it."""
    ones = twenty_five()[-6:]
    paper = made(*ones)
    shown = progress(ones, facts().pregnancies, KNOWN, quiet=False).charts
    assert set(paper.charts) == {one.chart for one in shown}
    text = text_of(report_pdf(paper), tmp_path)
    ends = [f"{line.name} {number_words(line.last[1])}"
            for chart in paper.charts for line in chart.lines]  # fmt: skip
    assert len(ends) > 9
    assert [end for end in ends if end not in text] == []


def test_charts_are_vectors(tmp_path: Path) -> None:
    pdf = report_pdf(made(*twenty_five()))
    listed = tool("pdfimages", pdf, tmp_path, "-list").splitlines()[2:]
    assert listed == []
    without = report_pdf(replace(made(*twenty_five()), charts=()))
    assert len(pdf) - len(without) > 2000


def test_every_font_is_embedded(tmp_path: Path) -> None:
    pdf = report_pdf(made(*twenty_five(), client="Maeve Ελένη ليلى שרה Світлана 王小明"))
    lines = tool("pdffonts", pdf, tmp_path).splitlines()[2:]
    assert len(lines) > 4
    assert [line for line in lines if line.split()[-5:-2] != ["yes", "yes", "yes"]] == []


def test_equal_reports_give_equal_bytes_and_the_file_says_what_it_is(tmp_path: Path) -> None:
    pdf = report_pdf(made(*twenty_five()))
    assert pdf == report_pdf(made(*twenty_five()))
    told = tool("pdfinfo", pdf, tmp_path)
    assert "Progress report: Maeve Ashgrove" in told
    assert "Dec  3" in told
    assert b"/Lang (en-GB)" in pdf


@pytest.mark.parametrize("audience", [CLIENT, CLINICIAN])
def test_a_quiet_client_s_says_weeks_and_no_more(audience: str, tmp_path: Path) -> None:
    lost = PregnancyDates(TODAY.replace(month=8), ENDED, Ending.LOSS)
    paper = made(*twenty_five(), quiet=True, pregnancies=(lost,), audience=audience)
    pdf = report_pdf(paper)
    told = text_of(pdf, tmp_path)
    assert [word for word in NEVER_IF_QUIET if word in told.casefold()] == []
    assert "w since" in told
    assert "DOB" in told if audience == CLINICIAN else "DOB" not in told


def test_a_clinician_reads_by_what_right_it_comes(tmp_path: Path) -> None:
    told = text_of(report_pdf(made(ONE, audience=CLINICIAN)), tmp_path)
    wanted = ("DOB 4 May 1993", "Her clinician", "She agreed on 2 November", "that I write to",
              "your word comes first", "Confidential, for the clinician")  # fmt: skip
    assert [words for words in wanted if words not in told] == []
    assert "DOB not known" in text_of(
        report_pdf(made(ONE, audience=CLINICIAN, born=None)), tmp_path
    )


def test_long_names_and_a_long_sentence_hold(tmp_path: Path) -> None:
    ones = [replace(one, by=LONG, origin=LONG) for one in twenty_five()]
    paper = made(
        *ones, client=LONG, practice=LONG, coach=LONG, remark="Well done, all of it. " * 18
    )
    pdf = report_pdf(paper)
    assert (pages(pdf, tmp_path), outside(pdf, tmp_path)) == (2, [])
