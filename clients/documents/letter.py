"""A letter to a clinician on one page of A4: who, what is recorded, and an answer to tick."""

from __future__ import annotations

from itertools import zip_longest

from clients.documents.blanks import (
    Blank,
    Look,
    Tick,
    beside,
    filled_in,
    in_two_columns,
    ticked,
)
from clients.rules.letter_words import LetterPaper
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

SHEET = Sheet(A4.width, A4.height, top=46, bottom=58)
_LOOKS = (
    Look(10.4, 1.25),
    Look(10, 1.15),
    Look(9.8),
    Look(9.3),
    Look(8.8),
    Look(8.3),
    Look(7.8),
    Look(7.3),
    Look(6.8),
)
WIDTH = SHEET.inner


def letter_pdf(paper: LetterPaper) -> bytes:
    """The letter as a PDF; the same paper always gives the same bytes.

    Set as large as it fits on one page; what doesn't fit in the smallest size goes on overleaf.
    """
    laid = (_blocks(paper, look) for look in _LOOKS)
    whole = (blocks for blocks in laid if height(blocks) <= SHEET.room)
    blocks = next(whole, None) or _blocks(paper, _LOOKS[-1])
    title, practice = clean(f"{paper.title}: {paper.client}"), clean(paper.sender.practice)
    foot = f"{practice} · Confidential, for the clinician it is addressed to"
    about = About(title, practice, "en-GB", foot, paper.written_on)
    return printed(in_pages(blocks, _again(title), SHEET.room), SHEET, about)


def _again(title: str) -> Block:
    head = Text(0, 12, set_line(title, Style(Face.DISPLAY, 13, colour=INK), WIDTH))
    return Block(38, (head,), (Rule(0, WIDTH, 20, 1.2, DAMSON),))


def _blocks(paper: LetterPaper, look: Look) -> list[Block]:
    return [
        _masthead(paper),
        *_parties(paper, look),
        *_facts(paper, look),
        *(block for head, text in paper.parts for block in _part(head, text, look)),
        *_answer(paper, look),
        *_signature(paper, look),
        *_foot_notes(paper, look),
    ]


def _masthead(paper: LetterPaper) -> Block:
    title = set_line(paper.title, Style(Face.DISPLAY, 26))
    on = right(short_day_words(paper.written_on), WIDTH, 26, Style(Face.DISPLAY, 13))
    return Block(50, (Text(0, 26, title), on), (Rule(0, WIDTH, 36, 1.8, DAMSON),))


def _parties(paper: LetterPaper, look: Look) -> list[Block]:
    """From whom, to whom and about whom, beside each other."""
    sender, gap = paper.sender, 20.0
    address = [line for line in sender.address.splitlines() if line.strip()]
    columns = (
        (0.0, ("From", sender.practice, *address, sender.coach)),
        (WIDTH * 0.36, ("To", *paper.to)),
        (WIDTH * 0.69, ("About", paper.client, f"DOB {paper.born}")),
    )
    ends = [x - gap for x, _ in columns[1:]] + [WIDTH]
    cells = [_column(lines, end - x, look) for (x, lines), end in zip(columns, ends, strict=True)]
    rows = zip_longest(*cells)
    placed = [
        tuple(Text(x, look.size, line) for (x, _), line in zip(columns, row, strict=True) if line)
        for row in rows
    ]
    return [*(Block(look.step, texts) for texts in placed), Block(look.size * 0.8)]


def _column(lines: tuple[str, ...], width: float, look: Look) -> list[Line]:
    label, name, *rest = lines
    plain = [line for text in rest if text for line in set_text(text, look.plain, width)]
    return [set_line(label, look.label), *set_text(name, look.strong, width), *plain]


def _facts(paper: LetterPaper, look: Look) -> list[Block]:
    """What is recorded, a ruled line each."""
    intro = [Block(look.step, (Text(0, look.size, line),)) for line in _set(paper.intro, look)]
    start = WIDTH * 0.2
    rows = [_row(label, text, start, look) for label, text in paper.rows]
    return [*intro, Block(look.size * 0.5), *rows]


def _set(text: str, look: Look) -> tuple[Line, ...]:
    return set_text(text, look.plain, WIDTH)


def _row(label: str, text: str, start: float, look: Look) -> Block:
    lines = set_text(text, look.plain, WIDTH - start)
    down = look.size * 1.25
    texts = [Text(start, down + n * look.step, line) for n, line in enumerate(lines)]
    named = Text(0, down, set_line(label, look.label, start - 8))
    tall = look.step * len(lines) + look.size * 0.45
    return Block(tall, (named, *texts), (Rule(0, WIDTH, 0),))


def _part(head: str, text: str, look: Look) -> list[Block]:
    """A heading with its text."""
    lines = [Block(look.step, (Text(0, look.size, line),)) for line in _set(text, look)]
    return [*tied([_heading(head, look), lines[0]]), *lines[1:]]


def _heading(head: str, look: Look) -> Block:
    line = set_line(head, look.heading)
    return Block(look.size * 2.25, (Text(0, look.size * 1.65, line),))


def _answer(paper: LetterPaper, look: Look) -> list[Block]:
    """What the clinician may say, with the limits that the coach can keep to."""
    half = WIDTH / 2
    title = Text(0, look.size * 2.2, set_line("Your answer, please", look.heading))
    rule = Rule(0, WIDTH, look.size * 0.7, 1.2, DAMSON)
    head = Block(look.size * 2.7, (title,), (rule,))
    word = filled_in(
        (Tick("go ahead"), Tick("go ahead, with limits"), Tick("advised against at present")),
        WIDTH,
        look,
    )
    pairs = (
        ((Tick("no impact"),), (Tick("lifting up to"), Blank(44), "kg")),
        ((Tick("not lying flat"),), (Tick("effort up to"), Blank(44), "of 10")),
        (
            (Tick("no loaded curling of the trunk"),),
            (Tick("heart rate up to"), Blank(44), "a minute"),
        ),
        ((Tick("gentle recovery work only"),), (Tick("other limits"), Blank())),
    )
    limits = [
        beside(filled_in(left, half, look), filled_in(more, WIDTH, look, x=half))
        for left, more in pairs
    ]
    return [
        *tied([head, word]), _small("Limits", look), *limits, *_named(paper, look),
        *_until(paper, look),
    ]  # fmt: skip


def _named(paper: LetterPaper, look: Look) -> list[Block]:
    """A box for each thing that only a clinician can answer by name."""
    if not paper.named:
        return []
    words = "This answers, by name (what is not ticked stays open)"
    return [
        _small(words, look),
        Block(look.size * 0.3),
        *in_two_columns(paper.named, WIDTH, look),
    ]


def _small(words: str, look: Look) -> Block:
    line = set_line(words, look.label, WIDTH)
    return Block(look.size * 1.75, (Text(0, look.size * 1.45, line),), with_next=True)


def _until(paper: LetterPaper, look: Look) -> list[Block]:
    more = "more than gentle recovery work in the first six weeks as well"
    end = (Tick(paper.end_words),) if paper.end_words else ()
    valid = filled_in(("Valid until", Blank(96), *end), WIDTH, look, x=WIDTH / 2)
    lines = [beside(filled_in(("Examined on", Blank(96)), WIDTH / 2, look), valid)]
    extra = [Block(look.size * 0.4), ticked(more, WIDTH, look)] if paper.names_more else []
    return [*extra, *lines]


def _signature(paper: LetterPaper, look: Look) -> list[Block]:
    half = WIDTH / 2
    pairs = (("Name", "Profession"), ("Signature", "Date"))
    lines = [
        beside(
            filled_in((left, Blank()), half - 14, look),
            filled_in((more, Blank()), WIDTH, look, x=half),
        )
        for left, more in pairs
    ]
    return [*tied(lines)]


def _foot_notes(paper: LetterPaper, look: Look) -> list[Block]:
    """Where the answer goes, by what right the letter comes, and what it is not."""
    send = f", or send it to {paper.sender.reply_to}" if paper.sender.reply_to else ""
    reply = f"Please give the answer back to her{send}."
    soft = Style(size=look.size * 0.9, leading=look.size * 1.25, colour=SOFT)
    texts = ((reply, look.plain), (paper.way, look.plain), (paper.caution, soft))
    lines = [
        Block(style.leading, (Text(0, style.size, line),))
        for text, style in texts
        for line in set_text(text, style, WIDTH)
    ]
    return [Block(look.size * 1.1), *lines]
