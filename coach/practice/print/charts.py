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
    from coach.practice.print.plot import COLOURS, drawing_of  # noqa: PLC0415  # slow to load
    from coach.practice.print.svg import as_svg  # noqa: PLC0415  # slow to load

    drawing = drawing_of(chart, width, height)
    return SafeString(as_svg(drawing, chart.title, chart.said, COLOURS))


def block(chart: Chart, *, width: float, height: float) -> Block:
    """The chart for paper, in points, as vectors and in the fonts of the house."""
    from coach.practice.print.plot import drawing_of, for_paper  # noqa: PLC0415  # slow to load

    drawing = for_paper(drawing_of(chart, width, height))
    return Block(height, drawings=(Figure(0, 0, drawing),))
