"""The go-ahead on the roster: how many there are of each word, and what is not checked."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.test import Client as Browser

from clients import actions
from clients.models import Client
from coach.practice.audit import SYSTEM
from tests import factories
from tests.clients.pages import read
from tests.factories_clearance import clearance, screening, sign

TODAY = date(2026, 12, 3)


def days(n: int) -> date:
    return TODAY + timedelta(days=n)


def somebody(name: str, *, letter: bool, signed: bool = False) -> Client:
    client = factories.client(name)
    factories.pregnancy(client, due=days(150))
    screening(client, days(-9))
    if letter:
        clearance(client, days(-20), until=days(60))
    if signed:
        sign(client, days(-1))
    return client


@pytest.fixture
def coached(practice: Any) -> None:
    somebody("Aoife", letter=True)
    somebody("Betje", letter=False)
    somebody("Ciara", letter=True, signed=True)
    somebody("Dorte", letter=True)


COUNTS = {"on hold": 1, "waiting": 1, "yes": 2}


def test_each_word_is_counted_and_leads_to_those_that_have_it(
    browser: Browser, coached: None
) -> None:
    page = browser.get("/clients/")
    counted = page.context["roster"].words
    assert {str(word): n for word, n in counted.items()} == COUNTS
    assert list(map(str, counted)) == list(COUNTS)
    for word, n in COUNTS.items():
        address = f"?word={word.replace(' ', '+')}"
        assert f'href="{address}"' in page.content.decode()
        assert len(browser.get(f"/clients/{address}").context["page"]) == n


def test_a_word_that_nobody_has_says_so(browser: Browser, coached: None) -> None:
    answer = browser.get("/clients/?word=yes%2C+with+limits")
    assert "Nobody found" in read(answer)
    assert 'href="?"' in answer.content.decode()


SEES = {"owner": True, "covering coach": True, "assistant": True, "bookkeeper": False}


@pytest.mark.parametrize(("role", "sees"), SEES.items())
def test_what_is_off_is_said_to_whoever_reads_a_word_and_to_nobody_else(
    people: Any, signed_in: Any, coached: None, role: str, sees: bool
) -> None:
    browser = signed_in(people[role])
    words = "Not checked: how old a letter without an end of its own is."
    assert words not in read(browser.get("/clients/"))
    actions.change_policy(by=SYSTEM, values={"off": ["policy-end"]}, reason="because")
    text = read(browser.get("/clients/"))
    assert (words in text, "By go-ahead" in text) == (sees, sees)


def test_typing_keeps_it_beside_the_words(browser: Browser, coached: None) -> None:
    actions.change_policy(by=SYSTEM, values={"off": ["policy-end"]}, reason="because")
    headers = {"HX-Request": "true", "HX-Target": "roster"}
    text = browser.get("/clients/?find=ao", headers=headers).content.decode()
    assert "Not checked: how old a letter" in text
    assert "<h1" not in text
