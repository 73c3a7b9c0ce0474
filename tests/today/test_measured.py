"""What assessments put on the first page."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.test import Client as Browser
from django.urls import reverse

from clients.actions import record_next_day
from clients.models import Client
from coach.practice.audit import SYSTEM
from coach.practice.permissions import Role
from coach.today.queries import measured
from coach.today.queries.items import Item
from tests import factories
from tests.factories_clearance import assessment

TODAY = date(2026, 12, 3)
PASSED = {"test_hop_left": 10, "test_hop_right": 10, "test_hop_symptom": "no"}


@pytest.fixture
def meret(practice: Any) -> Client:
    return factories.client("Meret Solberg")


@pytest.fixture
def owner(practice: Any) -> Any:
    return factories.person(Role.OWNER, email="una@example.org")


def test_the_day_after_tests_she_is_to_be_asked_until_she_has_answered(
    meret: Client, owner: Any
) -> None:
    row = assessment(meret, date(2026, 12, 1), **PASSED)
    found = list(measured.after_tests(owner, TODAY))
    assert found == [
        Item(
            date(2026, 12, 2), "Ask Meret Solberg how the day after was",
            reverse("clients:next_day", args=[meret.pk, row.key]), "ask",
            "Leaking, heaviness or pain the day after the tests?", late=True,
        )
    ]  # fmt: skip
    record_next_day(by=SYSTEM, assessment=row, answer="no", on=date(2026, 12, 2))
    assert list(measured.after_tests(owner, TODAY)) == []


def test_a_width_alone_asks_nothing_the_day_after(meret: Client, owner: Any) -> None:
    assessment(meret, date(2026, 12, 2))
    assert list(measured.after_tests(owner, TODAY)) == []


def test_what_was_begun_is_to_be_finished(meret: Client, owner: Any) -> None:
    row = assessment(meret, TODAY, finished=False)
    assert [(one.what, one.url, one.action) for one in measured.not_finished(owner)] == [
        (
            "Finish the assessment of Meret Solberg",
            reverse("clients:assessment", args=[meret.pk, row.key]),
            "continue",
        )
    ]
    row.withdrawn_on = TODAY
    row.save()
    assert list(measured.not_finished(owner)) == []


@pytest.mark.parametrize("role", [Role.COVERING_COACH, Role.ASSISTANT, Role.BOOKKEEPER])
def test_only_who_sees_health_is_told(meret: Client, role: str) -> None:
    assessment(meret, TODAY, finished=False)
    assessment(meret, date(2026, 12, 1), **PASSED)
    person = factories.person(role, email="other@example.org")
    assert [*measured.not_finished(person), *measured.after_tests(person, TODAY)] == []


def test_they_stand_on_the_first_page(browser: Browser, meret: Client) -> None:
    assessment(meret, TODAY, finished=False)
    assert "Finish the assessment of Meret Solberg" in browser.get("/").content.decode()
