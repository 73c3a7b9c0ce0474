"""Ruled rows of a report: what changed in columns, a label with its text, a table."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from clients.documents.blanks import Look
from clients.rules.report_changes import Change
from clients.rules.report_paper import Group, ReportPaper
from clients.rules.report_table import Table
from coach.practice.print.paper import A4, Block, Rule, Sheet, Text, tied
from coach.practice.print.text import HAIR, SOFT, Style, set_line, set_text

SHEET = Sheet(A4.width, A4.height, top=46, bottom=58)
WIDTH = SHEET.inner
_COLUMNS = (0.0, 0.34, 0.53, 0.71)
_PAIRED = (0.0, 0.27, 0.46, 0.82)
_LABEL = 0.2
_GUTTER = 9.0
_LONG = 16  # letters of a value that stands beside another


def heading(head: str, look: Look) -> Block:
    """The head of a part."""
    line = set_line(head, look.heading, WIDTH)
    return Block(look.size * 2.3, (Text(0, look.size * 1.7, line),))


def in_columns(
    cells: Sequence[str], starts: Sequence[float], styles: Sequence[Style], look: Look, *,
    ruled: bool = True,
) -> Block:  # fmt: skip
    """A row; a cell that is too long runs over several lines."""
    ends = [*(start - _GUTTER for start in starts[1:]), WIDTH]
    laid = [
        set_text(cell, style, end - start)
        for cell, style, start, end in zip(cells, styles, starts, ends, strict=True)
    ]
    down = look.size * (1.22 if ruled else 1)
    texts = tuple(
        Text(start, down + n * look.step, line)
        for start, lines in zip(starts, laid, strict=True)
        for n, line in enumerate(lines)
    )
    tall = look.step * max(map(len, laid)) + (look.size * 0.34 if ruled else 0)
    return Block(tall, texts, (Rule(0, WIDTH, 0, 0.5, HAIR),) if ruled else ())


def labelled(
    label: str, text: str, look: Look, *, start: float = _LABEL, strong: bool = False
) -> Block:
    """A label with its text; `strong`: one that nobody may overlook."""
    styles = (look.strong if strong else look.label, look.plain)
    return in_columns((label, text), (0, WIDTH * start), styles, look)


def group_rows(group: Group, paper: ReportPaper, look: Look) -> list[Block]:
    """A part: what changed, under the way it was measured; then labels with their texts."""
    start = _COLUMNS[1] if group.ways and paper.count > 1 else _LABEL
    if paper.count == 1:
        told = list(_in_pairs(group.rows, look, start))
    else:
        told = [labelled(label, text, look, start=start) for label, text in group.rows]
    ways = [_way(*way, paper, look, first=not n) for n, way in enumerate(group.ways)]
    every = [heading(group.head, look), *(row for rows in ways for row in rows), *told]
    return [*tied(every[:2]), *every[2:]]


def _way(
    words: str, changes: Sequence[Change], paper: ReportPaper, look: Look, *, first: bool
) -> Iterator[Block]:
    """The rows of one way, its first under its head; where a page ends among them the head comes
    again.
    """
    alone = paper.count == 1
    head = _way_head(words, look, first=first, alone=alone)
    if alone:
        rows = list(_in_pairs([_value(one) for one in changes], look, _PAIRED[1]))
    else:
        rows = [_change(one, paper, look) for one in changes]
    yield from tied([*head, *rows[:2]])
    again = tuple(_way_head(words, look, first=True, alone=alone))
    yield from (replace(row, resume=again) for row in rows[2:])


def _way_head(words: str, look: Look, *, first: bool, alone: bool) -> list[Block]:
    """The words of the way; above the first of them what the columns hold."""
    if first and not alone:
        starts = [WIDTH * at for at in _COLUMNS]
        styles = [look.label] * len(starts)
        return [in_columns((words, "first", "latest", "change"), starts, styles, look, ruled=False)]
    if not words:
        return []
    return [in_columns((words,), (0,), (look.label,), look, ruled=not first)]


def _in_pairs(values: Sequence[tuple[str, str]], look: Look, start: float) -> Iterator[Block]:
    """Values of one assessment alone, two in a row; then each long one in a row of its own, which
    begins at `start`.
    """
    starts = [WIDTH * at for at in _PAIRED]
    short = [one for one in values if len(one[1]) <= _LONG]
    for n in range(0, len(short), 2):
        cells = [cell for one in short[n : n + 2] for cell in one]
        styles = [look.label, look.plain] * (len(cells) // 2)
        yield in_columns(cells, starts[: len(cells)], styles, look)
    yield from (labelled(*one, look, start=start) for one in values if len(one[1]) > _LONG)


def _value(one: Change) -> tuple[str, str]:
    return f"{one.label[:1].upper()}{one.label[1:]}", one.value_words(one.latest)


def _change(one: Change, paper: ReportPaper, look: Look) -> Block:
    label, value = _value(one)
    latest = f"{value}, {paper.brief(one.latest.day)}"
    first = f"{one.value_words(one.first)}, {paper.brief(one.first.day)}" if one.first else "–"
    styles = [look.label, look.plain, look.plain, look.strong if one.by else look.plain]
    starts = [WIDTH * at for at in _COLUMNS]
    return in_columns((label, first, latest, one.words), starts, styles, look)


def table_rows(table: Table, look: Look) -> list[Block]:
    """Each assessment, the latest first; what is in the table and how it is read."""
    if not table.rows:
        return []
    small = Look(look.size * 0.9)
    starts = [WIDTH * share for share in table.starts]
    labels, plain = [small.label] * len(starts), [small.plain] * len(starts)
    head = in_columns(table.head, starts, labels, small, ruled=False)
    rows = [in_columns(row, starts, plain, small) for row in table.rows]
    soft = Style(size=small.size, leading=small.step, colour=SOFT)
    note = [Block(small.step, (Text(0, small.size * 1.2, line),))
            for line in set_text(table.note, soft, WIDTH)]  # fmt: skip
    every = [*tied([head, rows[0]]), *rows[1:]]
    return [*tied([heading("Each assessment", look), *every, *note])]
