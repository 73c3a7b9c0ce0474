"""The head of the paper: title and number, who and to whom, and the dates."""

from __future__ import annotations

from itertools import zip_longest

from coach.billing.documents.values import InvoicePaper
from coach.billing.documents.words import DRAFT, beneath, called, day
from coach.practice.print.faces import Face
from coach.practice.print.paper import Block, Rule, Sheet, Text, right, tied
from coach.practice.print.text import DAMSON, INK, SOFT, Line, Style, set_line, set_text

_TITLE_SIZES = (32, 26, 20, 15)
_LABEL = Style(size=8.5, leading=14, colour=SOFT)
_NAME = Style(Face.STRONG, 10.5, 14.5)
_PLAIN = Style(size=10, leading=14)
_STEP = 14.2


def masthead(paper: InvoicePaper, sheet: Sheet) -> tuple[Block, ...]:
    """Title at the left, number at the right, the damson rule, and what is to be said beneath."""
    title = set_line(str(paper.title), Style(Face.DISPLAY, _TITLE_SIZES[0]))
    number = _number(paper.number or DRAFT, sheet.inner - title.width - 30)
    drop = 14 + 18 * len(number)
    texts = [Text(sheet.inner - line.width, 28 + 18 * n, line) for n, line in enumerate(number)]
    rule = Rule(0, sheet.inner, drop + 10, 1.8, DAMSON)
    head = Block(drop + 24, (Text(0, 28, title), *texts), (rule,))
    said = set_text(beneath(paper), Style(size=10.5), sheet.inner) if beneath(paper) else ()
    return (head, *(Block(15, (Text(0, 12, line),)) for line in said), Block(18 if said else 10))


def _number(number: str, width: float) -> tuple[Line, ...]:
    """On one line as large as it fits, else in the smallest size on several."""
    for size in _TITLE_SIZES:
        lines = set_text(number, Style(Face.DISPLAY, size), width)
        if len(lines) == 1:
            break
    return lines


def parties(paper: InvoicePaper, sheet: Sheet) -> tuple[Block, ...]:
    """Seller, buyer and dates beside each other, line by line."""
    wide, gap = sheet.inner * 0.37, 22
    columns = (
        (0.0, _party("From", paper.seller, paper.seller_tax_number, wide - gap)),
        (wide, _party("To", paper.buyer, paper.buyer_tax_number, wide - gap)),
        (wide * 2, _dates(paper, sheet.inner - wide * 2)),
    )
    rows = zip_longest(*(lines for _, lines in columns))
    placed = (
        tuple(Text(x, _base(line), line) for (x, _), line in zip(columns, row, strict=True) if line)
        for row in rows
    )
    return (*(Block(_STEP, texts) for texts in placed), Block(22))


def _base(line: Line) -> float:
    """A label stands a little lower, nearer to what it names."""
    return 12 if line.style == _LABEL else 10


def _party(label: str, lines: tuple[str, ...], tax_number: str, width: float) -> list[Line]:
    rest = [*lines[1:], *([f"Tax number {tax_number}"] if tax_number else [])]
    named = set_text(lines[0], _NAME, width) if lines else ()
    plain = [line for text in rest if text.strip() for line in set_text(text, _PLAIN, width)]
    return [set_line(label, _LABEL), *named, *plain]


def _dates(paper: InvoicePaper, width: float) -> list[Line]:
    issued = day(paper.issued_on, paper.locale) if paper.issued_on else ""
    pay_by = day(paper.pay_by, paper.locale) if paper.pay_by else ""
    pairs = (("Issued on", issued), ("Pay by", pay_by), ("Supplied", paper.supplied))
    return [
        line
        for label, text in pairs
        if text
        for line in (set_line(label, _LABEL), *set_text(text, _PLAIN, width))
    ]


def again(paper: InvoicePaper, sheet: Sheet) -> Block:
    """The short head of every page after the first."""
    name = set_line(called(paper), Style(Face.DISPLAY, 13, colour=INK), sheet.inner - 80)
    more = right("continued", sheet.inner, 12, _LABEL)
    return Block(38, (Text(0, 12, name), more), (Rule(0, sheet.inner, 20, 1.2, DAMSON),))


def section(title: str, lines: tuple[str, ...], sheet: Sheet) -> tuple[Block, ...]:
    """A heading with its lines beneath, for how to pay and for notes; nothing without lines."""
    set_lines = [
        line for text in lines if text.strip() for line in set_text(text, _PLAIN, sheet.inner * 0.8)
    ]
    if not set_lines:
        return ()
    heading = Block(38, (Text(0, 30, set_line(title, Style(Face.DISPLAY, 12.5))),))
    blocks = [Block(_STEP, (Text(0, 10, line),)) for line in set_lines]
    return (*tied([heading, blocks[0]]), *blocks[1:])
