"""`plan YYYY-MM [--weights FILE] [--json] [--as ROLE]`: plan a month and print the plan.

Nothing is kept.
"""

from __future__ import annotations

import json
import sys
from argparse import ArgumentParser
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from coach import clock
from coach.management.for_role import add_role, require, sees
from coach.management.practice_database import require_practice
from coach.practice.permissions import Fact
from coach.practice.queries import the_practice
from coach.scheduling.planner import Plan, Problem, Weights, make_plan
from content.models import FitnessClass
from content.queries import planning
from content.rules.months import Month
from content.rules.preferences import NotWeights, weights_from


class Command(BaseCommand):
    help = "Plan a month's uploads and print the plan. Nothing is kept: accept a plan on its page."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("month", metavar="YYYY-MM")
        parser.add_argument(
            "--weights",
            metavar="FILE",
            type=Path,
            help="points for wishes instead of yours, TOML or JSON: wish = points",
        )
        parser.add_argument("--json", action="store_true", help="print JSON instead of text")
        add_role(parser)

    def handle(self, *_: Any, month: str, **options: Any) -> None:
        require_practice()
        require(options["role"], Fact.CONTENT)
        try:
            wanted = Month.parse(month)
        except ValueError:
            raise CommandError(f"{month} is not a month: write it like 2027-01.") from None
        asked = planning.problem(wanted, today=clock.today(the_practice().time_zone))
        if options["weights"]:
            asked = replace(asked, weights=_weights(options["weights"], asked.weights))
        plan = make_plan(asked, progress=self._tell if sys.stderr.isatty() else None)
        found = for_role(as_json(wanted, asked, plan), options["role"])
        text = json.dumps(found, indent=1, ensure_ascii=False) if options["json"] else _text(found)
        self.stdout.write(text)

    def _tell(self, step: str) -> None:
        self.stderr.write(f"Planning: {step} …")


def _weights(file: Path, preset: Weights) -> Weights:
    """The points of a file; CommandError that names the file and the line."""
    try:
        text = file.read_text("utf-8")
    except OSError as wrong:
        raise CommandError(f"{file} can't be read: {wrong.strerror}.") from None
    except UnicodeDecodeError:
        raise CommandError(f"{file} is no text in UTF-8.") from None
    try:
        return weights_from(text, as_json=file.suffix.lower() == ".json", preset=preset)
    except NotWeights as wrong:
        raise CommandError(f"{file}, {wrong}") from None


def as_json(month: Month, asked: Problem, plan: Plan) -> dict[str, Any]:
    """The plan as `--json` prints it; values and bound are whole points, the gap a share."""
    ids = [*(slot.class_id for slot in plan.slots), *(pk for _, pk in asked.pins)]
    rows = FitnessClass.objects.filter(pk__in=ids).values_list("pk", "title")
    names = {pk: {"id": pk, "title": title} for pk, title in rows}
    return {
        "month": str(month),
        "status": plan.status,
        "value": plan.value,
        "bound": plan.bound,
        "gap": round(plan.gap, 6),
        "greedy_value": plan.greedy_value,
        "stopped_by_clock": plan.stopped_by_clock,
        "pins": [{"date": day.isoformat(), "class": names[pk]} for day, pk in asked.pins],
        "slots": [
            {
                "date": slot.day.isoformat(),
                "class": names[slot.class_id],
                "pinned": slot.pinned,
                "reasons": list(slot.reasons),
            }
            for slot in plan.slots
        ],
        "better": list(plan.better),
        "unmet": list(plan.unmet),
        "conflict": list(plan.conflict),
    }


def for_role(found: dict[str, Any], role: str) -> dict[str, Any]:
    """Reasons, what could not be met and what is better speak of clients' stages: not for all."""
    if sees(role, Fact.STAGE):
        return found
    slots = [{**slot, "reasons": []} for slot in found["slots"]]
    return {**found, "slots": slots, "unmet": [], "better": []}


def _text(found: dict[str, Any]) -> str:
    return "\n".join([*_figures(found), *_slots(found), *_said(found)])


def _figures(found: dict[str, Any]) -> Iterator[str]:
    gap = f"gap {found['gap']:.2%}"
    yield (
        f"{found['month']}: {found['status']}, {found['value']} of at most {found['bound']}, {gap}"
    )
    if found["greedy_value"] is not None:
        yield f"Slot by slot: {found['greedy_value']}"
    if found["stopped_by_clock"]:
        yield "The time ran out: a second run may differ."
    for pin in found["pins"]:
        yield f"Pinned: {pin['date']}  {pin['class']['title']}"


def _slots(found: dict[str, Any]) -> Iterator[str]:
    for slot in found["slots"]:
        yield f"{slot['date']}  {slot['class']['title']}{' (pinned)' * slot['pinned']}"
        yield from (f"            {reason}" for reason in slot["reasons"])


def _said(found: dict[str, Any]) -> Iterator[str]:
    heads = (("Better", "better"), ("Not met", "unmet"), ("Contradicts", "conflict"))
    for head, name in heads:
        yield from (f"{head}: {line}" for line in found[name])
