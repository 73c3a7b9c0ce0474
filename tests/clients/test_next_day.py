"""How she was the day after her tests: asked on its page, and whom to ask."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta
from typing import Any
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from clients import actions
from clients.models import Assessment, Client, Standing
from clients.queries import readiness as queries
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry, Practice
from tests import factories
from tests.clients.pages import read, too_much
from tests.clients.readying import TODAY, a_client, d, did_all
from tests.factories_clearance import assessment

HOP = {"test_hop_left": 10, "test_hop_right": 10, "test_hop_symptom": "no"}


@pytest.fixture
def orla(practice: Practice) -> Client:
    return a_client()


def page_of(row: Assessment) -> str:
    return f"/clients/{row.client_id}/assess/{row.key}/next-day/"


def hopped(of: Client, day: date, after: str = "", **others: Any) -> Assessment:
    """A hop on a day, kept on that day; `after`: what she said the day after."""
    row = assessment(of, day, **{**HOP, **others})
    if after:
        on = (day + timedelta(days=1)).isoformat()
        row.measures = {**row.measures, "next_day": after, "next_day_on": on}
    row.created_at = datetime(day.year, day.month, day.day, 10, tzinfo=ZoneInfo("Europe/Dublin"))
    row.save()
    return row


def asked() -> list[tuple[str, date]]:
    return [(one.name, one.day) for one in queries.tests_to_follow_up(TODAY)]


# Her page


def test_nothing_is_chosen_beforehand(browser: Browser, orla: Client) -> None:
    answer = browser.get(page_of(did_all(orla, d(-1), after="")))
    form = answer.context["form"]
    assert (form["answer"].value(), form["on"].value()) == (None, TODAY)
    assert re.findall(r"<input[^>]*radio[^>]*checked", answer.content.decode()) == []


@pytest.mark.parametrize("said", ["no", "yes"])
def test_what_she_says_is_kept_with_its_day(browser: Browser, orla: Client, said: str) -> None:
    row = did_all(orla, d(-2), after="")
    answer = browser.post(page_of(row), {"answer": said, "on": d(-1).isoformat()})
    assert (answer.status_code, answer["Location"]) == (302, f"/clients/{orla.pk}/readiness/")
    row.refresh_from_db()
    assert (row.measures["next_day"], row.measures["next_day_on"]) == (said, d(-1).isoformat())
    kinds = [one.kind for one in queries.readiness_of(orla, TODAY).missing]
    assert kinds == (["next-day"] if said == "yes" else [])
    entry = AuditEntry.objects.exclude(verb="looked at").get()
    assert entry.fields == ["measures next_day", "measures next_day_on"]


def test_a_yes_leads_to_the_warning_signs(browser: Browser, orla: Client) -> None:
    row = did_all(orla, d(-2), after="")
    sent = {"answer": "yes", "on": d(-1).isoformat()}
    text = read(browser.post(page_of(row), sent, follow=True))
    assert "it may be a warning sign: record that as well" in text


@pytest.mark.parametrize(
    ("typed", "fields"),
    [
        ({"answer": ""}, {"answer": ["Say yes or no."]}),
        ({"answer": "perhaps"}, {"answer": ["Select a valid choice. perhaps is not one of the "
                                            "available choices."]}),
        ({"on": ""}, {"on": ["Write the day she told you."]}),
        ({"on": d(-1).isoformat()}, {"on": ["A day after the tests, today at the latest."]}),
        ({"on": d(1).isoformat()}, {"on": ["A day after the tests, today at the latest."]}),
    ],
)  # fmt: skip
def test_what_cannot_be_stands_beside_its_field_and_nothing_is_kept(
    browser: Browser, orla: Client, typed: dict[str, str], fields: dict[str, list[str]]
) -> None:
    row = did_all(orla, d(-1), after="")
    answer = browser.post(page_of(row), {"answer": "no", "on": TODAY.isoformat(), **typed})
    assert (answer.status_code, dict(answer.context["form"].errors)) == (422, fields)
    row.refresh_from_db()
    assert "next_day" not in row.measures


def test_where_no_test_was_done_it_is_not_kept(browser: Browser, orla: Client) -> None:
    row = assessment(orla, d(-1))
    answer = browser.post(page_of(row), {"answer": "no", "on": TODAY.isoformat()})
    assert answer.status_code == 422
    assert answer.context["form"].non_field_errors() == ["No test was done that day."]


def test_an_assessment_of_somebody_else_is_not_found(browser: Browser, orla: Client) -> None:
    row = did_all(a_client("Somebody Else"), d(-1), after="")
    found = [
        browser.get(f"/clients/{orla.pk}/assess/{key}/next-day/").status_code
        for key in (row.key, uuid4())
    ]
    assert found == [404, 404]


def test_a_quiet_client_s_page_says_nothing_that_it_may_not(browser: Browser, orla: Client) -> None:
    row = did_all(orla, d(-1), after="")
    actions.set_quiet(by=SYSTEM, client=orla, quiet=True)
    assert too_much(browser.get(page_of(row))) == []


def test_the_look_is_noted(browser: Browser, orla: Client) -> None:
    browser.get(page_of(did_all(orla, d(-1), after="")))
    assert [one.fields for one in AuditEntry.objects.filter(verb="looked at")] == [["assessments"]]


# Whom to ask


@pytest.mark.parametrize(("days", "is_asked"), [(0, False), (1, True), (7, True), (8, False)])
def test_whoever_did_tests_yesterday_to_seven_days_ago_is_to_be_asked(
    orla: Client, days: int, is_asked: bool
) -> None:
    hopped(orla, d(-days))
    assert asked() == ([("Orla Finch", d(-days))] if is_asked else [])


def test_whom_somebody_has_asked_is_not(orla: Client) -> None:
    hopped(orla, d(-2), "no")
    hopped(orla, d(-1), "yes")
    assert asked() == []


def test_a_test_that_failed_or_is_not_finished_is_asked_about_as_well(orla: Client) -> None:
    hopped(orla, d(-3), test_hop_left=2)
    hopped(orla, d(-2), finished=False)
    hopped(orla, d(-1), test_hop_symptom="yes")
    assert asked() == [("Orla Finch", d(-3)), ("Orla Finch", d(-2)), ("Orla Finch", d(-1))]


def test_no_test_no_question(orla: Client) -> None:
    assessment(orla, d(-1))
    assessment(orla, d(-1), test_hop_offered="no", leaking="yes")
    row = hopped(orla, d(-1))
    actions.withdraw_assessment(by=SYSTEM, assessment=row, reason="another client’s")
    assert asked() == []


@pytest.mark.parametrize(
    ("standing", "is_asked"),
    [(Standing.ACTIVE, True), (Standing.PAUSED, True), (Standing.FORMER, False)],
)
def test_who_is_coached_is_asked(orla: Client, standing: Standing, is_asked: bool) -> None:
    hopped(orla, d(-1))
    actions.set_standing(by=SYSTEM, client=orla, standing=standing)
    assert len(asked()) == is_asked


def test_what_was_written_down_late_is_found_and_what_is_long_over_is_not_read(
    orla: Client,
) -> None:
    """Tests of five days ago that were kept today; and a year of others."""
    row = hopped(orla, d(-5))
    Assessment.objects.update(created_at=row.created_at + timedelta(days=5))
    for weeks in range(2, 54):
        hopped(orla, d(-7 * weeks))
    with CaptureQueriesContext(connection) as captured:
        assert asked() == [("Orla Finch", d(-5))]
    assert len(captured) == 2


def test_it_says_who_it_is_without_a_second_look(orla: Client) -> None:
    row = hopped(orla, d(-1))
    actions.set_quiet(by=SYSTEM, client=orla, quiet=True)
    (one,) = queries.tests_to_follow_up(TODAY)
    assert (one.client_id, one.name, one.quiet, one.key) == (orla.pk, "Orla Finch", True, row.key)


def test_as_many_queries_for_30_as_for_1(practice: Practice) -> None:
    counted = []
    for wanted in (1, 30):
        while Client.objects.count() < wanted:
            hopped(factories.client(), d(-1))
        with CaptureQueriesContext(connection) as captured:
            assert len(queries.tests_to_follow_up(TODAY)) == wanted
        counted.append(len(captured))
    assert counted[0] == counted[1]
