"""`may_train [--on DATE] [--known DATE] [--json]`: who may train, with what limits, and why."""

from __future__ import annotations

import json
from argparse import ArgumentParser
from collections.abc import Iterator
from datetime import date
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from clients.queries import ClientGoAhead, go_aheads
from clients.rules.go_ahead_words import limit_words
from coach.management.for_role import add_role, require, sees
from coach.management.practice_database import require_practice
from coach.practice.permissions import Fact


class Command(BaseCommand):
    help = "Print everybody's go-ahead: the word, limits, every reason, and what would mend it."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--on", metavar="YYYY-MM-DD", help="for a day; now if not given")
        parser.add_argument(
            "--known", metavar="YYYY-MM-DD", help="with what was known by a day; --on if not given"
        )
        parser.add_argument("--json", action="store_true", help="print JSON instead of text")
        add_role(parser)

    def handle(
        self, *_: Any, on: str | None = None, known: str | None = None, role: str, **options: Any
    ) -> None:
        require_practice()
        require(role, Fact.GO_AHEAD)
        found = as_json(go_aheads(on=_day(on), known=_day(known)), role)
        text = json.dumps(found, indent=1, ensure_ascii=False) if options["json"] else _text(found)
        self.stdout.write(text)


def _day(text: str | None) -> date | None:
    try:
        return date.fromisoformat(text) if text else None
    except ValueError:
        raise CommandError(f"{text} is not a date: write it like 2027-01-31.") from None


def as_json(found: list[ClientGoAhead], role: str) -> list[dict[str, Any]]:
    """Each client as `--json` prints her, in the order of their names, for what a role may see.

    What it may not see is null or empty.
    """
    return [_row(one, role) for one in found]


def _row(one: ClientGoAhead, role: str) -> dict[str, Any]:
    answer, limited, why = one.found, sees(role, Fact.LIMITS), sees(role, Fact.HEALTH)
    reasons = [
        {"rule": each.kind, "text": each.reason, "source": each.source} for each in answer.reasons
    ]
    return {
        "client": {"id": one.client.pk, "name": one.client.name},
        "stage": one.stage_words if sees(role, Fact.STAGE) else None,
        "go_ahead": str(answer.word),
        "since": _iso(answer.since) if limited else None,
        "until": _iso(answer.until) if limited else None,
        "limits": limit_words(answer.limits, quiet=one.quiet) if limited else [],
        "reasons": reasons if why else [],
        "mend": answer.mend if why else "",
    }


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None


def _text(found: list[dict[str, Any]]) -> str:
    return "\n".join(line for row in found for line in _lines(row)) or "There are no clients yet."


def _lines(row: dict[str, Any]) -> Iterator[str]:
    stage = f" · {row['stage']}" if row["stage"] else ""
    until = f" until {row['until']}" if row["until"] else ""
    yield f"{row['client']['name']}{stage} · {row['go_ahead']}{until}"
    if row["limits"]:
        yield f"    limits: {'; '.join(row['limits'])}"
    for reason in row["reasons"]:
        yield f"    {reason['text']} ({reason['source']})"
    if row["mend"]:
        yield f"    → {row['mend']}"
