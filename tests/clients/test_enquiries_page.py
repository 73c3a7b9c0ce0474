"""The page of enquiries: what is shown first, the filter, the tables, and what it costs."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from clients.models import Enquiry
from clients.queries.enquiries import follow_ups
from clients.rules.words import NEVER_IF_QUIET
from coach.practice import registry
from coach.practice.models import Practice
from content.models import State
from tests import factories
from tests.clients.enquiring import TODAY, d, enquiry
from tests.clients.everywhere import main_of
from tests.clients.pages import read

PAGE = "/clients/enquiries/"


def names(answer: Any) -> list[str]:
    return [line.one.name for line in answer.context["lines"]]


@pytest.fixture
def several(practice: Practice) -> None:
    """One of each state, out of order."""
    enquiry("Closed C.", state="closed", closed_why="never answered", came_on=d(-20))
    enquiry("Week W.", next_step="Call her", next_on=d(7), where_from="a comment")
    enquiry("Client Q.", state="client", client=factories.client("Client Q."))
    enquiry("Late L.", next_step="Write back", next_on=d(-2), told="about 20 weeks")
    enquiry("Invited I.", state="invited", next_step="Ask", next_on=TODAY, email="i@example.org")


ASKED = [
    ("", ["Late L.", "Invited I.", "Week W.", "Client Q.", "Closed C."]),
    ("?show=open", ["Late L.", "Week W."]),
    ("?show=invited", ["Invited I."]),
    ("?show=client", ["Client Q."]),
    ("?show=closed", ["Closed C."]),
    ("?find=comment", ["Week W."]),
    ("?find=i%40example&show=invited", ["Invited I."]),
    ("?find=nobody", []),
    ("?show=x&page=y", ["Late L.", "Invited I.", "Week W.", "Client Q.", "Closed C."]),
]


@pytest.mark.parametrize(("asked", "shown"), ASKED)
def test_the_address_says_what_is_shown(
    browser: Browser, several: None, asked: str, shown: list[str]
) -> None:
    assert names(browser.get(PAGE + asked)) == shown


def test_each_line_says_when_what_and_how_in_words(browser: Browser, several: None) -> None:
    text = read(browser.get(PAGE))
    assert "1 Dec Late L. call Late L. 2 days late · Write back" in text
    assert "+353 86 123 4567 · about 20 weeks" in text
    assert "10 Dec Week W. call Week W. Call her in 7 days +353 86 123 4567 · a comment" in text
    assert "3 Dec Invited I. form sent" in text
    assert "13 Nov Closed C. closed never answered · +353" in text
    assert "Late: 1 waits for a next step whose day has passed." in text


def test_typing_gets_the_list_alone(browser: Browser, several: None) -> None:
    headers = {"HX-Request": "true", "HX-Target": "enquiries"}
    text = browser.get(f"{PAGE}?show=closed", headers=headers).content.decode()
    assert ("<h1" in text, "<form" in text, "Closed C." in text) == (False, False, True)
    assert "that bring who stays" not in text


@pytest.mark.parametrize("role", ["owner", "assistant"])
def test_as_many_queries_for_30_as_for_1(people: Any, signed_in: Any, role: str) -> None:
    browser = signed_in(people[role])
    counted = []
    for wanted in (1, 30):
        while Enquiry.objects.count() < wanted:
            item = factories.fitness_class(state=State.PUBLISHED)
            enquiry(
                next_on=d(-1), next_step="Call", told="20 weeks", where_from=f"place {item.pk}",
                class_uid=item.uid, class_title=item.title,
            )  # fmt: skip
        with CaptureQueriesContext(connection) as queries:
            assert len(names(browser.get(PAGE))) == min(wanted, 25)
        counted.append(len(queries))
    assert counted[0] == counted[1]


def test_whom_to_write_back_to_costs_one_query(practice: Practice) -> None:
    for n in range(30):
        enquiry(f"Name {n:02}", next_on=d(-n), next_step="Call")
    enquiry("tomorrow", next_on=d(1), next_step="Call")
    enquiry("over", next_on=d(-1), state="closed")
    with CaptureQueriesContext(connection) as queries:
        found = follow_ups(TODAY)
    assert ([one.name for one in found], len(queries)) == (
        [f"Name {n:02}" for n in reversed(range(30))], 1,
    )  # fmt: skip


def test_a_page_holds_25_and_the_address_leads_to_the_next(
    browser: Browser, practice: Practice
) -> None:
    for n in range(27):
        enquiry(f"Name {n:02}", next_on=d(n), next_step="Call")
    first = browser.get(f"{PAGE}?show=open")
    assert (len(names(first)), names(browser.get(f"{PAGE}?show=open&page=2"))) == (
        25, ["Name 25", "Name 26"],
    )  # fmt: skip
    assert 'href="?show=open&amp;page=2"' in first.content.decode()


def test_the_tables_count_what_stays(browser: Browser, practice: Practice) -> None:
    item = factories.fitness_class("Core reset", state=State.PUBLISHED)
    by_class = {"class_uid": item.uid, "class_title": "Its first name"}
    stays, left = factories.client(), factories.client(standing="former")
    enquiry(state="client", client=stays, where_from="a comment", **by_class)
    enquiry(state="client", client=left, where_from="A comment", **by_class)
    enquiry(state="closed", where_from="a comment")
    text = read(browser.get(PAGE))
    assert "Class came clients still closed Core reset 2 2 1 0 not known 1 0 0 1" in text
    assert "Where from came clients still closed a comment 3 2 1 1" in text


def test_only_classes_that_are_out_can_be_chosen_the_latest_first(practice: Practice) -> None:
    for state in State:
        if state != State.PUBLISHED:
            factories.fitness_class(state=state)
    old, new, undated = (
        factories.fitness_class(title, state=State.PUBLISHED) for title in ("old", "new", "undated")
    )
    factories.upload(d(-60), old)
    factories.upload(d(-2), new)
    assert registry.titles() == [
        (new.uid, "new"), (old.uid, "old"), (undated.uid, "undated"),
    ]  # fmt: skip


@pytest.mark.parametrize("role", ["owner", "covering coach", "assistant", "bookkeeper"])
def test_each_role_sees_its_facts_and_no_other(people: Any, signed_in: Any, role: str) -> None:
    row = enquiry("Sunniva", told="about 20 weeks", told_due=d(140), note="a friend of Hanne’s")
    browser = signed_in(people[role])
    text = read(browser.get(PAGE)) + read(browser.get(f"{PAGE}{row.pk}/"))
    seen = [words for words in ("+353 86", "about 20 weeks", "due 22 April 2027", "As she told it",
                                "a friend of Hanne", "Send the form", "Add an enquiry")
            if words in text]  # fmt: skip
    stage, change = ["about 20 weeks", "due 22 April 2027", "As she told it"], [
        "Send the form", "Add an enquiry",
    ]  # fmt: skip
    assert (
        seen
        == {
            "owner": ["+353 86", *stage, "a friend of Hanne", *change],
            "covering coach": ["+353 86", *stage],
            "assistant": ["+353 86", *change],
            "bookkeeper": ["+353 86"],
        }[role]
    )


@pytest.mark.parametrize("role", ["covering coach", "bookkeeper"])
def test_who_may_only_look_changes_nothing(people: Any, signed_in: Any, role: str) -> None:
    row, browser = enquiry("Sunniva", next_on=d(-1)), signed_in(people[role])
    here = f"{PAGE}{row.pk}/"
    answers = [browser.get(f"{PAGE}add/"), browser.get(f"{here}edit/")]
    answers += [browser.post(f"{here}{act}/", {"why": "x"})
                for act in ("next", "close", "reopen", "form")]  # fmt: skip
    assert [answer.status_code for answer in answers] == [403] * 6
    assert Enquiry.objects.get().state == "open"


def test_the_roster_leads_there_and_to_the_form_in_one_tap(
    browser: Browser, practice: Practice
) -> None:
    source = browser.get("/clients/").content.decode()
    assert re.findall(r'class="btn[^"]*" href="(/clients/enquiries/[a-z/]*)"', source) == [
        PAGE, f"{PAGE}add/",
    ]  # fmt: skip


TOO_MUCH = {
    "where_from": "a mums’ group", "class_title": "Bump and beyond", "handle": "@new.mum",
    "told": "due in March", "told_due": d(100), "note": "the baby slept",
    "next_step": "Ask of the baby", "next_on": d(-3),
}  # fmt: skip


def test_no_page_of_a_quiet_client_says_what_it_must_not(
    browser: Browser, practice: Practice
) -> None:
    item = factories.fitness_class("Bump and beyond", state=State.PUBLISHED)
    her = factories.client("Ines P.", quiet=True)
    row = enquiry("Ines P.", state="client", client=her, class_uid=item.uid, **TOO_MUCH)
    pages = [main_of(browser.get(f"{PAGE}{row.pk}/{end}").content.decode()).lower()
             for end in ("", "edit/")]  # fmt: skip
    line = browser.get(PAGE).content.decode().partition('<ul class="lines">')[2]
    pages.append(line.partition("</ul>")[0].lower())
    assert [[word for word in NEVER_IF_QUIET if word in page] for page in pages] == [[], [], []]
    assert ["ines p." in page for page in pages] == [True] * 3


def test_her_form_keeps_what_it_does_not_show(browser: Browser, practice: Practice) -> None:
    her = factories.client("Ines P.", quiet=True)
    row = enquiry("Ines P.", state="client", client=her, **TOO_MUCH)
    sent = {"name": "Ines Parata", "phone": row.phone, "came_on": "2026-12-01"}
    answer = browser.post(f"{PAGE}{row.pk}/edit/", sent)
    assert answer.status_code == 302
    kept = Enquiry.objects.get()
    assert kept.name == "Ines Parata"
    assert {name: getattr(kept, name) for name in TOO_MUCH} == TOO_MUCH
