"""`pace [--json]`: the pace of publishing, and what the roster will need in the weeks to come."""

from __future__ import annotations

import json
from argparse import ArgumentParser
from collections.abc import Iterator
from typing import Any

from django.core.management.base import BaseCommand

from coach import clock
from coach.management.for_role import add_role, require, sees
from coach.management.practice_database import require_practice
from coach.practice.permissions import Fact
from coach.practice.queries import the_practice
from coach.scheduling.cadence import Pace
from content.queries.needed import Needed
from content.queries.pace import Since, WholePace, whole_pace
from content.rules.needed import Cell


class Command(BaseCommand):
    help = "Print the pace of publishing, and what the roster will need in the next twelve weeks."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--json", action="store_true", help="print JSON instead of text")
        add_role(parser)

    def handle(self, *_: Any, **options: Any) -> None:
        require_practice()
        require(options["role"], Fact.CONTENT)
        today = clock.today(the_practice().time_zone)
        found = whole_pace(today=today, with_needs=sees(options["role"], Fact.STAGE))
        printed = as_json(found) if options["json"] else None
        text = json.dumps(printed, indent=1, ensure_ascii=False) if printed else _text(found)
        self.stdout.write(text)


def as_json(found: WholePace) -> dict[str, Any]:
    """The figures of the page; null where there is nothing to measure, or not for this role."""
    return {
        "target": found.target or None,
        "pace": _pace(found.pace.figures) if found.pace else None,
        "days_since": {
            "focus": {one.code: one.days for one in found.since_focus},
            "stage": {one.code: one.days for one in found.since_stage},
        },
        "needs": _needs(found.needed) if found.needed else None,
    }


def _pace(of: Pace) -> dict[str, Any]:
    gaps, in_hand = of.gaps, of.in_hand
    return {
        "weeks": [
            {
                "week": f"{week.year}-W{week.number:02}",
                "monday": week.monday.isoformat(),
                "uploads": week.uploads,
                "met": week.met,
            }
            for week in of.weeks
        ],
        "share_met": None if of.share_met is None else round(float(of.share_met), 4),
        "days_since_last": of.days_since_last,
        "gaps": gaps
        and {
            "mean": round(gaps.mean, 4),
            "spread": round(gaps.spread, 4),
            "longest": gaps.longest,
            "longest_from": gaps.longest_from.isoformat(),
        },
        "weeks_in_hand": round(float(in_hand.weeks), 4),
        "last_out": in_hand.last_out and in_hand.last_out.isoformat(),
        "filmed_a_week": None if in_hand.rate is None else round(float(in_hand.rate), 4),
        "runs_out": in_hand.ends and in_hand.ends.isoformat(),
    }


def _needs(of: Needed) -> dict[str, Any]:
    found = of.found
    return {
        "stages": {
            str(row.stage): {
                "finished": row.finished,
                "in_the_making": row.making,
                "days_since": row.since,
                "weeks": [_cell(cell) for cell in row.cells],
            }
            for row in of.rows
        },
        "unserved": list(of.unserved),
        "not_counted": {
            "on_hold": found.on_hold,
            "past_due": found.past_due,
            "quiet": found.quiet,
            "paused": found.paused,
            "unknown": found.unknown,
        },
        "enquiries_without_stage": found.enquiries_unknown,
    }


def _cell(cell: Cell) -> dict[str, Any]:
    return {
        "week": cell.week,
        "monday": cell.monday.isoformat(),
        "clients": cell.clients,
        "ready": cell.ready,
        "enquiries": cell.enquiries,
    }


def _text(found: WholePace) -> str:
    return "\n".join([*_pace_lines(found), *_since_lines(found), *_needed_lines(found.needed)])


def _pace_lines(found: WholePace) -> Iterator[str]:
    page = found.pace
    if page is None:
        yield "Nothing is published yet." if found.target else "No pace is set in the wishes."
        return
    yield page.words
    yield f"In hand: {page.in_hand}. {page.ends}"
    yield f"Filmed: {page.rate}"
    yield f"Last one: {page.last}"
    if page.figures.gaps:
        yield f"Usual gap: {page.gap}; the longest {page.figures.gaps.longest} days"
    for week in page.figures.weeks:
        yield f"  {week.year}-W{week.number:02}  {'#' * week.uploads or '-'}"


def _since_lines(found: WholePace) -> Iterator[str]:
    yield "Since the last one"
    yield from (_since(one) for one in (*found.since_focus, *found.since_stage))


def _since(one: Since) -> str:
    return f"  {one.name:<22}{one.ago}"


def _needed_lines(of: Needed | None) -> Iterator[str]:
    """A line a stage; each week as clients/of them ready+enquiries."""
    if of is None:
        return
    cells = of.rows[0].cells
    yield f"What the roster will need from {cells[0].week} to {cells[-1].week}"
    for row in of.shown:
        yield f"  {row.name}: {row.finished} finished, last out {row.ago}"
        yield "    " + "  ".join(_short(cell) for cell in row.cells)
    yield from (f"  {line}" for line in (*of.unserved, of.nobody, of.apart, of.enquiries) if line)


def _short(cell: Cell) -> str:
    more = f"+{cell.enquiries}" if cell.enquiries else ""
    return f"{cell.clients}/{cell.ready}{more}"
