"""`plan YYYY-MM [--json]`: plan a month's uploads and print the plan; nothing is kept."""

from __future__ import annotations

import json
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from coach import clock
from coach.management.for_role import add_role, require, sees
from coach.management.practice_database import require_practice
from coach.practice.permissions import Fact
from coach.practice.queries import the_practice
from coach.scheduling.planner import Plan, make_plan
from content.models import FitnessClass
from content.queries import planning
from content.rules.months import Month


class Command(BaseCommand):
    help = "Plan a month's uploads and print the plan. Nothing is kept: accept a plan on its page."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("month", metavar="YYYY-MM")
        parser.add_argument("--json", action="store_true", help="print JSON instead of text")
        add_role(parser)

    def handle(self, *_: Any, month: str, **options: Any) -> None:
        require_practice()
        require(options["role"], Fact.CONTENT)
        try:
            asked = Month.parse(month)
        except ValueError:
            raise CommandError(f"{month} is not a month: write it like 2027-01.") from None
        today = clock.today(the_practice().time_zone)
        plan = make_plan(planning.problem(asked, today=today))
        found = for_role(as_json(asked, plan), options["role"])
        text = json.dumps(found, indent=1, ensure_ascii=False) if options["json"] else _text(found)
        self.stdout.write(text)


def as_json(month: Month, plan: Plan) -> dict[str, Any]:
    """The plan as `--json` prints it; value and bound are whole points."""
    titles = FitnessClass.objects.in_bulk([slot.class_id for slot in plan.slots])
    return {
        "month": str(month),
        "status": plan.status,
        "value": plan.value,
        "bound": plan.bound,
        "slots": [
            {
                "date": slot.day.isoformat(),
                "class": {"id": slot.class_id, "title": titles[slot.class_id].title},
                "reasons": list(slot.reasons),
            }
            for slot in plan.slots
        ],
        "unmet": list(plan.unmet),
    }


def for_role(found: dict[str, Any], role: str) -> dict[str, Any]:
    """Reasons and what could not be met speak of clients' stages: not for everybody."""
    if sees(role, Fact.STAGE):
        return found
    slots = [{**slot, "reasons": []} for slot in found["slots"]]
    return {**found, "slots": slots, "unmet": []}


def _text(found: dict[str, Any]) -> str:
    lines = [f"{found['month']}: {found['status']}, {found['value']} of at most {found['bound']}"]
    for slot in found["slots"]:
        lines.append(f"{slot['date']}  {slot['class']['title']}")
        lines += [f"            {reason}" for reason in slot["reasons"]]
    lines += [f"Not met: {line}" for line in found["unmet"]]
    return "\n".join(lines)
