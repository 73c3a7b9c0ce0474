"""On a phone: who is to be reassessed is snoozed in her own line, asked again, and resumed."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from clients.models import Rhythm
from coach.practice.models import User
from coach.practice.permissions import Role
from tests import factories
from tests import factories_diary as made

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def owner_of_all(transactional_db: None) -> User:
    factories.practice()
    for name, last in (("Ines Prado", 20), ("Orla Kinsale", 22)):
        made.assessed(made.afterwards(name, date(2026, 7, 1)), date(2026, 10, last))
    made.afterwards("Tove Rask", date(2026, 10, 10), "loss", quiet=True)
    return factories.person(Role.OWNER)


def test_a_snooze_in_place_and_back(
    window: Callable[..., Page], owner_of_all: User, axe: Callable[..., list[str]]
) -> None:
    page = window(width=390, user=owner_of_all)
    page.goto("/diary/")
    page.get_by_role("link", name="snooze Ines Prado").click()
    page.get_by_label("Why").fill("On holiday")
    send = page.get_by_role("button", name="Snooze Ines Prado")
    send.click()
    expect(page.get_by_text("Choose the day on which to ask again.")).to_be_visible()
    expect(page.get_by_label("Why")).to_have_value("On holiday")
    page.get_by_label("Until").fill("2026-12-20")
    send.click()
    expect(page.get_by_text("Ines Prado is snoozed.")).to_be_visible()
    expect(page.get_by_role("link", name="snooze Ines Prado")).to_have_count(0)
    assert Rhythm.objects.get().snoozed_until == date(2026, 12, 20)
    page.get_by_text("Snoozed: 1").click()
    page.set_viewport_size({"width": 390, "height": 8000})
    assert axe(page) == []
    assert page.evaluate("() => document.documentElement.scrollWidth") == 390
    page.get_by_role("button", name="ask now : Ines Prado").click()
    expect(page.get_by_role("link", name="snooze Ines Prado")).to_be_visible()


def test_what_waits_is_resumed_in_place(window: Callable[..., Page], owner_of_all: Any) -> None:
    page = window(width=390, user=owner_of_all)
    page.goto("/diary/")
    page.get_by_role("button", name="resume for Tove Rask").click()
    expect(page.get_by_text("Tove Rask is asked for again.")).to_be_visible()
    expect(page.get_by_role("link", name="start : Tove Rask")).to_be_visible()
