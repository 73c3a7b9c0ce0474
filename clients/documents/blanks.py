"""Lines of a paper that is filled in by hand: boxes to tick and blanks to write on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from coach.practice.print.faces import Face
from coach.practice.print.paper import Block, Box, Rule, Text
from coach.practice.print.text import INK, SOFT, Style, set_line, set_text


@dataclass(frozen=True, slots=True)
class Look:
    """The size of a paper's text in points, and what follows from it.

    `air` widens what is written on by hand: 1 is the least that a pen needs.
    """

    size: float
    air: float = 1

    @property
    def plain(self) -> Style:
        """Running text."""
        return Style(size=self.size, leading=self.size * 1.36)

    @property
    def strong(self) -> Style:
        """Names."""
        return Style(Face.STRONG, self.size, self.size * 1.36)

    @property
    def label(self) -> Style:
        """What a fact is called."""
        return Style(size=self.size * 0.87, leading=self.size * 1.36, colour=SOFT)

    @property
    def heading(self) -> Style:
        """The head of a part."""
        return Style(Face.DISPLAY, self.size * 1.25, self.size * 1.7)

    @property
    def step(self) -> float:
        """From one line to the next."""
        return self.plain.leading

    @property
    def write(self) -> float:
        """The height of a line that is written on by hand."""
        return self.size * 2.05 * self.air


@dataclass(frozen=True, slots=True)
class Tick:
    """A box with its words."""

    words: str


@dataclass(frozen=True, slots=True)
class Blank:
    """A line to write on; without a width it goes on to the edge."""

    width: float = 0


Part = str | Tick | Blank


def filled_in(parts: Sequence[Part], edge: float, look: Look, *, x: float = 0) -> Block:
    """Words, boxes and blanks beside each other on one line that is written on."""
    texts: list[Text] = []
    boxes: list[Box] = []
    rules: list[Rule] = []
    base, gap = look.write * 0.72, look.size * 0.55
    for part, following in zip(parts, [*parts[1:], ""], strict=True):
        if isinstance(part, Blank):
            to = min(x + part.width, edge) if part.width else edge
            rules.append(Rule(x, to, base + 2, 0.6, INK))
            x = to + gap
            continue
        if isinstance(part, Tick):
            boxes.append(Box(x, base, look.size * 0.8))
            x += look.size * 1.3
        line = set_line(part.words if isinstance(part, Tick) else part, look.plain)
        texts.append(Text(x, base, line))
        x += line.width + (gap if isinstance(following, Blank) else 2.6 * gap)
    return Block(look.write, tuple(texts), tuple(rules), boxes=tuple(boxes))


def beside(left: Block, right: Block) -> Block:
    """Two lines as one."""
    return Block(
        max(left.height, right.height),
        left.texts + right.texts,
        left.rules + right.rules,
        boxes=left.boxes + right.boxes,
    )


def ticked(words: str, width: float, look: Look, *, x: float = 0) -> Block:
    """A box with words that may run over several lines; they stand beneath each other."""
    inset = look.size * 1.3
    lines = set_text(words, look.plain, width - inset)
    texts = tuple(
        Text(x + inset, look.size * 1.02 + n * look.step, line) for n, line in enumerate(lines)
    )
    height = look.step * len(lines) + look.size * 0.28
    return Block(height, texts, boxes=(Box(x, look.size * 1.02, look.size * 0.8),))


def in_two_columns(words: Sequence[str], width: float, look: Look) -> list[Block]:
    """Boxes with words, two in a row where there are several."""
    if len(words) < 2:
        return [ticked(one, width, look) for one in words]
    half = width / 2
    cells = [ticked(one, half - look.size, look, x=half * (n % 2)) for n, one in enumerate(words)]
    pairs = zip(cells[::2], [*cells[1::2], Block(0)], strict=False)
    return [beside(one, other) for one, other in pairs]
