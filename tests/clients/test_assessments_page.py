"""The page of her assessments over time."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from clients.models import Client, OwnMeasure
from clients.rules.words import NEVER_IF_QUIET
from tests import factories
from tests.clients.everywhere import main_of
from tests.clients.pages import read
from tests.factories_clearance import assessment


@pytest.fixture
def meret(practice: Any) -> Client:
    client = factories.client("Meret Solberg")
    factories.pregnancy(client, ended=date(2026, 5, 20), ending="birth", birth_mode="vaginal")
    return client


def page(client: Client) -> str:
    return reverse("clients:assessments", args=[client.pk])


def test_what_is_open_stands_first_with_its_days(browser: Browser, meret: Client) -> None:
    assessment(meret, date(2026, 10, 1), heaviness="yes")
    assessment(meret, date(2026, 11, 5), heaviness="yes", leaking="no")
    text = read(browser.get(page(meret)))
    assert "Open now 1" in text
    assert "1 Oct Heaviness Since that day; last on 5 November." in text


def test_charts_have_their_table_and_answers_say_what_was_not_asked(
    browser: Browser, meret: Client
) -> None:
    assessment(meret, date(2026, 10, 1), width_navel_rest=28, leaking="yes")
    assessment(meret, date(2026, 11, 5), width_navel_rest=21, heaviness="no")
    source = browser.get(page(meret)).content.decode()
    assert source.count('role="img"') == 1
    text = read(browser.get(page(meret)))
    assert "25.0 % narrower than 28 mm on 1 October 2026" in text
    assert "as a table : At the navel, at rest Day Week Value How" in text
    assert "Leaking not asked" in text


def test_one_that_is_not_finished_is_to_go_on(browser: Browser, meret: Client) -> None:
    row = assessment(meret, date(2026, 12, 3), finished=False)
    source = browser.get(page(meret)).content.decode()
    assert reverse("clients:assessment", args=[meret.pk, row.key]) in source
    assert "not finished" in source


def test_nothing_measured_is_said(browser: Browser, meret: Client) -> None:
    assert "Nothing is measured yet." in read(browser.get(page(meret)))


def test_one_withdrawn_is_not_in_it(browser: Browser, meret: Client) -> None:
    row = assessment(meret, date(2026, 10, 1), heaviness="yes")
    row.withdrawn_on = date(2026, 10, 2)
    row.save()
    text = read(browser.get(page(meret)))
    assert "Nothing is measured yet." in text


def test_a_quiet_page_says_nothing_it_should_not(browser: Browser, practice: Any) -> None:
    her = factories.client("Honora Finch", quiet=True)
    factories.pregnancy(her, ended=date(2026, 6, 1), ending="loss")
    own = OwnMeasure.objects.create(name="Carrying the baby", unit="min", better="more")
    assessment(her, date(2026, 10, 1), note="the baby slept", by="Newborn Care", leaking="no",
               width_navel_rest=20, **{f"own_{own.pk}": 4})  # fmt: skip
    source = main_of(browser.get(page(her)).content.decode()).casefold()
    assert [word for word in NEVER_IF_QUIET if word in source] == []


def test_as_many_queries_for_thirty_as_for_one(browser: Browser, meret: Client) -> None:
    def count() -> int:
        with CaptureQueriesContext(connection) as caught:
            assert browser.get(page(meret)).status_code == 200
        return len(caught)

    assessment(meret, date(2026, 11, 1), width_navel_rest=20, leaking="no")
    first = count()
    for day in range(1, 30):
        assessment(meret, date(2026, 10, day), width_navel_rest=20, heaviness="no")
    assert count() == first


def test_a_long_list_is_folded_after_the_newest_twelve(browser: Browser, meret: Client) -> None:
    for day in range(1, 16):
        assessment(meret, date(2026, 11, day), leaking="no")
    source = browser.get(page(meret)).content.decode()
    listed = source.partition("Every assessment")[2]
    in_sight, _, folded = listed.partition("<summary>3 earlier</summary>")
    assert [part.count('<span class="when">') for part in (in_sight, folded)] == [12, 3]
