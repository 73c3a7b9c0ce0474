"""The register of clearances as a page and as a table, and the words on the roster."""

from __future__ import annotations

import csv
import io
from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from clients import actions
from clients.models import Client
from clients.rules.facts import ClearanceWord
from clients.rules.tables import safe_cell
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry
from coach.scheduling.values import Limits
from tests import factories
from tests.clients.pages import read, too_much
from tests.factories_clearance import clearance, screening, sign

TODAY = date(2026, 12, 3)
DUE = date(2027, 5, 1)
LIMITED: dict[str, Any] = {
    "word": ClearanceWord.LIMITS,
    "limits": Limits(no_impact=True, others=("Stop at RPE 6",)),
}


def days(n: int) -> date:
    return TODAY + timedelta(days=n)


def somebody(name: str, **values: Any) -> Client:
    client = factories.client(name, **values)
    factories.pregnancy(client, due=DUE, known_on=days(-60))
    return client


def lettered(name: str, *, standing: str = "active", **values: Any) -> Client:
    """Pregnant, with current answers and a letter."""
    client = somebody(name, standing=standing)
    screening(client, days(-9))
    clearance(client, days(-20), **values)
    return client


@pytest.fixture
def coached(practice: Any) -> dict[str, Client]:
    """One of each word, out of order, and one who has left."""
    made = {
        "Aoife": lettered("Aoife", until=days(200)),
        "Betje": lettered("Betje", until=days(-1)),
        "Ciara": somebody("Ciara"),
        "Dorte": lettered("Dorte", until=days(200)),
        "Edda": lettered("Edda", until=days(30)),
        "Fia": lettered("Fia", until=days(10), standing="former"),
        "Greta": lettered("Greta", **LIMITED),
        "Hanne": factories.client("Hanne"),
    }
    sign(made["Dorte"], days(-1))
    over = {"ended": days(-400), "ending": "birth", "known_on": days(-400)}
    factories.pregnancy(made["Hanne"], due=days(-400), **over)
    screening(made["Hanne"], days(-9), phase="after")
    return made


ORDER = {
    "on hold": ["Dorte"],
    "waiting": ["Ciara"],
    "run out": ["Betje"],
    "yes, with limits": ["Greta"],
    "yes": ["Edda", "Aoife"],
    "no letter required": ["Hanne"],
}


def groups(answer: Any) -> dict[str, list[str]]:
    return {str(word): [row.person.name for row in rows] for word, rows in answer.context["groups"]}


def test_everyone_being_coached_stands_under_her_word_the_soonest_to_end_first(
    browser: Browser, coached: Any
) -> None:
    shown = groups(browser.get("/clients/clearance/"))
    assert list(shown.items()) == list(ORDER.items())


def test_a_line_tells_the_stage_the_limits_and_until_when(browser: Browser, coached: Any) -> None:
    text = read(browser.get("/clients/clearance/"))
    assert "Yes, with limits 1 client 18w5d Greta No impact; Stop at RPE 6. Since" in text
    assert "Since 13 November 2026, until 2 January 2027" not in text
    assert "18w5d Edda Since 24 November 2026, until 2 January 2027." in text
    assert text.count("not medical advice") == 1


def test_letters_that_run_out_in_thirty_days_are_listed(browser: Browser, coached: Any) -> None:
    """30 days on still counts; somebody who has left does not, nor a letter that ended."""
    found = browser.get("/clients/clearance/").context["running_out"]
    assert [(name, last) for _, name, last in found] == [("Edda", days(30))]


def test_what_is_not_checked_is_said_above_the_words(
    browser: Browser, people: Any, signed_in: Any, coached: Any
) -> None:
    sentence = "Not checked: answers to health questions."
    assert sentence not in read(browser.get("/clients/clearance/"))
    actions.change_policy(by=SYSTEM, values={"off": ["screening"]}, reason="as agreed")
    for role in ("owner", "covering coach", "assistant"):
        assert sentence in read(signed_in(people[role]).get("/clients/clearance/"))


def test_as_many_queries_for_30_as_for_1(browser: Browser, practice: Any) -> None:
    counted = []
    for wanted in (1, 30):
        while Client.objects.count() < wanted:
            lettered(f"Client {Client.objects.count()}", until=days(9))
        found = []
        for path in ("/clients/clearance/", "/clients/clearance/table.csv"):
            with CaptureQueriesContext(connection) as queries:
                answer = browser.get(path)
            found.append(len(queries))
            if answer.context:
                assert len(answer.context["running_out"]) == wanted
        counted.append(found)
    assert counted[0] == counted[1]


def test_nobody_there_is_said(browser: Browser, practice: Any) -> None:
    assert "Nobody here yet" in read(browser.get("/clients/clearance/"))


# Who sees what

SEES = {
    "owner": (True, True),
    "covering coach": (True, True),
    "assistant": (False, False),
}


@pytest.mark.parametrize(("role", "sees"), SEES.items())
def test_each_role_reads_as_much_as_it_may(
    people: Any, signed_in: Any, coached: Any, role: str, sees: tuple[bool, bool]
) -> None:
    answer = signed_in(people[role]).get("/clients/clearance/")
    text = read(answer)
    assert {word: sorted(some) for word, some in groups(answer).items()} == {
        word: sorted(some) for word, some in ORDER.items()
    }
    assert ("18w5d" in text, "No impact" in text) == sees
    assert ("2 January 2027" in text, "running_out" in answer.context) == (sees[1], sees[1])


def table(answer: Any) -> list[list[str]]:
    assert answer["Content-Type"] == "text/csv; charset=utf-8"
    text = answer.content.decode("utf-8-sig")
    return list(csv.reader(io.StringIO(text)))


NARROW = ["Name", "Go-ahead", "May train", "Not checked"]
WIDE = [
    "Name", "Stage", "Go-ahead", "May train", "Not checked", "Limits", "Since and until",
    "Last day",
]  # fmt: skip


@pytest.mark.parametrize(("role", "heads"), [("owner", WIDE), ("covering coach", WIDE),
                                             ("assistant", NARROW)])  # fmt: skip
def test_the_table_has_the_columns_that_the_reader_may_see(
    people: Any, signed_in: Any, coached: Any, role: str, heads: list[str]
) -> None:
    rows = table(signed_in(people[role]).get("/clients/clearance/table.csv"))
    assert rows[0] == heads
    assert {len(row) for row in rows} == {len(heads)}
    at = heads.index("Go-ahead")
    told = {row[0]: (row[at], row[at + 1]) for row in rows[1:]}
    trained = {"yes", "yes, with limits", "no letter required"}
    assert told == {
        name: (word, "yes" if word in trained else "no")
        for word, some in ORDER.items()
        for name in some
    }


def test_the_table_read_by_another_library_says_what_the_page_says(
    browser: Browser, coached: Any
) -> None:
    """RFC 4180, read back by the standard library's reader."""
    actions.change_policy(by=SYSTEM, values={"off": ["gentle"]}, reason="as agreed")
    factories.client("Inga")
    answer = browser.get("/clients/clearance/table.csv")
    rows = {row[0]: row[1:] for row in table(answer)}
    off = "gentle recovery in the first weeks after an end"
    assert rows["Inga"] == ["not known", "waiting", "no", off, "", "", ""]
    assert rows["Greta"][:5] == ["18w5d", "yes, with limits", "yes", off,
                                 "No impact; Stop at RPE 6"]  # fmt: skip
    assert rows["Edda"][-1] == "2027-01-02"
    assert answer["Content-Disposition"] == 'attachment; filename="clearance 2026-12-03.csv"'
    assert answer.content.endswith(b"\r\n")


@pytest.mark.parametrize("name", ["=1+1", "+353", "-2", "@SUM(A1)", "\tx", "\rx", "\nx", "＝1"])
def test_a_cell_that_a_spreadsheet_would_reckon_is_kept_as_text(name: str) -> None:
    """The characters that OWASP names for CSV injection."""
    assert safe_cell(name) == f"'{name}"
    assert safe_cell(f"x{name}") == f"x{name}"


def test_a_name_or_a_limit_in_the_table_is_never_a_formula(browser: Browser, practice: Any) -> None:
    lettered("=HYPERLINK(1)", word=ClearanceWord.LIMITS, limits=Limits(others=("@lift",)))
    row = table(browser.get("/clients/clearance/table.csv"))[1]
    assert (row[0], row[5]) == ("'=HYPERLINK(1)", "'@lift")


def test_taking_the_table_is_in_the_trail(browser: Browser, owner: Any, coached: Any) -> None:
    browser.get("/clients/clearance/table.csv")
    entry = AuditEntry.objects.latest("pk")
    assert (entry.actor, entry.verb, entry.reason) == (
        owner, "exported", "the register of clearances",
    )  # fmt: skip


def test_a_quiet_client_stands_there_in_weeks(browser: Browser, coached: Any) -> None:
    Client.objects.exclude(name="Greta").delete()
    Client.objects.update(quiet=True)
    for path in ("/clients/clearance/", "/clients/clearance/table.csv"):
        answer = browser.get(path)
        assert "Greta" in answer.content.decode()
        assert too_much(answer) == []


# The roster


def names(answer: Any) -> list[str]:
    return [line.person.name for line in answer.context["page"]]


ACTIVE = ["Aoife", "Betje", "Ciara", "Dorte", "Edda", "Greta", "Hanne"]
ASKED = [
    ("?sort=go-ahead", ["Dorte", "Ciara", "Betje", "Greta", "Aoife", "Edda", "Hanne"]),
    ("?word=on+hold", ["Dorte"]),
    ("?word=yes%2C+with+limits", ["Greta"]),
    ("?word=yes&standing=everybody", ["Aoife", "Edda", "Fia"]),
    ("?word=no+letter+required", ["Hanne"]),
    ("?word=letter+on+file", ACTIVE),
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
    assert names(answer) == ACTIVE
    assert [word for word in ORDER if word != "yes" and word in read(answer)] == []


def test_each_line_of_the_roster_has_its_word(browser: Browser, coached: Any) -> None:
    lines = browser.get("/clients/").context["page"]
    wanted = {name: word for word, some in ORDER.items() for name in some}
    assert {line.person.name: str(line.word) for line in lines} == wanted
