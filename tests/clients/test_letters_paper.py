"""The letters as paper: one page of A4, read back by poppler's tools."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from clients.documents import letter_pdf
from clients.rules.letter_words import ASKS, CAUTION, DONE, HELD
from clients.rules.words import NEVER_IF_QUIET
from tests.clients.letters import OFFERS, paper
from tests.pdf import outside as over_margins
from tests.pdf import pages, text_of, tool

pytestmark = pytest.mark.poppler
A4 = ("595.28", "841.89")
LONG = "Aleksandra Maria Wiśniewska-Przybyszewska de la Fuente y Sotomayor van der Wijngaarden"
NAMES = {
    "Greek": "Ελένη Παπαδοπούλου-Χατζηγεωργίου",
    "Arabic": "ليلى الأحمد",
    "Hebrew": "שרה כהן",
    "Cyrillic": "Світлана Ґалаґан",
    "Chinese": "王小明",
    "long": LONG,
    "without a space": "X" * 120,
}


def outside(pdf: bytes, folder: Path) -> list[str]:
    return over_margins(pdf, folder, left=56)


def test_all_that_a_clinician_needs_is_on_it(tmp_path: Path) -> None:
    text = text_of(letter_pdf(paper()), tmp_path)
    wanted = (
        "Request for clearance", "3 December 2026", "Strand Row Movement", "14 Harbour Terrace",
        "Una Tallon", "Dr Maura Tansey", "obstetrician", "Maeve Ashgrove", "DOB 4 May 1993",
        "28 weeks and 4 days", "21 February 2027", "no impact", OFFERS, "go ahead",
        "go ahead, with limits", "advised against at present", "not lying flat",
        "no loaded curling of the trunk", "gentle recovery work only", "lifting up to",
        "effort up to", "of 10", "heart rate up to", "a minute", "other limits", "Examined on",
        "Valid until", "until the birth", "Dizzy or faint, 2 December 2026",
        "A low placenta, 12 November 2026", "what is not ticked stays open", "Name", "Profession",
        "Signature", "Date", "una@example.org", "She agreed on 2 November 2026 that I write to you",
        CAUTION, "Confidential",
    )  # fmt: skip
    assert [words for words in wanted if words not in text] == []


def test_it_does_not_ask_what_does_not_apply(tmp_path: Path) -> None:
    running = text_of(letter_pdf(paper()), tmp_path)
    assert "first six weeks" not in running
    from coach.scheduling.values import Stage

    after = text_of(letter_pdf(paper(stage=Stage.WEEKS_0_6, named=())), tmp_path)
    assert "more than gentle recovery work in the first six weeks as well" in after
    assert ("until the birth" in after, "by name" in after) == (False, False)


def test_a_referral_says_what_was_seen_and_done_and_what_is_asked(tmp_path: Path) -> None:
    parts = (
        ("What was reported or seen", "Dizzy twice in the session."),
        ("What was done", f"{DONE['stopped']} {DONE['told']} {HELD}"),
        ("What I ask", ASKS),
    )
    text = text_of(letter_pdf(paper("referral", parts=parts)), tmp_path)
    places = [text.index(words) for words in (
        "Referral", "What was reported or seen", "Dizzy twice", "What was done",
        DONE["stopped"], "on hold until a clinician has answered", "What I ask", ASKS,
        "Your answer, please", "Dizzy or faint, 2 December 2026",
    )]  # fmt: skip
    assert places == sorted(places)


def test_without_consent_it_says_that_she_hands_it_over(tmp_path: Path) -> None:
    text = text_of(letter_pdf(paper(consented_on=None)), tmp_path)
    assert "She hands you this letter herself." in text
    assert "agreed" not in text


def test_what_is_not_known_is_told_as_such(tmp_path: Path) -> None:
    from dataclasses import replace

    made = replace(paper(to=("", "")), born="not known")
    text = text_of(letter_pdf(made), tmp_path)
    assert ("DOB not known" in text, "Her clinician" in text) == (True, True)


def crowded(**changes: Any) -> dict[str, Any]:
    """Sixteen things to answer, long names, and as much text as the forms take."""
    named = [f"A sign with a rather long name, number {n} (in the morning), 2 December 2026"
             for n in range(16)]  # fmt: skip
    text = ("Strength, balance, breathing. " * 40)[:900]
    parts = (("What was reported or seen", text), ("What I ask", text))
    return {"name": LONG, "to": (LONG, "pelvic-health physiotherapist"), "named": named,
            "parts": parts, **changes}  # fmt: skip


@pytest.mark.parametrize("kind", ["clearance", "referral"])
@pytest.mark.parametrize("changes", [{}, crowded()], ids=["usual", "crowded"])
def test_it_is_one_page_of_a4_within_its_margins(
    kind: str, changes: dict[str, Any], tmp_path: Path
) -> None:
    made = letter_pdf(paper(kind, **changes))
    assert pages(made, tmp_path) == 1
    assert " x ".join(A4) in tool("pdfinfo", made, tmp_path)
    assert outside(made, tmp_path) == []


def test_what_no_page_holds_goes_on_overleaf_and_nothing_is_lost(tmp_path: Path) -> None:
    named = [f"Sign number {n} with something long added to it in many words, 2 December 2026"
             for n in range(90)]  # fmt: skip
    made = letter_pdf(paper(**crowded(named=named)))
    text = text_of(made, tmp_path)
    assert pages(made, tmp_path) == 2
    assert [n for n in range(90) if f"Sign number {n} " not in text] == []
    assert "Signature" in text


@pytest.mark.parametrize("name", NAMES.values(), ids=NAMES.keys())
def test_names_in_every_script_hold(name: str, tmp_path: Path) -> None:
    made = letter_pdf(paper(name=name, to=(name, "family doctor")))
    assert pages(made, tmp_path) == 1
    assert outside(made, tmp_path) == []
    assert "□" not in text_of(made, tmp_path)


def test_a_greek_name_is_parted_after_its_hyphen(tmp_path: Path) -> None:
    text = tool("pdftotext", letter_pdf(paper(name=NAMES["Greek"])), tmp_path, "-raw")
    lines = [line for line in text.splitlines() if "I coach" not in line]
    assert [line for line in lines if line.endswith(" Χατζηγεωργίου")] != []
    assert [line for line in lines if line.endswith(" Παπαδοπούλου-")] != []


def test_every_font_is_embedded(tmp_path: Path) -> None:
    made = letter_pdf(paper(name=" ".join(list(NAMES.values())[:5])))
    lines = tool("pdffonts", made, tmp_path).splitlines()[2:]
    assert len(lines) > 4
    assert [line for line in lines if line.split()[-5:-2] != ["yes", "yes", "yes"]] == []


def test_equal_letters_give_equal_bytes_and_the_file_says_what_it_is(tmp_path: Path) -> None:
    made = letter_pdf(paper())
    assert made == letter_pdf(paper())
    told = tool("pdfinfo", made, tmp_path)
    assert "Request for clearance: Maeve Ashgrove" in told
    assert "Dec  3" in told


def test_no_word_of_the_paper_itself_says_too_much(tmp_path: Path) -> None:
    """All that stands on every letter, whoever it is about; what is hers alone is left out."""
    from clients.rules.letter_words import About
    from clients.rules.profile import Profile
    from coach.scheduling.values import Stage

    for kind in ("clearance", "referral"):
        for stage in Stage:
            about = About("Ines P.", date(1990, 1, 1), Profile(stage, "3 weeks since"), (), True)
            text = text_of(letter_pdf(paper(kind, about=about, named=())), tmp_path).casefold()
            assert [word for word in NEVER_IF_QUIET if word in text] == []
