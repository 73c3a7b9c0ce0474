"""A chart over time drawn with the PDF library's charts: axes, lines and marks are its own.

Slow to load: coach.practice.print.charts does so when the first chart is wanted.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from reportlab.graphics.charts.lineplots import LinePlot
from reportlab.graphics.shapes import Drawing, Group, Rect, String
from reportlab.graphics.shapes import Line as Stroke
from reportlab.graphics.widgets.markers import makeMarker
from reportlab.lib.colors import HexColor
from reportlab.pdfbase.pdfmetrics import stringWidth

from coach.practice.print.faces import Face, load
from coach.practice.print.text import DAMSON, HAIR, INK, SOFT, Style, set_line
from coach.scheduling.charted import Band, Chart, Line, apart, marks, number_words, thinned

PALE = "#efe6da"
# Told apart without colour: by dash and by the shape of the mark.
_LOOKS: tuple[tuple[str, float, list[float] | None, str], ...] = (
    (DAMSON, 2.2, None, "FilledCircle"),
    (INK, 1.5, [6, 3], "FilledSquare"),
    (SOFT, 1.7, [1.5, 3], "FilledDiamond"),
    (INK, 1.2, [8, 3, 1.5, 3], "FilledTriangle"),
)
COLOURS = {INK: "ink", SOFT: "soft", HAIR: "hair", DAMSON: "accent", PALE: "pale"}
SIZE, LEADING = 12.0, 13.5
_TOP, _GAP = 10.0, 10.0
_BESIDE = 0.29  # how much of the width is kept for the names beside the lines
_MARK = 6.0
_MARKS_APART = 9.0  # marks nearer than that to the next one would run into a thick line
_NARROWEST = 12.0  # the least width of a range, so that three weeks of ten years are seen


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where the lines are drawn: from the left and the bottom, with the values at the ends."""

    x: float
    y: float
    wide: float
    high: float
    first: int
    last: int
    marks: tuple[float, ...]

    @classmethod
    def of(cls, chart: Chart, width: float, height: float) -> _Frame:
        scale = marks(chart.values)
        under = max((_width(words) for day, words in chart.under if day in chart.days), default=0)
        left = max(max(_width(number_words(mark)) for mark in scale) + 8, under / 2 + 2)
        foot = SIZE + 9 + len(chart.bands) * (LEADING + 3)
        days = [day.toordinal() for day in chart.days]
        alone = 30 if days[0] == days[-1] else 0
        return cls(left, foot, width * (1 - _BESIDE) - left - _GAP, height - foot - _TOP,
                   days[0] - alone, days[-1], scale)  # fmt: skip

    def across(self, day: date) -> float:
        return self.x + self.wide * (day.toordinal() - self.first) / (self.last - self.first)

    def up(self, value: float) -> float:
        low, high = self.marks[0], self.marks[-1]
        return self.y + self.high * (value - low) / (high - low)


def drawing_of(chart: Chart, width: float, height: float) -> Any:
    """The chart as a drawing of the library, `width` by `height` points."""
    load(Face.STRONG.value[0])
    frame = _Frame.of(chart, width, height)
    drawing = Drawing(width, height, initialFontName=load(Face.TEXT.value[0]).fontName)
    for shape in (*_bands(chart, frame), _plot(chart, frame), *_beside(chart, frame, width)):
        drawing.add(shape)
    return drawing


def _plot(chart: Chart, frame: _Frame) -> Any:
    plot = LinePlot()
    plot.x, plot.y, plot.width, plot.height = frame.x, frame.y, frame.wide, frame.high
    rows = [[(day.toordinal(), value) for day, value in line.points] for line in chart.lines]
    # A second row of each line holds its marks, and no more of them than can be told apart.
    plot.data = [row for line, row in zip(chart.lines, rows, strict=True)
                 for row in (row, _marked(line, frame))]  # fmt: skip
    plot.gridFirst = 1
    _set_axes(plot, chart, frame)
    _set_lines(plot, len(rows))
    return plot


def _set_axes(plot: Any, chart: Chart, frame: _Frame) -> None:
    across, up = plot.xValueAxis, plot.yValueAxis
    across.valueMin, across.valueMax = frame.first, frame.last
    under = _beneath(chart, frame)
    across.valueSteps = list(under) or [frame.last]
    across.labelTextFormat = lambda value: under.get(round(value), "")
    up.valueMin, up.valueMax = frame.marks[0], frame.marks[-1]
    up.valueSteps = list(frame.marks)
    up.labelTextFormat = number_words
    up.visibleGrid, up.gridStrokeColor, up.gridStrokeWidth = 1, HexColor(HAIR), 0.8
    up.gridStart, up.gridEnd = frame.x, frame.x + frame.wide
    across.joinAxisMode, across.joinAxisPos = "bottom", None
    for axis, places in ((across, (0, -7, "n")), (up, (-6, 0, "e"))):
        axis.visibleAxis = axis.visibleTicks = 0
        labels = axis.labels
        labels.fontName, labels.fontSize = load(Face.TEXT.value[0]).fontName, SIZE
        labels.fillColor = HexColor(SOFT)
        labels.dx, labels.dy, labels.boxAnchor = places
    for n, (day, words) in enumerate(under.items()):
        # None is cut off at the left edge, where the first day lies.
        across.labels[n].dx = max(_width(words) / 2 - frame.across(date.fromordinal(day)), 0)


def _set_lines(plot: Any, count: int) -> None:
    for n, (colour, weight, dash, shape) in enumerate(_LOOKS[:count]):
        line, dots = plot.lines[2 * n], plot.lines[2 * n + 1]
        line.strokeColor, line.strokeWidth, line.strokeDashArray = HexColor(colour), weight, dash
        line.symbol = None
        dots.strokeColor, dots.lineStyle = HexColor(colour), "line"
        dots.symbol = makeMarker(shape, size=_MARK, strokeColor=None, fillColor=HexColor(colour))


def _marked(line: Line, frame: _Frame) -> list[tuple[int, float]]:
    """The points that get a mark: the last, and back from it those far enough from the next."""
    kept = [line.last]
    for day, value in reversed(line.points[:-1]):
        if frame.across(kept[-1][0]) - frame.across(day) >= _MARKS_APART:
            kept.append((day, value))
    return [(day.toordinal(), value) for day, value in reversed(kept)]


def _beneath(chart: Chart, frame: _Frame) -> dict[int, str]:
    """What stands beneath, by day; where two would cover each other the later is printed."""
    shown = [(day, words) for day, words in sorted(chart.under) if day in chart.days and words]
    kept = thinned([(frame.across(day), _width(words) + 8) for day, words in shown])
    return {shown[n][0].toordinal(): shown[n][1] for n in kept}


def _beside(chart: Chart, frame: _Frame, width: float) -> Iterator[Any]:
    """Each line's name and last value beside its end, and a hair that leads there."""
    left = frame.x + frame.wide + _GAP + _MARK / 2
    room = width - left - 2
    ends = sorted((frame.up(line.last[1]), n) for n, line in enumerate(chart.lines))
    rows = _names(chart, room, frame.high + _TOP + SIZE)
    heights = [(y, LEADING * len(rows[n])) for y, n in ends]
    middles = apart(heights, frame.y - SIZE, frame.y + frame.high + _TOP)
    for (y, n), middle in zip(ends, middles, strict=True):
        end = frame.across(chart.lines[n].last[0]) + _MARK
        if abs(middle - y) > LEADING / 2 or left - end > _GAP * 2:
            yield _hair(end, y, left - 3, middle)
        top = middle + LEADING * len(rows[n]) / 2
        for row, text in enumerate(rows[n]):
            yield _words(text, left, top - LEADING * row - SIZE * 0.82, _LOOKS[n][0], Face.STRONG)


def _names(chart: Chart, width: float, high: float) -> list[list[str]]:
    """The rows of words of each line: as many as there is room for."""
    for most in (3, 2, 1):
        rows = [
            _in_rows(line.name, number_words(line.last[1]), width, most) for line in chart.lines
        ]
        if sum(map(len, rows)) * LEADING <= high:
            break
    return rows


def _in_rows(name: str, value: str, width: float, most: int) -> list[str]:
    """A name and its value in rows no wider than `width`; a name that is too long is cut."""
    words = name.split()
    while True:
        rows = [""]
        for word in [*words, value]:
            wider = f"{rows[-1]} {word}".strip()
            if rows[-1] and _width(wider, Face.STRONG) > width:
                rows.append(word)
            else:
                rows[-1] = wider
        if len(rows) <= most or len(words) < 2:
            return rows
        words = [*words[:-2], f"{words[-2].rstrip(',…')}…"]


def _bands(chart: Chart, frame: _Frame) -> Iterator[Any]:
    """The published ranges, pale behind the lines, each named beneath the chart."""
    for n, band in enumerate(chart.bands):
        left, right = _between(band, frame)
        low = frame.marks[0] if band.low is None else band.low
        yield _pale(left, frame.up(low), right - left, frame.up(band.high) - frame.up(low))
        for end in (band.low, band.high):
            if end is not None:
                yield _hair(left, frame.up(end), right, frame.up(end), SOFT)
        base = (len(chart.bands) - 1 - n) * (LEADING + 3) + 3
        yield _pale(0, base - 1, 16, SIZE - 2)
        yield _hair(0, base + SIZE - 3, 16, base + SIZE - 3, SOFT)
        if band.low is not None:
            yield _hair(0, base - 1, 16, base - 1, SOFT)
        yield _words(band.name, 22, base, SOFT, Face.TEXT)


def _between(band: Band, frame: _Frame) -> tuple[float, float]:
    edge = frame.x + frame.wide
    left = frame.x if band.since is None else min(max(frame.across(band.since), frame.x), edge)
    right = edge if band.until is None else min(max(frame.across(band.until), frame.x), edge)
    short = max(_NARROWEST - (right - left), 0) / 2
    return left - short, right + short


def _pale(x: float, y: float, width: float, height: float) -> Any:
    return Rect(x, y, width, height, fillColor=HexColor(PALE), strokeColor=None)


def _hair(x: float, y: float, to: float, at: float, colour: str = HAIR) -> Any:
    return Stroke(x, y, to, at, strokeColor=HexColor(colour), strokeWidth=0.8)


def _words(text: str, x: float, y: float, colour: str, face: Face) -> Any:
    font = load(face.value[0]).fontName
    return String(x, y, text, fontName=font, fontSize=SIZE, fillColor=HexColor(colour))


def _width(text: str, face: Face = Face.TEXT) -> float:
    return set_line(text, Style(face, SIZE)).width


def for_paper(drawing: Any) -> Any:
    """The same with words that the first font does not cover set in the others, as read."""
    for n, shape in enumerate(drawing.contents):
        if isinstance(shape, String):
            drawing.contents[n] = Group(*_pieces(shape))
    return drawing


def _pieces(shape: Any) -> Sequence[Any]:
    strong = shape.fontName == Face.STRONG.value[0]
    line, x, pieces = set_line(shape.text, Style(Face.STRONG if strong else Face.TEXT)), shape.x, []
    for font, text in line.pieces:
        pieces.append(String(x, shape.y, text, fontName=font, fontSize=SIZE,
                             fillColor=shape.fillColor))  # fmt: skip
        x += stringWidth(text, font, SIZE)
    return pieces
