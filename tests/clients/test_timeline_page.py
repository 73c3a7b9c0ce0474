"""The time line on her page: every kind of line, the filter, its pages, and what it costs."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from clients.models import Client, Entry
from clients.rules.happened import KINDS
from clients.rules.notes import NOTE
from tests.clients.pages import read
from tests.clients.told_everything import d, entry, known, tell

HTMX = {"HX-Request": "true", "HX-Target": "happened"}
TITLES = (
    "Note", "Message, as she said", "Clearance: go ahead, with limits", "Warning sign: Dizzy",
    "Screening", "Condition: a low placenta", "Assessment", "Trained by exception",
    "Referral letter", "Form received", "Consent", "Pregnancy",
)  # fmt: skip


TWICE = ("sign", "condition", "assessment")  # each once more, withdrawn or answered otherwise


@pytest.fixture
def honora(practice: Any) -> Client:
    return known()


def kinds(source: str) -> dict[str, int]:
    """What the filter offers, with its counts."""
    links = re.findall(r'\?kind=(\w+)" hx-get=[^>]*>[^<]*<span class="count">(\d+)<', source)
    return {kind: int(count) for kind, count in links}


def test_every_kind_of_row_has_its_line_and_its_place_in_the_filter(
    browser: Browser, honora: Client
) -> None:
    tell(honora)
    here = f"/clients/{honora.pk}/"
    pages = [browser.get(f"{here}?page={n}").content.decode() for n in (1, 2)]
    text = " ".join(re.sub(r"<[^>]+>", " ", page) for page in pages)
    assert [title for title in TITLES if title not in " ".join(text.split())] == []
    assert kinds(pages[0]) == {kind: 1 for kind in KINDS} | dict.fromkeys(TWICE, 2)


@pytest.mark.parametrize("kind", KINDS)
def test_a_filter_shows_its_kind_alone_in_place_or_as_a_page(
    browser: Browser, honora: Client, kind: str
) -> None:
    tell(honora)
    here = f"/clients/{honora.pk}/?kind={kind}"
    part, page = browser.get(here, headers=HTMX), browser.get(here)
    lines = [answer.content.decode().partition('id="happened"')[2].count('<span class="when">')
             for answer in (part, page)]  # fmt: skip
    assert lines[0] == (2 if kind in TWICE else 1)
    assert ("<h1" in part.content.decode(), "<h1" in page.content.decode()) == (False, True)
    assert 'aria-current="true"' in part.content.decode()


def test_a_kind_that_there_is_not_shows_all(browser: Browser, honora: Client) -> None:
    tell(honora)
    text = read(browser.get(f"/clients/{honora.pk}/?kind=x"))
    assert "What happened 15 lines" in text


def test_a_long_time_line_is_turned_page_by_page(browser: Browser, honora: Client) -> None:
    for n in range(30):
        entry(honora, NOTE, d(-n), f"entry number {n}.")
    here = f"/clients/{honora.pk}/"
    pages = [browser.get(f"{here}?kind=note&page={n}").content.decode() for n in (1, 2, 3)]
    found = [[int(n) for n in re.findall(r"entry number (\d+)\.", page)] for page in pages]
    assert found == [list(range(12)), list(range(12, 24)), list(range(24, 30))]
    assert [f"{here}?kind=note&amp;page={n}" in pages[1] for n in (1, 2, 3)] == [True, False, True]
    assert ('rel="prev"' in pages[0], 'rel="next"' in pages[2]) == (False, False)


def queries_of(browser: Browser, address: str, **headers: Any) -> int:
    with CaptureQueriesContext(
        connection,
    ) as caught:
        assert browser.get(address, **headers).status_code == 200
    return len(caught)


def test_as_many_queries_for_thirty_rows_of_each_kind_as_for_one(
    browser: Browser, honora: Client
) -> None:
    asked = [f"/clients/{honora.pk}/{query}" for query in ("", "?kind=note", "?page=2")]
    everything = [(one, headers) for one in asked for headers in ({}, {"headers": HTMX})]
    tell(honora)
    first = [queries_of(browser, address, **headers) for address, headers in everything]
    tell(honora, times=29)
    assert Entry.objects.count() == 90
    assert [queries_of(browser, address, **headers) for address, headers in everything] == first


def test_a_letter_and_a_measurement_of_another_coach_say_so(
    browser: Browser, honora: Client
) -> None:
    tell(honora, typed="Orla Finnegan")
    for kind in ("clearance", "assessment"):
        text = read(browser.get(f"/clients/{honora.pk}/?kind={kind}"))
        assert "From another coach: Orla Finnegan" in text


def test_a_form_not_looked_through_leads_to_it(browser: Browser, honora: Client) -> None:
    tell(honora)
    source = browser.get(f"/clients/{honora.pk}/?kind=form").content.decode()
    assert "One of her answers stops her until a clinician answers it." in source


def test_the_pregnancy_line_tells_what_was_named_in_it(browser: Browser, honora: Client) -> None:
    tell(honora)
    text = read(browser.get(f"/clients/{honora.pk}/?kind=dates"))
    assert (
        "now Pregnancy change Pregnancy due Sunday 21 February 2027, by scan 2 babies expected "
        "named: a low placenta, a low placenta (as she said)"
    ) in text


def test_today_stands_without_its_year_and_another_year_with_it(
    browser: Browser, honora: Client
) -> None:
    entry(honora, NOTE, date(2025, 12, 3), "a year ago")
    assert "3 Dec 2025 Note" in read(browser.get(f"/clients/{honora.pk}/?kind=note"))
