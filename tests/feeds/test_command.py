"""`feed uploads` prints what a calendar program would read."""

from __future__ import annotations

import io
from datetime import date
from typing import Any

import icalendar
import pytest
from django.core.management import CommandError, call_command
from django.test import Client as Browser
from django.urls import reverse

from coach.feeds import actions
from coach.practice.audit import SYSTEM
from coach.practice.models import User
from tests import factories


class Terminal(io.TextIOWrapper):
    """Standard output as a program sees it: text over bytes."""

    def __init__(self) -> None:
        self.bytes = io.BytesIO()
        super().__init__(self.bytes, encoding="ascii", newline="\r\n")


def test_it_prints_the_bytes_that_are_served(owner: User) -> None:
    factories.upload(date(2026, 12, 8), factories.fitness_class("Über den Boden"))
    token = actions.give_address(by=SYSTEM, person=owner)
    served = Browser().get(reverse("feeds:calendar", args=[token])).content
    terminal = Terminal()
    call_command("feed", "uploads", site="http://testserver", stdout=terminal)
    assert terminal.bytes.getvalue() == served


def test_where_there_are_no_bytes_it_prints_text(owner: User) -> None:
    factories.upload(date(2026, 12, 8), factories.fitness_class("Core and calm"))
    out = io.StringIO()
    call_command("feed", "uploads", stdout=out)
    *_, event = icalendar.Calendar.from_ical(out.getvalue().encode()).events
    assert str(event["SUMMARY"]) == "Publish: Core and calm"
    assert str(event["URL"]).startswith("http://127.0.0.1:8000/classes/")


def test_behind_tls_the_links_are_those_of_the_site(owner: User, settings: Any) -> None:
    settings.TLS, settings.ALLOWED_HOSTS = True, ["coach.example"]
    item = factories.upload(date(2026, 12, 8)).item
    out = io.StringIO()
    call_command("feed", "uploads", stdout=out)
    assert f"URL:https://coach.example/classes/{item.pk}/" in out.getvalue().splitlines()


def test_without_a_practice_it_says_so(db: None) -> None:
    with pytest.raises(CommandError, match="There is no practice"):
        call_command("feed", "uploads", stdout=io.StringIO())


def test_an_unknown_feed_is_refused(owner: User) -> None:
    with pytest.raises(CommandError, match="invalid choice: 'clients'"):
        call_command("feed", "clients", stdout=io.StringIO())
