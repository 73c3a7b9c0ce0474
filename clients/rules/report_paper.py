"""A progress report as values for the paper, and what leaves it for want of room. Pure."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from clients.rules.report_changes import Change
from clients.rules.report_table import Table
from clients.rules.report_words import CLIENT
from coach.scheduling.charted import Chart

FEW_ROWS = 4
LEAST_CHARTS = 2


def brief_day(day: date, *, years: bool) -> str:
    """ "3 Dec" or "3 Dec 2026"."""
    return f"{day.day} {day:%b}{f' {day.year}' if years else ''}"


@dataclass(frozen=True, slots=True)
class Group:
    """A part of the report: what changed, in columns, or rows of a label with its text.

    `ways`: what was measured in one way together, each with the words of that way, "" for none.
    """

    head: str
    ways: tuple[tuple[str, tuple[Change, ...]], ...] = ()
    rows: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class ReportPaper:
    """A report as printed. `years`: days are printed with their years; `said`: to whom it speaks.

    `left_out`: the titles of charts there was no room for, in the order in which they went.
    """

    title: str
    audience: str
    client: str
    born: str
    practice: str
    coach: str
    written_on: date
    first: date
    last: date
    count: int
    right: str
    short: tuple[str, ...]
    remark: str
    groups: tuple[Group, ...]
    charts: tuple[Chart, ...]
    table: Table
    method: tuple[str, ...]
    cautions: tuple[str, ...]
    stop: tuple[tuple[str, str], ...]
    notes: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
    without_table: bool = False

    @property
    def to_her(self) -> bool:
        """Whether it speaks to the client herself."""
        return self.audience == CLIENT

    @property
    def years(self) -> bool:
        """Whether days are printed with their years."""
        return self.first.year != self.last.year

    @property
    def left_out_words(self) -> str:
        """What was left out for want of room, in a sentence; "" for nothing."""
        many = "chart" if len(self.left_out) == 1 else "charts"
        charts = [f"the {many} {', '.join(self.left_out)}"] if self.left_out else []
        table = ["the table of the assessments"] if self.without_table else []
        what = " and ".join((*table, *charts))
        return f"Left out for want of room: {what}." if what else ""

    def brief(self, day: date) -> str:
        """ "3 Dec", with the year where the time of the report holds several."""
        return brief_day(day, years=self.years)


def thinner(paper: ReportPaper) -> ReportPaper | None:
    """The report with the next thing left out, and that said; None: nothing more can be.

    In this order: charts that ended in the first half of its time, pulse, widths on a head lift,
    own measures, totals, effort, widths at rest but for two; all rows of the table but the latest
    four; the table; the last charts.
    """
    if len(paper.charts) > LEAST_CHARTS:
        return _without_chart(paper)
    if len(paper.table.rows) > FEW_ROWS:
        cut = paper.table.latest(FEW_ROWS)
        return replace(paper, table=cut)
    if paper.table.rows:
        return replace(paper, table=Table(), without_table=True)
    return _without_chart(paper) if paper.charts else None


def _without_chart(paper: ReportPaper) -> ReportPaper:
    last = paper.charts[-1]
    title = f"“{last.title}{f', {last.unit}' if last.unit else ''}”"
    return replace(paper, charts=paper.charts[:-1], left_out=(*paper.left_out, title))
