"""Sheets of paper: blocks stacked from the top, broken over pages, drawn with a foot on each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from io import BytesIO
from threading import Lock
from typing import Any

from reportlab.pdfgen.canvas import Canvas

from coach.practice.print.faces import Face, load
from coach.practice.print.text import HAIR, INK, SOFT, Line, Style, set_line


@dataclass(frozen=True, slots=True)
class Sheet:
    """A size of paper with its margins, in points (72 to the inch)."""

    width: float
    height: float
    side: float = 57
    top: float = 54
    bottom: float = 72

    @property
    def inner(self) -> float:
        """The width between the margins."""
        return self.width - 2 * self.side

    @property
    def room(self) -> float:
        """The height between the margins."""
        return self.height - self.top - self.bottom


A4, LETTER = Sheet(595.28, 841.89), Sheet(612, 792)


@dataclass(frozen=True, slots=True)
class Text:
    """A line at its place in a block: from the left margin, and its base line from the top."""

    x: float
    down: float
    line: Line


@dataclass(frozen=True, slots=True)
class Rule:
    """A ruled line in a block, as thick as `weight`."""

    x: float
    to: float
    down: float
    weight: float = 0.5
    colour: str = HAIR


@dataclass(frozen=True, slots=True)
class Box:
    """An empty square to tick, `size` high, standing on the base line `down` from the top."""

    x: float
    down: float
    size: float = 8


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing of the PDF library in a block: its upper left corner from the left and the top."""

    x: float
    down: float
    drawing: Any


@dataclass(frozen=True, slots=True)
class Block:
    """What stays together on one page.

    `with_next` keeps it on the page of the block that follows. When it is the
    first that no longer fits, `leave` is printed under what came before and
    `resume` above it on the new page; `reserve` is the height kept free for that.
    """

    height: float
    texts: tuple[Text, ...] = ()
    rules: tuple[Rule, ...] = ()
    with_next: bool = False
    leave: Block | None = None
    resume: tuple[Block, ...] = ()
    reserve: float = 0
    boxes: tuple[Box, ...] = ()
    drawings: tuple[Figure, ...] = ()


@dataclass(frozen=True, slots=True)
class About:
    """What the file says of itself, and what stands at the foot of each page.

    `made` is the day given as the file's own, so that no clock is read.
    """

    title: str
    author: str
    language: str
    foot: str
    made: date | None = None


def right(text: str, edge: float, down: float, style: Style) -> Text:
    """A line that ends at `edge`."""
    line = set_line(text, style)
    return Text(edge - line.width, down, line)


def tied(blocks: Sequence[Block]) -> tuple[Block, ...]:
    """The blocks, each kept on the page of the next."""
    return (*(replace(block, with_next=True) for block in blocks[:-1]), *blocks[-1:])


def height(blocks: Sequence[Block]) -> float:
    """How much of a page the blocks take."""
    return sum(block.height for block in blocks)


def in_pages(blocks: Sequence[Block], again: Block, room: float) -> list[list[Block]]:
    """The blocks page by page; `again` stands at the head of every page but the first."""
    pages: list[list[Block]] = [[]]
    for group in _groups(blocks, room - again.height):
        if pages[-1] and height(pages[-1]) + height(group) + group[-1].reserve > room:
            pages[-1] += [group[0].leave] if group[0].leave else []
            pages.append([again, *group[0].resume])
        pages[-1] += group
    return pages


def _groups(blocks: Sequence[Block], room: float) -> Iterator[list[Block]]:
    """Blocks that stay together; a group that is higher than a page is let go."""
    group: list[Block] = []
    for block in blocks:
        group.append(block)
        if not block.with_next:
            yield from [group] if height(group) <= room else [[one] for one in group]
            group = []
    if group:
        yield group


_ONE_AT_A_TIME = Lock()  # a font of the PDF library serves one document at a time


def printed(pages: Sequence[Sequence[Block]], sheet: Sheet, about: About) -> bytes:
    """The pages as a PDF; equal pages give equal bytes."""
    with _ONE_AT_A_TIME:
        file = BytesIO()
        canvas = _canvas(file, sheet, about)
        for number, page in enumerate(pages, 1):
            _draw(canvas, page, sheet)
            _foot(canvas, sheet, about.foot, f"page {number} of {len(pages)}")
            canvas.showPage()
        canvas.save()
        return file.getvalue()


def _canvas(file: BytesIO, sheet: Sheet, about: About) -> Canvas:
    first = load(Face.TEXT.value[0]).fontName  # else a font that isn't embedded stays listed
    size = (sheet.width, sheet.height)
    canvas = Canvas(file, size, invariant=1, initialFontName=first, lang=about.language)
    canvas.setTitle(about.title)
    canvas.setAuthor(about.author)
    canvas.setSubject(about.title)
    if about.made:
        canvas.setDateFormatter(lambda *_clock: f"D:{about.made:%Y%m%d}000000Z")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    return canvas


def _draw(canvas: Canvas, page: Sequence[Block], sheet: Sheet) -> None:
    y = sheet.height - sheet.top
    for block in page:
        for rule in block.rules:
            _rule(canvas, rule, sheet.side, y)
        for box in block.boxes:
            _box(canvas, box, sheet.side, y)
        for text in block.texts:
            text.line.draw(canvas, sheet.side + text.x, y - text.down)
        for figure in block.drawings:
            _figure(canvas, figure, sheet.side, y)
        y -= block.height


def _rule(canvas: Canvas, rule: Rule, left: float, y: float) -> None:
    canvas.setStrokeColor(rule.colour)
    canvas.setLineWidth(rule.weight)
    canvas.line(left + rule.x, y - rule.down, left + rule.to, y - rule.down)


def _box(canvas: Canvas, box: Box, left: float, y: float) -> None:
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(0.7)
    canvas.rect(left + box.x, y - box.down, box.size, box.size)


def _figure(canvas: Canvas, figure: Figure, left: float, y: float) -> None:
    from reportlab.graphics import renderPDF  # noqa: PLC0415  # slow to load

    low = y - figure.down - figure.drawing.height
    renderPDF.draw(figure.drawing, canvas, left + figure.x, low)


def _foot(canvas: Canvas, sheet: Sheet, foot: str, page: str) -> None:
    style = Style(size=8.5, colour=SOFT)
    y = sheet.bottom - 30
    _rule(canvas, Rule(0, sheet.inner, 0, 0.5, INK), sheet.side, y + 14)
    count = right(page, sheet.inner, 0, style)
    count.line.draw(canvas, sheet.side + count.x, y)
    set_line(foot, style, count.x - 20).draw(canvas, sheet.side, y)
