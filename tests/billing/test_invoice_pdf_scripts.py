"""Names in every script that the fonts cover, and the fonts themselves."""

from __future__ import annotations

import hashlib
import re
import unicodedata
from dataclasses import replace
from pathlib import Path

import pytest
from bidi.mirror import MIRRORED

from coach.billing.documents import invoice_pdf, uncovered
from coach.billing.documents.direction import as_printed, shaped
from coach.billing.documents.faces import FOLDER, Face, covers
from coach.billing.documents.text import Style, set_text
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


def test_arabic_is_printed_joined_and_from_right_to_left() -> None:
    """Unicode, Arabic Presentation Forms-B: seen initial, alef final, reh isolated, teh marbuta
    isolated; the last letter comes first from the left."""
    (line,) = set_text("سارة", Style(), 500)
    printed = "".join(text for _, text in line.pieces)
    assert [unicodedata.name(char) for char in printed] == [
        "ARABIC LETTER TEH MARBUTA ISOLATED FORM",
        "ARABIC LETTER REH ISOLATED FORM",
        "ARABIC LETTER ALEF FINAL FORM",
        "ARABIC LETTER SEEN INITIAL FORM",
    ]


def test_a_latin_name_inside_arabic_keeps_its_order_and_its_brackets() -> None:
    assert as_printed("א (Leila) ב", "R") == "ב (Leila) א"
    assert as_printed("Leila (אב) al-Ahmad", "L") == "Leila (בא) al-Ahmad"
    assert as_printed("שרה (Sara) 12", "R") == "12 (Sara) הרש"


CASES = [
    line
    for line in (Path(__file__).parent / "bidi_character_test.txt").read_text().splitlines()
    if not line.startswith("#")
]


@pytest.mark.parametrize("case", CASES)
def test_order_is_that_of_the_unicode_bidirectional_algorithm(case: str) -> None:
    """Unicode Character Database, BidiCharacterTest 15.0.0; mirroring by UAX 9, rule L4."""
    codes, direction, _, levels, order = (field.split() for field in case.split(";"))
    text = "".join(chr(int(code, 16)) for code in codes)
    mirrored = [
        MIRRORED.get(char, char) if int(level) % 2 else char
        for char, level in zip(text, levels, strict=True)
    ]
    printed = as_printed(text, "LR"[int(direction[0])])
    assert printed == "".join(mirrored[int(place)] for place in order)


def test_ideographs_are_broken_between_characters_but_not_before_a_full_stop() -> None:
    style = Style(size=10)
    lines = [
        "".join(text for _, text in line.pieces) for line in set_text("山田太郎。" * 3, style, 45)
    ]
    assert "".join(lines) == "山田太郎。" * 3
    assert len(lines) > 3
    assert [line for line in lines if line.startswith("。")] == []


def test_every_word_is_in_one_font_where_one_covers_it() -> None:
    (line,) = set_text("Nguyễn", Style(), 500)
    assert line.pieces == (("NotoSans-Regular", "Nguyễn"),)


def test_a_decomposed_accent_prints_as_the_composed_letter() -> None:
    (line,) = set_text(unicodedata.normalize("NFD", "Ní"), Style(), 500)
    assert line.pieces == (("AtkinsonHyperlegibleNext-Regular", "Ní"),)


def test_what_no_font_covers_is_named_and_prints_as_a_box(tmp_path: Path) -> None:
    assert uncovered("Aoife 😀 अनु\n") == {"😀", "अ", "न", "ु"}
    assert "Aoife □ □□□" in plain(text_of(paper(buyer=("Aoife 😀 अनु",)), tmp_path))


def test_marks_that_cannot_be_seen_are_neither_missing_nor_printed() -> None:
    assert uncovered("A\u200bB\u200d\u2067\ufe0f\U000e0100") == set()
    (line,) = set_text("A\u200bB\ufe0f", Style(), 500)
    assert line.pieces == (("AtkinsonHyperlegibleNext-Regular", "AB"),)


@pytest.mark.parametrize("codec", ["gb2312", "big5", "shift_jis", "euc_kr"])
def test_the_ideographs_kana_and_hangul_of_the_national_standards_are_covered(codec: str) -> None:
    """The character sets themselves, as Python's codecs hold them."""
    ranges = (range(0x3041, 0x3097), range(0x30A1, 0x30FB), range(0x4E00, 0xA000))
    wanted = [chr(code) for span in (*ranges, range(0xAC00, 0xD7A4)) for code in span]
    held = [char for char in wanted if char.encode(codec, "ignore")]
    assert len(held) > 5000
    assert uncovered("".join(held)) == set()


def test_joined_forms_of_every_arabic_letter_are_covered() -> None:
    letters = [chr(code) for code in range(0x620, 0x6D4) if unicodedata.category(chr(code)) == "Lo"]
    forms = {char for letter in letters for char in shaped(f"{letter}ب{letter}ب{letter}")}
    fonts = Face.TEXT.value
    assert len(letters) > 100
    assert [char for char in forms if not any(covers(font, char) for font in fonts)] == []


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


def test_figures_are_of_equal_width() -> None:
    styles = [Style(face, 10) for face in (Face.TEXT, Face.STRONG)]
    widths = [
        {set_text(figure * 6, style, 500)[0].width for figure in "0123456789"} for style in styles
    ]
    assert [len(found) for found in widths] == [1, 1]


def test_every_font_is_listed_with_its_checksum_and_licence() -> None:
    listed = (FOLDER / "VENDORED.md").read_text()
    files = sorted(FOLDER.glob("*.ttf"))
    sums = [hashlib.sha256(file.read_bytes()).hexdigest() for file in files]
    assert re.findall(r"^\| (\S+\.ttf) \| (\d+) \| (\w+) \|$", listed, re.M) == [
        (file.name, str(file.stat().st_size), digest)
        for file, digest in zip(files, sums, strict=True)
    ]
    licences = set(re.findall(r"SIL OFL 1\.1, (\S+\.txt)", listed))
    assert licences == {file.name for file in FOLDER.glob("*.txt")}
    assert sum(file.stat().st_size for file in files) < 12_000_000


def test_no_font_of_a_face_is_missing() -> None:
    wanted = {f"{font}.ttf" for face in Face for font in face.value}
    assert wanted == {file.name for file in FOLDER.glob("*.ttf")}
