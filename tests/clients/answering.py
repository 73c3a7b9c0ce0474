"""Answers to the health questions, in few words."""

from __future__ import annotations

from datetime import date
from typing import Any

from clients import actions
from clients.models import Client, Intake, Screening
from clients.rules.screening import questions_for
from coach import clock
from coach.practice.audit import SYSTEM


def noes(phase: str = "pregnant", **others: str) -> dict[str, str]:
    """Every question of a phase answered no, but for those given."""
    found = {one.code: "no" for one in questions_for(phase)}
    return found | others


def screen(
    client: Client, answered_on: date, *, phase: str = "pregnant", **others: Any
) -> Screening:
    """A screening on a call with every answer no; `others`: answers, or those of the action."""
    own = ("how", "intake", "answers")
    given = {name: value for name, value in others.items() if name in own}
    answers = noes(phase, **{name: value for name, value in others.items() if name not in own})
    defaults: dict[str, Any] = {"answers": answers, "how": "call"}
    return actions.record_screening(
        by=SYSTEM, client=client, phase=phase, answered_on=answered_on, **{**defaults, **given}
    )


def form(client: Client) -> Intake:
    """A form of hers that is open."""
    return Intake.objects.create(client=client, expires_at=clock.now())
