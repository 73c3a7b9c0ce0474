"""Text on paper: shaped, ordered, broken and set font by font; and the fonts themselves."""

from __future__ import annotations

import hashlib
import re
import subprocess
import sys
import unicodedata
from pathlib import Path

import pytest
from bidi.mirror import MIRRORED

from coach.practice.print.direction import as_printed, shaped
from coach.practice.print.faces import FOLDER, Face, covers, uncovered
from coach.practice.print.paper import A4, Block, Rule, height, in_pages
from coach.practice.print.text import Style, set_text


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


def test_a_word_that_is_too_wide_is_parted_after_its_hyphens_first() -> None:
    def lines(text: str, width: float) -> list[str]:
        return ["".join(t for _, t in line.pieces) for line in set_text(text, Style(), width)]

    assert lines("Papadopoulou-Hatzigeorgiou", 80) == ["Papadopoulou-", "Hatzigeorgiou"]
    assert lines("Anna-Maria", 80) == ["Anna-Maria"]
    assert "".join(lines("X" * 40, 80)) == "X" * 40


def test_blocks_fill_a_page_and_then_the_next() -> None:
    blocks = [Block(100, rules=(Rule(0, 1, 0),))] * 8
    pages = in_pages(blocks, Block(30), A4.room)
    assert [len(page) for page in pages] == [7, 2]  # the second begins with its short head
    assert [height(page) for page in pages] == [700, 130]


def test_printing_loads_neither_django_nor_the_clock() -> None:
    line = (
        "import sys, coach.practice.print.paper;"
        "print([name for name in sys.modules if name in ('django', 'coach.clock')])"
    )
    done = subprocess.run([sys.executable, "-c", line], capture_output=True, check=True, text=True)
    assert done.stdout.strip() == "[]"
