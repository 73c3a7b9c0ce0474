"""A client of whom nothing is missing for a return to impact, for the tests of its pages."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from clients.models import Assessment, Client
from clients.rules.impact_tests import SYMPTOM, impact_tests
from tests import factories
from tests import factories_clearance as health

TODAY = date(2026, 12, 3)
ASKED = ("leaking", "heaviness", "pain", "urgency", "girdle", "bleeding")


def d(days: int) -> date:
    return TODAY + timedelta(days=days)


def all_passed(**changed: Any) -> dict[str, Any]:
    """Every test with what is published and nothing felt, every question answered no.

    `changed` by code with _ for -; None takes a value away.
    """
    found: dict[str, Any] = dict.fromkeys(ASKED, "no")
    for test in impact_tests().values():
        found |= {test.field(part): test.amount for part in test.parts}
        found[test.field(SYMPTOM)] = "no"
    found |= {code.replace("_", "-"): value for code, value in changed.items()}
    return {code: value for code, value in found.items() if value is not None}


def did_all(of: Client, day: date, *, after: str = "no", **changed: Any) -> Assessment:
    """An assessment with every test, and what she said the day after; "": not asked."""
    row = health.assessment(of, day, **all_passed(**changed))
    if after:
        on = (day + timedelta(days=1)).isoformat()
        row.measures = {**row.measures, "next_day": after, "next_day_on": on}
        row.save()
    return row


def a_client(name: str = "Orla Finch", *, weeks: int = 30, **values: Any) -> Client:
    """A birth so many weeks ago, a letter after an examination, and the questions answered."""
    client = factories.client(name, **values)
    ended = d(-7 * weeks)
    factories.pregnancy(client, due=ended, ended=ended, ending="birth", birth_mode="vaginal")
    health.clearance(client, d(-30), examined="yes")
    health.screening(client, d(-30), phase="after")
    return client
