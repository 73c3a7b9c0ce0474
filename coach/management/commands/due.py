"""`due [--on DATE] [--json]`: who is to be reassessed, and whose clearance needs something."""

from __future__ import annotations

import json
from argparse import ArgumentParser
from collections.abc import Iterator
from datetime import date
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from coach import clock
from coach.diary.queries import clearances, reassessments
from coach.management.for_role import add_role, require, sees
from coach.management.practice_database import require_practice
from coach.practice.permissions import Fact
from coach.practice.queries import the_practice

AHEAD_DAYS = 28


class Command(BaseCommand):
    help = "Print who is to be reassessed within four weeks, and whose clearance needs something."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--on", metavar="YYYY-MM-DD", help="as of a day; today if not given")
        parser.add_argument("--json", action="store_true", help="print JSON instead of text")
        add_role(parser)

    def handle(self, *_: Any, on: str | None = None, **options: Any) -> None:
        require_practice()
        require(options["role"], Fact.GO_AHEAD)
        found = for_role(as_json(_day(on)), options["role"])
        text = json.dumps(found, indent=1, ensure_ascii=False) if options["json"] else _text(found)
        self.stdout.write(text)


def _day(on: str | None) -> date:
    if on is None:
        return clock.today(the_practice().time_zone)
    try:
        return date.fromisoformat(on)
    except ValueError:
        raise CommandError(f"{on} is not a date: write it like 2027-01-31.") from None


def as_json(day: date) -> dict[str, Any]:
    """What is due on a day as `--json` prints it, each list sorted by day."""
    return {
        "on": day.isoformat(),
        "reassessments": [
            {
                "client": {"id": one.client_id, "name": one.name},
                "due": one.by.isoformat(),
                "overdue_days": one.overdue_days,
                "do": str(one.do),
                "reasons": [finding.reason for finding in one.reasons],
                "later": [
                    {"by": rule.by.isoformat(), "reason": rule.finding.reason} for rule in one.later
                ],
            }
            for one in reassessments(day, within_days=AHEAD_DAYS)
        ],
        "clearances": [
            {
                "client": {"id": one.client_id, "name": one.name},
                "go_ahead": str(one.word),
                "reasons": [finding.reason for finding in one.reasons],
            }
            for one in clearances(day)
        ],
    }


def for_role(found: dict[str, Any], role: str) -> dict[str, Any]:
    """Without health, the words alone: no measurements are wanted of anybody, no reason told."""
    if sees(role, Fact.HEALTH):
        return found
    words = [{**row, "reasons": []} for row in found["clearances"]]
    return {**found, "reassessments": [], "clearances": words}


def _text(found: dict[str, Any]) -> str:
    return "\n".join(
        [
            f"On {found['on']}",
            f"To be reassessed: {len(found['reassessments'])}",
            *_lines(found["reassessments"], "due"),
            f"Clearance: {len(found['clearances'])}",
            *_lines(found["clearances"], "go_ahead"),
        ]
    )


def _lines(rows: list[dict[str, Any]], first: str) -> Iterator[str]:
    for row in rows:
        late = f" (late {row['overdue_days']} d)" if row.get("overdue_days") else ""
        write = ", on hold: write to her" if row.get("do") == "write" else ""
        yield f"{row[first]}  {row['client']['name']}{late}{write}"
        yield from (f"    {reason}" for reason in row["reasons"])
