"""The roster as a page."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from clients.models import Client
from coach.practice.models import AuditEntry
from tests import factories

TODAY = date(2026, 12, 3)


def names(answer: Any) -> list[str]:
    return [line.person.name for line in answer.context["page"]]


def due(n: int) -> date:
    return TODAY + timedelta(days=n)


@pytest.fixture
def roster(practice: Any) -> dict[str, Client]:
    """One of each kind, out of order."""
    made = {
        "Órla O’Driscoll": {"due": due(80)},
        "Meret A.": {"due": due(-9)},
        "Tal R.": {"due": due(-80), "ended": due(-77), "ending": "birth"},
        "Ines P.": None,
        "Hanne V.": {"due": due(230)},
        "Yuna S.": {"due": due(100)},
    }
    standing = {"Hanne V.": "paused", "Yuna S.": "former"}
    clients = {}
    for name, pregnancy in made.items():
        clients[name] = factories.client(name, standing=standing.get(name, "active"))
        if pregnancy:
            factories.pregnancy(clients[name], **pregnancy)
    return clients


ASKED = [
    # asked                                    shown, in this order
    ("", ["Hanne V.", "Ines P.", "Meret A.", "Órla O’Driscoll", "Tal R."]),
    ("?find=orla", ["Órla O’Driscoll"]),
    ("?find=o%27d", ["Órla O’Driscoll"]),
    ("?find=yuna", []),
    ("?find=yuna&standing=everybody", ["Yuna S."]),
    ("?stage=t3", ["Órla O’Driscoll"]),
    ("?stage=past-due", ["Meret A."]),
    ("?stage=unknown", ["Ines P."]),
    ("?standing=active", ["Ines P.", "Meret A.", "Órla O’Driscoll", "Tal R."]),
    ("?standing=paused", ["Hanne V."]),
    ("?standing=former", ["Yuna S."]),
    ("?sort=stage", ["Hanne V.", "Órla O’Driscoll", "Meret A.", "Tal R.", "Ines P."]),
    ("?sort=weeks", ["Meret A.", "Órla O’Driscoll", "Hanne V.", "Tal R.", "Ines P."]),
    ("?sort=changed&standing=active", ["Ines P.", "Meret A.", "Órla O’Driscoll", "Tal R."]),
    ("?stage=t9&standing=x&sort=y&page=z",
     ["Hanne V.", "Ines P.", "Meret A.", "Órla O’Driscoll", "Tal R."]),
]  # fmt: skip


@pytest.mark.parametrize(("asked", "shown"), ASKED)
def test_the_address_says_what_is_shown(
    browser: Browser, roster: Any, asked: str, shown: list[str]
) -> None:
    assert names(browser.get(f"/clients/{asked}")) == shown


def test_a_page_holds_25_and_the_address_leads_to_the_next(browser: Browser, practice: Any) -> None:
    for n in range(30):
        factories.client(f"Client {n:02}")
    first = browser.get("/clients/?find=client")
    assert len(names(first)) == 25
    assert 'href="?find=client&amp;page=2"' in first.content.decode()
    assert names(browser.get("/clients/?find=client&page=2")) == [
        f"Client {n}" for n in range(25, 30)
    ]


@pytest.mark.parametrize("role", ["owner", "assistant"])
def test_as_many_queries_for_30_as_for_1(people: Any, signed_in: Any, role: str) -> None:
    browser = signed_in(people[role])
    counted = []
    for wanted in (1, 30):
        while Client.objects.count() < wanted:
            factories.pregnancy(factories.client(), due=due(50))
        with CaptureQueriesContext(connection) as queries:
            assert len(names(browser.get("/clients/?find=client"))) == min(wanted, 25)
        counted.append(len(queries))
    assert counted[0] == counted[1]


def test_typing_gets_the_list_alone_and_an_address_without_what_is_usual(
    browser: Browser, roster: Any
) -> None:
    headers = {"HX-Request": "true", "HX-Target": "roster"}
    asked = "/clients/?find=orla&stage=&standing=current&sort=name"
    part = browser.get(asked, headers=headers)
    assert names(part) == ["Órla O’Driscoll"]
    assert part["HX-Replace-Url"] == "/clients/?find=orla"
    text = part.content.decode()
    assert ("<html" in text, "<form" in text, 'href="/clients/' in text) == (False, False, True)
    assert {name.strip() for name in part["Vary"].split(",")} >= {"HX-Request", "HX-Target"}


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"HX-Request": "true", "HX-Target": "elsewhere"},
        {"HX-Request": "true", "HX-Target": "roster", "HX-History-Restore-Request": "true"},
    ],
)
def test_anything_else_gets_the_whole_page(
    browser: Browser, roster: Any, headers: dict[str, str]
) -> None:
    answer = browser.get("/clients/?find=orla", headers=headers)
    text = answer.content.decode()
    assert ("</html>" in text, "<form" in text, names(answer)) == (True, True, ["Órla O’Driscoll"])


def test_a_former_client_searched_for_is_one_tap_away(browser: Browser, roster: Any) -> None:
    text = browser.get("/clients/?find=yuna").content.decode()
    assert "1 more among all standings" in text
    assert 'href="?find=yuna&amp;standing=everybody"' in text


def test_nobody_found_and_nobody_there_are_said_apart(browser: Browser, practice: Any) -> None:
    assert "Nobody here yet" in browser.get("/clients/").content.decode()
    assert "Nobody found" in browser.get("/clients/?find=x").content.decode()


def test_the_stages_are_counted_beside_the_list(browser: Browser, roster: Any) -> None:
    counts = browser.get("/clients/?stage=t3").context["roster"].stages
    assert {str(stage): n for stage, n in counts.items()} == {
        "t1": 1, "t3": 1, "past-due": 1, "w6-12": 1, "unknown": 1,
    }  # fmt: skip


def test_past_the_due_date_says_ask_and_nobody_is_called_cleared(
    browser: Browser, roster: Any
) -> None:
    text = browser.get("/clients/").content.decode()
    assert text.count("Past the due date, nothing recorded: ask how she is") == 1
    assert "ask 1 client how she is" in text
    assert re.findall(r"cleared|go ahead|good to go|fine", text, re.IGNORECASE) == []
    assert text.count('class="caution"') == 1


def test_looking_at_the_roster_records_nothing(browser: Browser, roster: Any) -> None:
    browser.get("/clients/")
    assert AuditEntry.objects.count() == 0
