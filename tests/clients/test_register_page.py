"""The register of clearances, and the words on the roster."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from clients.models import Client
from tests import factories
from tests.clients.pages import read
from tests.factories_clearance import clearance, sign

TODAY = date(2026, 12, 3)
DUE = date(2027, 5, 1)


def days(n: int) -> date:
    return TODAY + timedelta(days=n)


def somebody(name: str, **values: Any) -> Client:
    client = factories.client(name, **values)
    factories.pregnancy(client, due=DUE)
    return client


@pytest.fixture
def coached(practice: Any) -> dict[str, Client]:
    """One of each word, out of order, and one who has left."""
    names = ("Aoife", "Betje", "Ciara", "Dorte", "Edda", "Fia")
    made = {name: somebody(name, standing="former" if name == "Fia" else "active")
            for name in names}  # fmt: skip
    clearance(made["Aoife"], days(-20), until=days(200))
    clearance(made["Betje"], days(-20), until=days(-1))
    clearance(made["Dorte"], days(-20), until=days(200))
    sign(made["Dorte"], days(-1))
    clearance(made["Edda"], days(-20), until=days(30))
    clearance(made["Fia"], days(-20), until=days(10))
    return made


ORDER = {
    "on hold": ["Dorte"],
    "waiting": ["Ciara"],
    "run out": ["Betje"],
    "letter on file": ["Aoife", "Edda"],
}


def test_everyone_being_coached_stands_under_her_word(browser: Browser, coached: Any) -> None:
    groups = browser.get("/clients/clearance/").context["groups"]
    shown = {str(word): [line.person.name for line in lines] for word, _, lines in groups}
    assert list(shown.items()) == list(ORDER.items())


def test_a_letter_on_file_is_no_yes(browser: Browser, coached: Any) -> None:
    text = read(browser.get("/clients/clearance/"))
    note = "Letter on file 2 clients Not everything is checked: your own judgement decides."
    assert note in text
    assert text.count("not medical advice") == 1


def test_letters_that_run_out_in_thirty_days_are_listed(browser: Browser, coached: Any) -> None:
    """30 days on still counts, and somebody who has left does not."""
    found = browser.get("/clients/clearance/").context["running_out"]
    assert [(name, last) for _, name, last in found] == [("Edda", days(30))]


def test_as_many_queries_for_30_as_for_1(browser: Browser, practice: Any) -> None:
    counted = []
    for wanted in (1, 30):
        while Client.objects.count() < wanted:
            clearance(somebody(f"Client {Client.objects.count()}"), days(-20), until=days(9))
        with CaptureQueriesContext(connection) as queries:
            answer = browser.get("/clients/clearance/")
        assert len(answer.context["running_out"]) == wanted
        counted.append(len(queries))
    assert counted[0] == counted[1]


def test_nobody_there_is_said(browser: Browser, practice: Any) -> None:
    assert "Nobody here yet" in read(browser.get("/clients/clearance/"))


def names(answer: Any) -> list[str]:
    return [line.person.name for line in answer.context["page"]]


ASKED = [
    ("?sort=go-ahead", ["Dorte", "Ciara", "Betje", "Aoife", "Edda"]),
    ("?word=on+hold", ["Dorte"]),
    ("?word=letter+on+file", ["Aoife", "Edda"]),
    ("?word=letter+on+file&standing=everybody", ["Aoife", "Edda", "Fia"]),
    ("?word=yes", ["Aoife", "Betje", "Ciara", "Dorte", "Edda"]),
]


@pytest.mark.parametrize(("asked", "shown"), ASKED)
def test_the_roster_is_filtered_and_ordered_by_word(
    browser: Browser, coached: Any, asked: str, shown: list[str]
) -> None:
    assert names(browser.get(f"/clients/{asked}")) == shown


@pytest.mark.parametrize("asked", [asked for asked, _ in ASKED])
def test_a_bookkeeper_can_neither_filter_nor_order_by_what_she_may_not_see(
    people: Any, signed_in: Any, coached: Any, asked: str
) -> None:
    answer = signed_in(people["bookkeeper"]).get(f"/clients/{asked.replace('everybody', '')}")
    assert names(answer) == ["Aoife", "Betje", "Ciara", "Dorte", "Edda"]
    assert [word for word in ORDER if word in read(answer)] == []


def test_each_line_of_the_roster_has_its_word(browser: Browser, coached: Any) -> None:
    lines = browser.get("/clients/").context["page"]
    wanted = {name: word for word, some in ORDER.items() for name in some}
    assert {line.person.name: str(line.word) for line in lines} == wanted
