"""What assessments leave to do: the day after tests, and those that were not finished."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

from django.urls import reverse

from clients.queries import readiness
from clients.queries.measuring import unfinished
from coach.practice.permissions import Fact, may
from coach.today.queries.items import Item


def after_tests(user: Any, today: date) -> Iterator[Item]:
    """Whom to ask how the day after her tests was: without an answer nothing of them counts."""
    if not may(user, Fact.HEALTH):
        return
    for one in readiness.tests_to_follow_up(today):
        url = reverse("clients:next_day", args=[one.client_id, one.key])
        note = "Leaking, heaviness or pain the day after the tests?"
        when = one.day + timedelta(days=1)
        what = f"Ask {one.name} how the day after was"
        yield Item(when, what, url, "ask", note, late=when < today)


def not_finished(user: Any) -> Iterator[Item]:
    """Assessments that were begun: until they are finished they put nothing off."""
    if not may(user, Fact.HEALTH):
        return
    for one in unfinished():
        url = reverse("clients:assessment", args=[one.client_id, one.key])
        note = "What was measured is kept; it does not count as taken yet."
        yield Item(one.day, f"Finish the assessment of {one.name}", url, "continue", note)
