"""The run sheet on A4: as large as it fits, to be read from where she trains."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from clients.rules.words import short_day_words
from coach.practice.print.faces import Face, clean
from coach.practice.print.paper import (
    A4,
    About,
    Block,
    Rule,
    Sheet,
    Text,
    height,
    in_pages,
    printed,
    right,
    tied,
)
from coach.practice.print.text import DAMSON, INK, SOFT, Line, Style, set_line, set_text
from content.rules.interval_words import easier
from content.rules.run_sheet import Part, Row, RunSheet, promise_words, sums_words
from content.rules.timeline import LEFT, RIGHT, clock

SHEET = Sheet(A4.width, A4.height, side=30, top=28, bottom=46)
WIDTH = SHEET.inner
# A letter is made out from 2 m where it is 2.9 mm high (five minutes of arc: the letters of the
# 6/6 line, ISO 8596). Small letters of this face are half its size: 16.5 points give 2.9 mm.
READABLE = 16.5
_LARGEST, _SMALLEST, _STEP = 26.5, 9.5, 0.5
_ONE_PAGE_S = 1200
_NAMED = (0.3, 0.46)  # least and most of the width for what is done
_LONG = 18.0  # of a class that goes on overleaf


@dataclass(frozen=True, slots=True)
class Look:
    """How large it is set, in points; `all_cues`, or the first alone.

    `hours`: times have them; `longest`: the width of the longest name at a size of one point.
    """

    size: float
    hours: bool
    longest: float
    all_cues: bool = True

    @property
    def name(self) -> Style:
        """What is done, and when."""
        return Style(Face.STRONG, self.size, self.size * 1.06)

    @property
    def pause(self) -> Style:
        """A pause."""
        return Style(Face.TEXT, self.size * 0.8, self.size * 1.06, SOFT)

    @property
    def beside(self) -> Style:
        """Cues, options and kit."""
        return Style(Face.TEXT, self.size * 0.62, self.size * 0.66)

    @property
    def soft(self) -> Style:
        """How long it lasts, with the rest after it."""
        return Style(Face.TEXT, self.size * 0.55, self.size * 0.62, SOFT)

    @property
    def columns(self) -> tuple[float, float, float]:
        """Where how long it is, what is done, and what is said begin, from the left."""
        lasts = self.size * (4.1 if self.hours else 3.15)
        name = lasts + self.size * 3
        named = (self.longest + 0.6) * self.size
        return lasts, name, name + min(max(named, _NAMED[0] * WIDTH), _NAMED[1] * WIDTH)


def run_sheet_pdf(sheet: RunSheet, practice: str) -> bytes:
    """The sheet as a PDF; equal values give equal bytes.

    On one page as large as it fits, with fewer words before letters too small for two metres;
    what would need smaller ones goes on overleaf.
    """
    title, of = clean(f"Run sheet: {sheet.title}"), clean(practice)
    foot = f"{of} · {title}" if of else title
    about = About(title, of, "en-GB", foot, sheet.day)
    again = _again(sheet)
    return printed(in_pages(_fitting(sheet), again, SHEET.room), SHEET, about)


def _fitting(sheet: RunSheet) -> list[Block]:
    look = Look(READABLE, sheet.seconds >= 3600, _longest(sheet))
    short = replace(look, all_cues=False)
    found = _largest(sheet, look, _LARGEST) or _largest(sheet, short, READABLE + 2)
    if found is None and sheet.seconds <= _ONE_PAGE_S:
        found = _largest(sheet, replace(short, size=_SMALLEST), READABLE)
    return found or _blocks(sheet, replace(look, size=_LONG))


def _longest(sheet: RunSheet) -> float:
    names = {_name(row) for part in sheet.parts for row in part.rows if not row.pause}
    return max((set_line(name, Style(Face.STRONG, 1)).width for name in names), default=0)


def _largest(sheet: RunSheet, least: Look, most: float) -> list[Block] | None:
    """The blocks in the largest size from that of `least` to `most` that fit on one page."""
    found = None
    low, high = 0, int((most - least.size) / _STEP)
    while low <= high:
        middle = (low + high) // 2 if found else low
        blocks = _blocks(sheet, replace(least, size=least.size + _STEP * middle))
        if height(blocks) > SHEET.room:
            if not found:
                return None
            high = middle - 1
        else:
            found, low = blocks, middle + 1
    return found


def _blocks(sheet: RunSheet, look: Look) -> list[Block]:
    return [_masthead(sheet), *(block for part in sheet.parts for block in _part(part, look))]


def _masthead(sheet: RunSheet) -> Block:
    length = right(clock(sheet.seconds), WIDTH, 24, Style(Face.DISPLAY, 28))
    title = set_text(sheet.title, Style(Face.DISPLAY, 24, 27), length.x - 16)
    down = 24 + 27 * (len(title) - 1) + 18
    texts = [Text(0, 24 + 27 * n, line) for n, line in enumerate(title)]
    promise = right(promise_words(sheet), WIDTH, down, Style(size=12))
    told = f"{short_day_words(sheet.day)} · {_kit_words(sheet)}"
    kit = set_text(told, Style(Face.STRONG, 12, 14.5), promise.x - 16)
    below = [Text(0, down + 14.5 * n, line) for n, line in enumerate(kit)]
    tall = down + 14.5 * (len(kit) - 1) + 7
    return Block(tall + 2, (*texts, length, promise, *below), (Rule(0, WIDTH, tall, 1.8, DAMSON),))


def _kit_words(sheet: RunSheet) -> str:
    if not sheet.kit:
        return "Have ready: nothing"
    missing = f" (not announced: {', '.join(sheet.unannounced)})" if sheet.unannounced else ""
    return f"Have ready: {', '.join(sheet.kit)}{missing}"


def _again(sheet: RunSheet) -> Block:
    head = Text(0, 12, set_line(sheet.title, Style(Face.DISPLAY, 13), WIDTH))
    return Block(24, (head,), (Rule(0, WIDTH, 20, 1.2, DAMSON),))


def _part(part: Part, look: Look) -> list[Block]:
    """Its heading, kept with its first row, and its rows; both sides of one stay together."""
    resume = (_heading(f"{part.told.name}, going on", "", look),)
    rows = [replace(_set(group, look), resume=resume) for group in _groups(part.rows)]
    head = _heading(
        part.told.name, f"from {clock(part.told.start)} · {sums_words(part.told)}", look
    )
    return [*tied([head, *rows[:1]]), *rows[1:]]


def _groups(rows: Sequence[Row]) -> list[list[Row]]:
    """Each row, with its other side."""
    groups: list[list[Row]] = []
    for row in rows:
        if row.again and groups:
            groups[-1].append(row)
        else:
            groups.append([row])
    return groups


def _heading(name: str, sums: str, look: Look) -> Block:
    down = look.size * 1.26
    told = right(sums, WIDTH, down, look.beside)
    title = set_line(name, Style(Face.DISPLAY, look.size), told.x - 12)
    return Block(
        look.size * 1.6, (Text(0, down, title), told), (Rule(0, WIDTH, look.size * 1.58, 1, INK),)
    )


def _set(rows: Sequence[Row], look: Look) -> Block:
    """A row, or both sides of one, and beside them what is said."""
    words, beside = _said(rows[0], look), look.columns[2]
    said = set_text(words, look.beside, WIDTH - beside) if words else ()
    texts: list[Text] = []
    rules: list[Rule] = []
    down = 0.0
    for row in rows:
        rules += [Rule(0, beside - look.size * 0.4, down)] if down else []
        tall, mine = _row(row, look, beside if said else WIDTH)
        texts += [Text(one.x, down + one.down, one.line) for one in mine]
        down += tall
    down = max(down, len(said) * look.beside.leading + look.size * 0.3)
    return Block(down, (*texts, *_column(beside, said, look)), (*rules, Rule(0, WIDTH, down)))


def _row(row: Row, look: Look, edge: float) -> tuple[float, list[Text]]:
    """Its height, and when, how long and what on which side."""
    lasts, name, _ = look.columns
    down = look.size * 1.02
    style = look.pause if row.pause else look.name
    named = set_text(_name(row), style, edge - name - look.size * 0.4)
    long = [set_line(words, look.soft) for words in _lasts(row)]
    texts = [
        Text(0, down, set_line(clock(row.at), style)),
        *_column(lasts, long, look),
        *(Text(name, down + n * style.leading, line) for n, line in enumerate(named)),
    ]
    tall = max(len(named) * style.leading, len(long) * look.soft.leading) + look.size * 0.22
    return tall, texts


def _column(x: float, lines: Sequence[Line], look: Look) -> Iterator[Text]:
    """Small lines: a single one on the base line of the name, several from the top."""
    first = look.size * (1.02 if len(lines) == 1 else 0.68)
    return (Text(x, first + n * line.style.leading, line) for n, line in enumerate(lines))


def _name(row: Row) -> str:
    if row.again:
        return f"and {row.side}"
    return f"{row.name}, {row.side}" if row.side in {LEFT, RIGHT} else row.name


def _lasts(row: Row) -> list[str]:
    return [clock(row.seconds), *([f"rest {clock(row.rest)}"] if row.rest else [])]


def _said(row: Row, look: Look) -> str:
    side = "" if row.side in {LEFT, RIGHT} else row.side
    kit = f"with {' and '.join(row.kit)}" if row.kit else ""
    cues = row.cues if look.all_cues else row.cues[:1]
    said = [text for text in (row.round, side, *cues, easier(row.options), kit) if text]
    return " · ".join([*(text[:1].upper() + text[1:] for text in said[:1]), *said[1:]])
