"""What a client agreed to: each purpose by itself, and taking it back."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from clients.models import Client, Consent
from clients.queries.letters import consented_on
from clients.rules.consents import purposes
from coach.practice.models import AuditEntry
from tests import factories
from tests.clients.pages import read, too_much


@pytest.fixture
def her(practice: Any) -> Client:
    return factories.client("Meret A.")


def say(browser: Browser, her: Client, **sent: str) -> Any:
    return browser.post(f"/clients/{her.pk}/consents/", sent)


def test_agreed_on_a_call_is_kept_with_its_version_and_once(browser: Browser, her: Client) -> None:
    for _ in range(2):
        assert say(browser, her, purpose="clinician").status_code == 302
    row = Consent.objects.get()
    wanted = ("clinician", purposes()["clinician"].version, "call", None)
    assert (row.purpose, row.version, row.how, row.withdrawn_at) == wanted
    assert AuditEntry.objects.filter(subject_kind__icontains="consent").count() == 1


def test_taken_back_it_counts_no_more_and_stays_in_the_history(
    browser: Browser, her: Client
) -> None:
    say(browser, her, purpose="clinician")
    assert consented_on(her)
    say(browser, her, purpose="clinician", withdraw="1")
    assert consented_on(her) is None
    assert Consent.objects.get().withdrawn_at is not None
    say(browser, her, purpose="clinician")
    assert Consent.objects.count() == 2


def test_the_page_tells_each_purpose_with_its_words(browser: Browser, her: Client) -> None:
    say(browser, her, purpose="health")
    text = read(browser.get(f"/clients/{her.pk}/consents/"))
    assert [one.title in text for one in purposes().values()] == [True] * len(purposes())
    assert (text.count("take back"), text.count("she agreed on a call")) == (1, 3)


def test_another_purpose_is_refused_and_nothing_kept(browser: Browser, her: Client) -> None:
    assert say(browser, her, purpose="moon").status_code == 400
    assert Consent.objects.count() == 0


def test_the_page_of_a_quiet_client_says_nothing(browser: Browser, her: Client) -> None:
    Client.objects.update(quiet=True)
    say(browser, her, purpose="health")
    assert too_much(browser.get(f"/clients/{her.pk}/consents/")) == []


def test_it_costs_the_same_however_often_she_changed_her_mind(
    browser: Browser, her: Client
) -> None:
    counts = []
    for times in (1, 30):
        for _ in range(times):
            say(browser, her, purpose="email")
            say(browser, her, purpose="email", withdraw="1")
        with CaptureQueriesContext(connection) as queries:
            browser.get(f"/clients/{her.pk}/consents/")
        counts.append(len(queries))
    assert counts[0] == counts[1]
