"""A progress report on one or two pages of A4: in short, what changed, charts, how, cautions."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import zip_longest

from clients.documents.blanks import Look
from clients.documents.report_rows import (
    SHEET,
    WIDTH,
    group_rows,
    heading,
    labelled,
    table_rows,
)
from clients.rules.report_paper import ReportPaper, thinner
from clients.rules.words import short_day_words
from coach.practice.print.charts import block as chart_block
from coach.practice.print.faces import Face, clean
from coach.practice.print.paper import (
    About,
    Block,
    Figure,
    Rule,
    Text,
    in_pages,
    printed,
    right,
    tied,
)
from coach.practice.print.text import DAMSON, INK, SOFT, Line, Style, set_line, set_text
from coach.scheduling.charted import Chart


@dataclass(frozen=True, slots=True)
class Setting:
    """How large the text is, in points, and how the charts stand: so many in a row."""

    size: float
    across: int = 2
    chart_high: float = 104

    @property
    def look(self) -> Look:
        """The text's styles."""
        return Look(self.size)


_ON_ONE = tuple(map(Setting, (10.2, 9.8, 9.4, 9.1, 8.8, 8.5, 8.2)))
_ALONE = (*_ON_ONE, *map(Setting, (7.9, 7.6, 7.3)))  # one assessment is one page in any case
_ON_TWO = (
    *(Setting(size) for size in (10.2, 9.8, 9.4, 9.1, 8.8)),
    *(Setting(size, 2, 84) for size in (9.4, 9.1, 8.8, 8.5)),
    *(Setting(size, 3, 70) for size in (9.1, 8.8, 8.5, 8.3)),
)
_BETWEEN = 18.0  # from one chart to the one beside it
_CHART_TEXT = {2: 0.66, 3: 0.58}
"""Charts are drawn for a screen, in 12 points; on paper they are made smaller, words too."""


def report_pdf(paper: ReportPaper) -> bytes:
    """The report as a PDF; the same paper always gives the same bytes.

    On one page where it can be read so, else on two; what there is then no room for is left out
    in the order that rules.report.thinner says, and is named.
    """
    title, practice = clean(f"{paper.title}: {paper.client}"), clean(paper.practice)
    whose = "for you" if paper.to_her else "for the clinician it is given to"
    about = About(title, practice, "en-GB", f"{practice} · Confidential, {whose}", paper.written_on)
    return printed(_pages(paper, title), SHEET, about)


class _Layout:
    """A report in pages. Text takes long to set: what stays the same is set once in each size."""

    def __init__(self, title: str) -> None:
        self.again = _again(title)
        self._before: dict[float, list[Block]] = {}
        self._after: dict[float, list[Block]] = {}

    def pages(
        self, paper: ReportPaper, setting: Setting, *, drawn: bool = True
    ) -> list[list[Block]]:
        """The pages in a setting; not `drawn`: with room for the charts only."""
        size, look = setting.size, setting.look
        if size not in self._before:
            self._before[size], self._after[size] = _before(paper, look), _after(paper, look)
        blocks = [
            *self._before[size],
            *_charts(paper.charts, setting, drawn=drawn),
            *table_rows(paper.table, look),
            *self._after[size],
            *_part("Please note", _notes(paper), look),
        ]
        return in_pages(blocks, self.again, SHEET.room)

    def fits(self, paper: ReportPaper, setting: Setting, most: int) -> bool:
        """Whether that is no more pages than `most`."""
        return len(self.pages(paper, setting, drawn=False)) <= most


def _pages(paper: ReportPaper, title: str) -> list[list[Block]]:
    """In the largest setting that is one page, else two; else with as little left out as it takes.

    Searched by halves: what fits in one setting fits in all smaller ones.
    """
    layout = _Layout(title)
    for settings, most in ((_ALONE if paper.count == 1 else _ON_ONE, 1), (_ON_TWO, 2)):
        n = bisect_left(settings, True, key=lambda one: layout.fits(paper, one, most))
        if n < len(settings):
            return layout.pages(paper, settings[n])
    smallest, thinned = _ON_TWO[-1], [*_thinned(paper)]
    n = bisect_left(thinned, True, key=lambda one: layout.fits(one, smallest, 2))
    return layout.pages(thinned[min(n, len(thinned) - 1)], smallest)


def _thinned(paper: ReportPaper) -> Iterator[ReportPaper]:
    """The report with ever less in it, as rules.report.thinner says."""
    thinner_one = thinner(paper)
    while thinner_one:
        yield thinner_one
        thinner_one = thinner(thinner_one)


def _again(title: str) -> Block:
    head = Text(0, 12, set_line(title, Style(Face.DISPLAY, 13, colour=INK), WIDTH))
    return Block(38, (head,), (Rule(0, WIDTH, 20, 1.2, DAMSON),))


def _before(paper: ReportPaper, look: Look) -> list[Block]:
    """What stands above the charts."""
    return [
        _masthead(paper),
        *_parties(paper, look),
        *_short(paper, look),
        *(block for group in paper.groups for block in group_rows(group, paper, look)),
    ]


def _after(paper: ReportPaper, look: Look) -> list[Block]:
    """What stands beneath the table, before the last notes."""
    return [*_part("How it was measured", paper.method, look), *_stop(paper, look)]


def _masthead(paper: ReportPaper) -> Block:
    title = set_line(paper.title, Style(Face.DISPLAY, 26))
    on = right(short_day_words(paper.written_on), WIDTH, 26, Style(Face.DISPLAY, 13))
    return Block(50, (Text(0, 26, title), on), (Rule(0, WIDTH, 36, 1.8, DAMSON),))


def _parties(paper: ReportPaper, look: Look) -> list[Block]:
    """From whom, for whom, about whom and about which time, beside each other."""
    gap = 20.0
    columns = tuple(zip((0.0, WIDTH * 0.3, WIDTH * 0.6), _who(paper), strict=True))
    ends = [x - gap for x, _ in columns[1:]] + [WIDTH]
    cells = [_column(lines, end - x, look) for (x, lines), end in zip(columns, ends, strict=True)]
    placed = [
        tuple(Text(x, look.size, line) for (x, _), line in zip(columns, row, strict=True) if line)
        for row in zip_longest(*cells)
    ]
    return [*(Block(look.step, texts) for texts in placed), Block(look.size * 0.5)]


def _who(paper: ReportPaper) -> tuple[tuple[str, ...], ...]:
    sender, when = ("From", paper.practice, paper.coach), _time(paper)
    if paper.to_her:
        return sender, ("For", paper.client), ("Time", *when)
    about = ("About", paper.client, f"DOB {paper.born}", *when)
    return sender, ("For", "Her clinician", paper.right), about


def _time(paper: ReportPaper) -> tuple[str, ...]:
    many = f"{paper.count} assessments" if paper.count > 1 else "1 assessment"
    if paper.first == paper.last:
        return short_day_words(paper.last), many
    return f"{short_day_words(paper.first)} to {short_day_words(paper.last)}", many


def _column(lines: Sequence[str], width: float, look: Look) -> list[Line]:
    label, name, *rest = lines
    plain = [line for text in rest if text for line in set_text(text, look.plain, width)]
    return [set_line(label, look.label), *set_text(name, look.strong, width), *plain]


def _short(paper: ReportPaper, look: Look) -> list[Block]:
    """What it comes to, set larger than the rest; then what the coach adds."""
    style = Style(size=look.size * 1.06, leading=look.size * 1.42)
    entries = [_paragraph(text, style) for text in paper.short]
    shown = [*tied([heading("In short", look), entries[0][0]]), *entries[0][1:]]
    for entry in entries[1:]:
        shown += [Block(look.size * 0.25), *entry]
    whose = "From your coach" if paper.to_her else "From her coach"
    return [*shown, *_part(whose, (paper.remark,) if paper.remark else (), look, style=look.plain)]


def _paragraph(text: str, style: Style) -> list[Block]:
    lines = set_text(text, style, WIDTH)
    return [Block(style.leading, (Text(0, style.size, line),)) for line in lines]


def _part(
    head: str, texts: Sequence[str], look: Look, *, style: Style | None = None
) -> list[Block]:
    """A heading with its paragraphs in small print; nothing where there are none."""
    if not texts:
        return []
    small = style or Style(size=look.size * 0.9, leading=look.size * 1.22, colour=SOFT)
    lines = [block for text in texts for block in _paragraph(text, small)]
    return [*tied([heading(head, look), lines[0]]), *lines[1:]]


def _stop(paper: ReportPaper, look: Look) -> list[Block]:
    """What nobody may overlook: a ruled row each, kept together."""
    small = Look(look.size * 0.95)
    rows = [labelled(label, text, small, start=0.27, strong=True) for label, text in paper.stop]
    return [*tied([heading("When to stop, and whom to ring", look), *rows])]


def _charts(charts: Sequence[Chart], setting: Setting, *, drawn: bool) -> list[Block]:
    """The charts, some beside each other, each row kept on one page."""
    if not charts:
        return []
    across = setting.across
    rows = [_row(charts[n : n + across], setting, drawn=drawn)
            for n in range(0, len(charts), across)]  # fmt: skip
    return [*tied([heading("Charts", setting.look), rows[0]]), *rows[1:]]


def _row(charts: Sequence[Chart], setting: Setting, *, drawn: bool) -> Block:
    look = setting.look
    wide = (WIDTH - _BETWEEN * (setting.across - 1)) / setting.across
    caption = Style(Face.STRONG, look.size * 0.92, look.size * 1.2)
    heads = [set_text(_title(chart), caption, wide) for chart in charts]
    down = caption.leading * max(map(len, heads)) + 3
    texts: list[Text] = []
    figures: list[Figure] = []
    for n, (chart, lines) in enumerate(zip(charts, heads, strict=True)):
        x = n * (wide + _BETWEEN)
        texts += [Text(x, look.size + k * caption.leading, one) for k, one in enumerate(lines)]
        figures += [_smaller(chart, x, down, wide, setting)] if drawn else []
    return Block(down + setting.chart_high + 8, tuple(texts), drawings=tuple(figures))


def _title(chart: Chart) -> str:
    return f"{chart.title}, {chart.unit}" if chart.unit else chart.title


def _smaller(chart: Chart, x: float, down: float, wide: float, setting: Setting) -> Figure:
    """The chart in a size of its own: drawn larger, then scaled as a whole, words too."""
    by, high = _CHART_TEXT[setting.across], setting.chart_high
    (figure,) = chart_block(chart, width=wide / by, height=high / by).drawings
    figure.drawing.renderScale = by
    return Figure(x, down + high - figure.drawing.height, figure.drawing)


def _notes(paper: ReportPaper) -> list[str]:
    return list(filter(None, (*paper.cautions, *paper.notes, paper.left_out_words)))
