"""The fonts in fonts/, loaded when first needed, and which of them covers what."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from enum import Enum
from functools import cache
from itertools import groupby
from pathlib import Path
from threading import Lock

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

FOLDER = Path(__file__).parent / "fonts"
BOX = "□"
"""Printed for what no font covers, so that the gap is seen."""

_REST = ("NotoSansSC-Regular", "NotoSansKR-Regular")
_REGULAR = ("NotoSans-Regular", "NotoSansArabic-Regular", "NotoSansHebrew-Regular", *_REST)
_SEMIBOLD = ("NotoSans-SemiBold", "NotoSansArabic-SemiBold", "NotoSansHebrew-SemiBold", *_REST)


class Face(Enum):
    """A typeface as the fonts that are tried in turn; the two large ones come last."""

    TEXT = ("AtkinsonHyperlegibleNext-Regular", *_REGULAR)
    STRONG = ("AtkinsonHyperlegibleNext-SemiBold", *_SEMIBOLD)
    DISPLAY = ("Literata-Medium", *_SEMIBOLD)


def clean(text: str) -> str:
    """Composed (Unicode NFC), on one line, without controls; joiners and direction marks stay."""
    composed = unicodedata.normalize("NFC", text).replace("\u202f", "\u00a0")
    spaced = "".join(" " if _is_space(char) else char for char in composed)
    return re.sub(" +", " ", spaced).strip()


def _is_space(char: str) -> bool:
    return unicodedata.category(char) in {"Cc", "Zs", "Zl", "Zp"} and char != "\u00a0"


def unseen(char: str) -> bool:
    """Whether a character leaves no mark of its own: joiners, direction marks, variants."""
    return (
        unicodedata.category(char) == "Cf" or "\ufe00" <= char <= "\ufe0f" or char >= "\U000e0100"
    )


def uncovered(text: str) -> set[str]:
    """The characters of a text that no font here covers; they print as empty boxes."""
    seen = {char for char in clean(text) if not unseen(char)}
    return {char for char in seen if not any(covers(font, char) for font in Face.TEXT.value)}


def in_fonts(text: str, face: Face) -> Iterator[tuple[str, str]]:
    """The text in pieces (font, characters); a word stays in one font where one covers it all."""
    pairs = [pair for word in _words(text) for pair in _word_in_fonts(word, face.value)]
    for font, piece in groupby(pairs, key=lambda pair: pair[0]):
        yield font, "".join(part for _, part in piece)


def covers(font: str, char: str) -> bool:
    """Whether the font has a glyph for the character."""
    return ord(char) in load(font).face.charToGlyph


_ONE_AT_A_TIME = Lock()  # a font registered anew would break a document that is being written


def load(name: str) -> TTFont:
    """The font, registered once with the PDF library under its file's name."""
    with _ONE_AT_A_TIME:
        return _loaded(name)


@cache
def _loaded(name: str) -> TTFont:
    font = TTFont(name, str(FOLDER / f"{name}.ttf"))
    pdfmetrics.registerFont(font)
    return font


def _words(text: str) -> Iterator[str]:
    seen = "".join(char for char in text if not unseen(char))
    return iter(re.findall("[ \u00a0]+|[^ \u00a0]+", seen))


def _word_in_fonts(word: str, fonts: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    for font in fonts:
        if all(covers(font, char) for char in word):
            return iter([(font, word)])
    return (_char_in_font(char, fonts) for char in word)


def _char_in_font(char: str, fonts: tuple[str, ...]) -> tuple[str, str]:
    for font in fonts:
        if covers(font, char):
            return font, char
    return _REST[0], BOX
