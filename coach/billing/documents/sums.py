"""The lines of the paper as a table that runs over pages, and the sums beneath it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate

from coach.billing.documents.values import InvoicePaper, PaperLine
from coach.billing.documents.words import SUMS, amount, no_tax, rate, taxed
from coach.practice.print.faces import Face
from coach.practice.print.paper import Block, Rule, Sheet, Text, right
from coach.practice.print.text import INK, SOFT, Line, Style, set_line, set_text

_LABEL = Style(size=8.5, leading=14, colour=SOFT)
_PLAIN = Style(size=10, leading=14)
_STRONG = Style(Face.STRONG, 10.5, 14)
_GRAND = Style(Face.DISPLAY, 16, 20)
_GAP = 20.0
_STEP = 14.0
_CARRY = 24.0
_MOST_LINES = 20
"""A text longer than this goes on in a further row, which may stand on the next page."""


@dataclass(frozen=True, slots=True)
class Columns:
    """The heads of the columns of figures, where each ends, and the width left for the text."""

    heads: tuple[str, ...]
    edges: tuple[float, ...]
    text: float


def table(paper: InvoicePaper, sheet: Sheet) -> tuple[Block, ...]:
    """The head and a row for each line; a page that breaks it off carries the sum over."""
    columns = _columns(paper, sheet.inner)
    head = _head(columns)
    before = accumulate((line.net_minor for line in paper.lines), initial=0)
    rows = [
        _broken_off(row, head, amount(net, paper), sheet) if n else row
        for n, (line, net) in enumerate(zip(paper.lines, before, strict=False))
        for row in _rows(line, columns, paper)
    ]
    return (head, *rows)


def _columns(paper: InvoicePaper, inner: float) -> Columns:
    heads = ("Quantity", "Price of one", *(("Tax", "Net") if taxed(paper) else ("Amount",)))
    cells = [_figures(line, paper) for line in paper.lines]
    widths = [
        max(
            set_line(head, _LABEL).width,
            *(set_line(row[column], _PLAIN).width for row in cells),
            0,
        )
        for column, head in enumerate(heads)
    ]
    edges = [inner - sum(widths[n + 1 :]) - _GAP * (len(heads) - 1 - n) for n in range(len(heads))]
    return Columns(heads, tuple(edges), edges[0] - widths[0] - _GAP)


def _figures(line: PaperLine, paper: InvoicePaper) -> tuple[str, ...]:
    taxes = (rate(line.tax_bp),) if taxed(paper) else ()
    price, net = amount(line.unit_minor, paper), amount(line.net_minor, paper)
    return (str(line.quantity), price, *taxes, net)


def _head(columns: Columns) -> Block:
    cells = _cells(columns.heads, columns, 10, _LABEL)
    rule = Rule(0, columns.edges[-1], 17, 0.8, INK)
    return Block(18, (Text(0, 10, set_line("What", _LABEL)), *cells), (rule,), with_next=True)


def _cells(texts: Sequence[str], columns: Columns, down: float, style: Style) -> tuple[Text, ...]:
    pairs = zip(texts, columns.edges, strict=True)
    return tuple(right(text, edge, down, style) for text, edge in pairs)


def _rows(line: PaperLine, columns: Columns, paper: InvoicePaper) -> Iterator[Block]:
    lines = set_text(line.text, _PLAIN, columns.text)
    figures = _cells(_figures(line, paper), columns, 16, _PLAIN)
    for start in range(0, len(lines), _MOST_LINES):
        part = lines[start : start + _MOST_LINES]
        height = 10 + _STEP * len(part)
        texts = (Text(0, 16 + _STEP * n, one) for n, one in enumerate(part))
        rule = Rule(0, columns.edges[-1], height)
        yield Block(height, (*texts, *(() if start else figures)), (rule,), reserve=_CARRY)


def _broken_off(row: Block, head: Block, so_far: str, sheet: Sheet) -> Block:
    """The row with what is printed above and below the break, should a page end before it."""
    over, forward = (
        Block(
            _CARRY,
            (Text(0, 16, set_line(word, _LABEL)), right(so_far, sheet.inner, 16, _PLAIN)),
            (Rule(0, sheet.inner, _CARRY),),
        )
        for word in ("Carried over", "Brought forward")
    )
    return Block(
        row.height, row.texts, row.rules, leave=over, resume=(head, forward), reserve=row.reserve
    )


def totals(paper: InvoicePaper, sheet: Sheet) -> Block:
    """At the left the tax by rate, or why there is none; at the right the sums."""
    middle = sheet.inner * 0.54
    left, left_height = _tax_table(paper, middle - 2 * _GAP)
    texts, rules, height = _sums(paper, middle, sheet.inner)
    return Block(max(left_height, height) + 8, (*left, *texts), rules)


def _tax_table(paper: InvoicePaper, width: float) -> tuple[tuple[Text, ...], float]:
    texts: list[Text] = []
    down = 24.0
    if taxed(paper):
        texts, down = _rates(paper, width, down)
    for line in set_text(no_tax(paper), _PLAIN, width) if no_tax(paper) else ():
        texts.append(Text(0, down, line))
        down += _STEP
    return tuple(texts), down


def _rates(paper: InvoicePaper, width: float, down: float) -> tuple[list[Text], float]:
    edges = (width * 0.68, width)
    texts = [
        Text(0, down, set_line("Tax by rate", _LABEL)),
        right("Net", edges[0], down, _LABEL),
        right("Tax", edges[1], down, _LABEL),
    ]
    for tax in paper.taxes:
        down += _STEP + 3
        net, due = amount(tax.net_minor, paper), amount(tax.tax_minor, paper)
        figures = [right(net, edges[0], down, _PLAIN), right(due, edges[1], down, _PLAIN)]
        named = set_text(f"{tax.name} {rate(tax.bp)}", _PLAIN, figures[0].x - 10)
        texts += [*figures, *(Text(0, down + _STEP * n, one) for n, one in enumerate(named))]
        down += _STEP * (len(named) - 1)
    return texts, down + _STEP + 8


def _sums(
    paper: InvoicePaper, start: float, end: float
) -> tuple[tuple[Text, ...], tuple[Rule, ...], float]:
    total, paid, still = SUMS[paper.title]
    above = (("Net", paper.net_minor), ("Tax", paper.tax_minor)) if taxed(paper) else ()
    texts: list[Text] = []
    down = 24.0
    for word, minor in above:
        texts += _sum(word, amount(minor, paper), (start, end), down, _PLAIN)
        down += 17
    rules = tuple(Rule(start, end, down - 8 + gap, 0.6, INK) for gap in (0, 2.4))
    down += 14
    texts += _sum(total, amount(paper.gross_minor, paper), (start, end), down, _GRAND)
    down += 22
    for word, minor, style in _paid_and_open(paper, paid, still):
        texts += _sum(word, amount(minor, paper), (start, end), down, style)
        down += 17
    return tuple(texts), rules, down


def _paid_and_open(paper: InvoicePaper, paid: str, still: str) -> Iterator[tuple[str, int, Style]]:
    if paper.paid_minor:
        yield paid, paper.paid_minor, _PLAIN
    if paper.open_minor or paper.paid_minor:
        yield still, paper.open_minor, _STRONG


def _sum(
    word: str, figure: str, between: tuple[float, float], down: float, style: Style
) -> list[Text]:
    label: Line = set_line(word, style)
    return [Text(between[0], down, label), right(figure, between[1], down, style)]
