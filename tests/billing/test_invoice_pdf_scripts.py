"""Names in every script that the fonts cover, on an invoice."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from coach.billing.documents import invoice_pdf, uncovered
from tests.billing.papers import PASS, paper, plain, read, text_of

pytestmark = pytest.mark.poppler

NAMES = {
    "Latin": "Łucja Żółć-Ó Súilleabháin Šķēle",
    "Vietnamese": "Nguyễn Thị Ánh",
    "Greek": "Ελένη Παπαδοπούλου",
    "Cyrillic": "Світлана Ґалаґан",
    "Arabic": "ليلى الأحمد",
    "Persian": "پریسا ژاله گل",
    "Hebrew": "שרה כהן",
    "simplified Chinese": "王小明 赵丽",
    "traditional Chinese": "陳怡君 鄭",
    "Japanese": "山田 太郎 ハナコ さくら",
    "Korean": "김민지 박서연",
}
EVERYBODY = paper(
    buyer=tuple(NAMES.values()), lines=(replace(PASS, text=" / ".join(NAMES.values())),)
)


@pytest.mark.parametrize("name", NAMES.values(), ids=NAMES.keys())
def test_a_name_comes_back_in_its_letters_and_their_order(name: str, tmp_path: Path) -> None:
    assert uncovered(name) == set()
    assert plain(name) in plain(text_of(paper(buyer=(name,)), tmp_path))


@pytest.mark.parametrize("place", ["seller", "number", "notes", "payment", "supplied"])
def test_every_place_prints_every_script(place: str, tmp_path: Path) -> None:
    name = "Ελένη 王小明 김민지"
    made = paper(**{place: name if place in {"number", "supplied"} else (name,)})
    assert name in plain(text_of(made, tmp_path))


def test_what_no_font_covers_is_named_and_prints_as_a_box(tmp_path: Path) -> None:
    assert uncovered("Aoife 😀 अनु\n") == {"😀", "अ", "न", "ु"}
    assert "Aoife □ □□□" in plain(text_of(paper(buyer=("Aoife 😀 अनु",)), tmp_path))


def test_all_fonts_are_embedded_as_truetype_and_cut_to_what_is_used(tmp_path: Path) -> None:
    pdf = invoice_pdf(EVERYBODY)
    told = read("pdffonts", pdf=pdf, folder=tmp_path)
    fonts = re.findall(r"^([A-Z]{6})\+(\S+)\s+(TrueType)\s+\S+\s+yes yes yes ", told, re.M)
    assert len(fonts) == len(told.splitlines()) - 2
    assert {name for _, name, _ in fonts} >= {
        "AtkinsonHyperlegibleNext-Regular", "AtkinsonHyperlegibleNext-SemiBold",
        "Literata-Regular", "NotoSans-Regular", "NotoSansArabic-Regular", "NotoSansHebrew-Regular",
        "NotoSansSC-Regular", "NotoSansKR-Regular",
    }  # fmt: skip
    assert "Helvetica" not in told
    assert len(pdf) < 150_000
