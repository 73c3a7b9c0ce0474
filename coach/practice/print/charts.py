"""A chart over time, as vectors for paper and as SVG for a page: one drawing, the same figures."""

from __future__ import annotations

from django.utils.safestring import SafeString

from coach.practice.print.paper import Block, Figure
from coach.scheduling.charted import Band, Chart, Line

__all__ = ["Band", "Chart", "Line", "block", "svg"]


def svg(chart: Chart, *, width: int, height: int) -> SafeString:
    """The chart for a page, `width` by `height` in CSS pixels at its natural size.

    It holds no style and no address; its colours are classes of the stylesheet.
    """
    from coach.practice.print import plot  # noqa: PLC0415  # slow to load
    from coach.practice.print import svg as written  # noqa: PLC0415  # it draws what is above

    drawing = plot.drawing_of(chart, width, height)
    return SafeString(written.as_svg(drawing, chart.title, chart.said, plot.COLOURS))


def block(chart: Chart, *, width: float, height: float) -> Block:
    """The chart for paper, in points, as vectors and in the fonts of the house."""
    from coach.practice.print import plot  # noqa: PLC0415  # slow to load

    drawing = plot.for_paper(plot.drawing_of(chart, width, height))
    return Block(height, drawings=(Figure(0, 0, drawing),))
