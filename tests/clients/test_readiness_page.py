"""Return to impact on its page, and as a part of others."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from clients import actions
from clients.models import Client
from clients.queries.readiness import readiness_of
from coach import clock
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry, Practice
from tests import factories
from tests.clients.pages import read, too_much
from tests.clients.readying import TODAY, a_client, d, did_all
from tests.factories_clearance import assessment, sign

HTMX = {"HX-Request": "true", "HX-Target": "readiness"}


@pytest.fixture
def orla(practice: Practice) -> Client:
    return a_client()


def page_of(client: Client) -> str:
    return f"/clients/{client.pk}/readiness/"


def choose(**values: Any) -> None:
    actions.change_measuring(by=SYSTEM, values=values, reason="as agreed")


def test_nothing_missing_under_the_policy_by_its_name_and_never_more(
    browser: Browser, orla: Client
) -> None:
    did_all(orla, d(-4))
    text = read(browser.get(page_of(orla)))
    assert "Nothing missing under the 2019 guideline" in text
    assert "ready" not in text.replace("Already", "").casefold()
    assert "not medical advice" in text


def test_what_is_missing_stands_with_its_source_and_what_mends_it(
    browser: Browser, orla: Client
) -> None:
    did_all(orla, d(-4), test_hop_left=8)
    text = read(browser.get(page_of(orla)))
    assert "Missing under the 2019 guideline" in text
    assert (
        "Hop on the spot: fail on 29 November 2026 (left leg 8 of 10). assess "
        "Do it again: 10 times each leg, without a symptom. "
        "Source: Goom, Donnelly and Brockwell 2019" in text
    )


def test_each_test_stands_in_the_table_with_its_latest_result(
    browser: Browser, orla: Client
) -> None:
    did_all(orla, d(-4), test_hop_left=8, test_walk_amount=None, test_walk_symptom=None)
    text = read(browser.get(page_of(orla)))
    assert "Walk 30 min no result" in text
    assert "Stand on one leg 10 s each leg pass 29 Nov" in text
    assert "Hop on the spot 10 times each leg fail 29 Nov left leg 8 of 10" in text


def test_it_names_the_policy_in_force_and_that_published_ones_differ(
    browser: Browser, orla: Client
) -> None:
    did_all(orla, d(-4))
    choose(readiness="2024")
    text = read(browser.get(page_of(orla)))
    assert "Nothing missing under the 2024 consensus" in text
    assert (
        "This page goes by the 2024 consensus: 3 weeks from the end, results of the last 14 days."
        in text
    )
    assert "Published sources differ" in text
    for source in ("Goom, Donnelly", "Christopher and others 2024", "Davenport", "HSE Ireland"):
        assert source in text


def test_each_thing_missing_leads_to_where_it_is_mended(browser: Browser, practice: Any) -> None:
    client = a_client(weeks=11)
    client.pregnancies.update(birth_mode="")
    client.clearances.all().delete()
    row = did_all(client, d(-2), after="", leaking=None)
    lines = browser.get(page_of(client)).context["lines"]
    assert {one.missing.kind: (one.label, one.url) for one in lines} == {
        "time": ("", ""),
        "operation": ("her dates", f"/clients/{client.pk}/"),
        "go-ahead": ("a letter", f"/clients/{client.pk}/clearance/add/"),
        "leaking": ("assess", f"/clients/{client.pk}/assess/"),
        "next-day": ("ask", f"/clients/{client.pk}/assess/{row.key}/next-day/"),
    }


def test_tests_of_today_are_asked_about_tomorrow(browser: Browser, orla: Client) -> None:
    did_all(orla, TODAY, after="")
    page = browser.get(page_of(orla))
    assert "The tests are of today. assess Ask tomorrow how she is." in read(page)
    (line,) = page.context["lines"]
    assert line.url == f"/clients/{orla.pk}/assess/"


def test_what_is_switched_off_is_said_to_be_not_checked(browser: Browser, orla: Client) -> None:
    did_all(orla, d(-4))
    actions.change_policy(by=SYSTEM, values={"off": ["caesarean"]}, reason="as agreed")
    for headers in ({}, HTMX):
        assert "Not checked: the recovery of an operation." in read(
            browser.get(page_of(orla), headers=headers)
        )


def test_on_hold_it_says_so_first(browser: Browser, orla: Client) -> None:
    did_all(orla, d(-4))
    sign(orla, TODAY)
    text = read(browser.get(page_of(orla)))
    assert "Her go-ahead says “on hold”." in text
    assert "Nothing missing" not in text


def test_a_withdrawn_assessment_counts_for_nothing(browser: Browser, orla: Client) -> None:
    did_all(orla, d(-4))
    row = assessment(orla, d(-3), leaking="yes")
    assert "Leaking on 30 November 2026" in read(browser.get(page_of(orla)))
    actions.withdraw_assessment(by=SYSTEM, assessment=row, reason="another client’s")
    assert "Nothing missing under" in read(browser.get(page_of(orla)))


def test_other_pages_hold_a_part_of_it(browser: Browser, orla: Client) -> None:
    did_all(orla, d(-4))
    part = browser.get(page_of(orla), headers=HTMX)
    text = read(part)
    assert text == "Return to impact all of it Nothing missing under the 2019 guideline"
    assert part.content.decode().strip().startswith('<div id="readiness">')


def test_the_look_is_noted_once(browser: Browser, orla: Client) -> None:
    browser.get(page_of(orla))
    browser.get(page_of(orla), headers=HTMX)
    entry = AuditEntry.objects.get(verb="looked at")
    assert "assessments" in entry.fields


@pytest.mark.parametrize("ending", ["birth", "loss"])
def test_a_quiet_client_s_page_says_nothing_that_it_may_not(
    browser: Browser, practice: Practice, ending: str
) -> None:
    client = a_client(weeks=5)
    client.pregnancies.update(birth_mode="caesarean" if ending == "birth" else "", ending=ending)
    did_all(client, d(-4), leaking="yes", test_hop_left=3)
    assessment(client, d(-2), bleeding="yes")
    actions.set_quiet(by=SYSTEM, client=client, quiet=True)
    answers = [browser.get(page_of(client), headers=headers) for headers in ({}, HTMX)]
    assert [too_much(one) for one in answers] == [[], []]
    assert "caesarean of" not in read(answers[0]).casefold()


def test_a_wait_ends_for_both_dates_and_tests_count_for_the_later(
    practice: Practice, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Auckland is a day ahead: her tests of her today are there, the twelve weeks are not over."""
    client = a_client(weeks=12, time_zone="Pacific/Auckland")
    ended = d(-83)
    client.pregnancies.update(ended=ended, due=ended)
    dates = {"Europe/Dublin": TODAY, "Pacific/Auckland": d(1)}
    monkeypatch.setattr(clock, "today", lambda zone: dates[str(zone)])
    did_all(client, d(-1))
    found = readiness_of(client, TODAY)
    assert ([one.kind for one in found.missing], found.on) == (["time"], d(1))


def test_an_earlier_day_is_answered_as_it_was(orla: Client) -> None:
    did_all(orla, d(-4))
    assessment(orla, TODAY, leaking="yes")
    found = [[one.kind for one in readiness_of(orla, d(n)).missing] for n in (-5, -4, -3, 0)]
    assert ["test-hop" in kinds for kinds in found] == [True, False, False, False]
    assert found[1:] == [["next-day"], [], ["leaking"]]


@pytest.mark.parametrize("headers", [{}, HTMX])
def test_as_many_queries_with_30_assessments_as_with_1(
    browser: Browser, orla: Client, headers: dict[str, str]
) -> None:
    counted = []
    for wanted in (1, 30):
        while (n := orla.assessments.count()) < wanted:
            did_all(orla, d(-1 - n), after="")
        with CaptureQueriesContext(connection) as captured:
            browser.get(page_of(orla), headers=headers)
        counted.append(len(captured))
    assert counted[0] == counted[1]


def test_whoever_may_not_see_health_sees_nothing_of_it(people: Any, signed_in: Any) -> None:
    client = factories.client()
    found = {
        role: signed_in(person).get(page_of(client)).status_code for role, person in people.items()
    }
    assert found == {
        "owner": 200, "covering coach": 403, "assistant": 403, "bookkeeper": 403, "leaver": 302,
        "nobody": 302,
    }  # fmt: skip
