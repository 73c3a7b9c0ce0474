"""Text into lines: shaped, broken to a width, put into reading order and drawn font by font."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass

from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas

from coach.practice.print.direction import as_printed, base_direction, shaped
from coach.practice.print.faces import Face, clean, in_fonts

INK, SOFT, HAIR, DAMSON = "#2a2530", "#645b66", "#cfc8c2", "#7a2748"


@dataclass(frozen=True, slots=True)
class Style:
    """How a text is set; size and leading in points."""

    face: Face = Face.TEXT
    size: float = 10
    leading: float = 14
    colour: str = INK


@dataclass(frozen=True, slots=True)
class Line:
    """One printed line: its pieces from left to right with their fonts, and its width."""

    pieces: tuple[tuple[str, str], ...]
    width: float
    style: Style

    def draw(self, canvas: Canvas, x: float, y: float) -> None:
        """Draw it with its base line at y, starting at x."""
        canvas.setFillColor(self.style.colour)
        for font, text in self.pieces:
            canvas.setFont(font, self.style.size)
            canvas.drawString(x, y, text)
            x += stringWidth(text, font, self.style.size)


def set_text(text: str, style: Style, width: float) -> tuple[Line, ...]:
    """The text in lines no wider than `width`; at least one, which may be empty."""
    paragraphs = text.splitlines() or [""]
    return tuple(line for part in paragraphs for line in _paragraph(part, style, width))


def _paragraph(text: str, style: Style, width: float) -> Iterator[Line]:
    joined = shaped(clean(text))
    base = base_direction(joined)
    return (_line(line, style, base) for line in _broken(joined, style, width) or [""])


def set_line(text: str, style: Style, width: float = float("inf")) -> Line:
    """The text on a single line; one that is too long ends in an ellipsis."""
    text = clean(text)
    line = set_text(text, style, float("inf"))[0]
    while line.width > width and text:
        text = text[:-1].rstrip()
        line = set_text(f"{text}…", style, float("inf"))[0]
    return line


def _line(text: str, style: Style, base: str) -> Line:
    pieces = tuple(in_fonts(as_printed(text, base), style.face))
    return Line(pieces, sum(stringWidth(part, font, style.size) for font, part in pieces), style)


def _width(text: str, style: Style) -> float:
    pieces = in_fonts(text, style.face)
    return float(sum(stringWidth(part, font, style.size) for font, part in pieces))


# Ideographs and kana may be parted anywhere, but closing marks stay with what they close.
_IDEOGRAPHS = "\u2e80-\u2fff\u3040-\u31ff\u3400-\u9fff\uf900-\ufaff\U00020000-\U0002ffff"
_CLOSING = (
    "\u3001\u3002\u3009\u300b\u300d\u300f\u3011\uff01\uff09\uff0c\uff0e\uff1a\uff1b\uff1f々ー"
)
_PIECE = re.compile(f" +|[{_IDEOGRAPHS}][{_CLOSING}]*|[^ {_IDEOGRAPHS}]+")


def _broken(text: str, style: Style, width: float) -> list[str]:
    lines: list[str] = []
    line = ""
    for piece in _pieces(text, style, width):
        if line and _width((line + piece).rstrip(), style) > width:
            lines.append(line.rstrip())
            line = ""
        if line or piece.strip():
            line += piece
    return [*lines, line.rstrip()] if line.strip() else lines


def _pieces(text: str, style: Style, width: float) -> Iterator[str]:
    for piece in _PIECE.findall(text):
        # A word that is too wide is parted after its hyphens first.
        whole = _width(piece, style) <= width
        for part in [piece] if whole else re.split("(?<=-)", piece):
            if _width(part, style) <= width:
                yield part
            else:
                yield from _chopped(part, style, width)


def _chopped(word: str, style: Style, width: float) -> Iterator[str]:
    """A word that is wider than the line, cut where it has to be, never before a mark on it."""
    part = ""
    for char in word:
        if part and not unicodedata.combining(char) and _width(part + char, style) > width:
            yield part
            part = ""
        part += char
    yield part
