"""The Practice section: details, trail, roles, taking everything away."""

from __future__ import annotations

import json
from datetime import date

from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.utils.html import escape

from coach.practice import audit
from coach.practice.models import AuditEntry, Practice, User
from coach.practice.permissions import Role
from coach.scheduling.trimesters import SCHEMES
from tests import factories
from tests.conftest import sign_in

DETAILS = {
    "name": "Strand Row Movement",
    "country": "IE",
    "time_zone": "Europe/Dublin",
    "currency": "EUR",
    "tax_name": "VAT",
    "tax_number": "IE0000000X",
    "tax_rate": "23",
    "address": "1 Strand Row",
    "how_to_pay": "",
    "trimester_scheme": "coding",
}


def test_changed_details_are_kept_with_one_entry(browser: Browser) -> None:
    browser.post("/practice/details/", DETAILS)
    kept = Practice.objects.get()
    assert (kept.tax_basis_points, kept.address) == (2300, "1 Strand Row")
    entry = AuditEntry.objects.get()
    assert entry.fields == ["address", "tax_basis_points", "tax_name", "tax_number"]


def test_wrong_details_change_nothing_and_stay_in_the_form(browser: Browser) -> None:
    answer = browser.post("/practice/details/", {**DETAILS, "tax_rate": "lots"})
    assert list(answer.context["form"].errors) == ["tax_rate"]
    assert 'value="lots"' in answer.content.decode()
    assert Practice.objects.get().address == ""


def test_how_trimesters_are_cut_is_chosen_with_each_scheme_s_source(browser: Browser) -> None:
    page = browser.get("/practice/details/").content.decode()
    assert "Published sources differ." in page
    assert [one.name for one in SCHEMES.values() if escape(one.source) not in page] == []
    browser.post("/practice/details/", DETAILS)
    browser.post("/practice/details/", {**DETAILS, "trimester_scheme": "manual"})
    assert Practice.objects.get().trimester_scheme == "manual"
    assert AuditEntry.objects.order_by("pk").last().fields == ["trimester_scheme"]  # type: ignore[union-attr]  # there is one
    form = browser.get("/practice/details/").context["form"]
    assert form["trimester_scheme"].value() == "manual"


def test_a_scheme_that_there_is_not_changes_nothing(browser: Browser) -> None:
    for sent in ({"trimester_scheme": "thirds"}, {"trimester_scheme": ""}):
        answer = browser.post("/practice/details/", {**DETAILS, **sent})
        assert list(answer.context["form"].errors) == ["trimester_scheme"]
    assert Practice.objects.get().trimester_scheme == "coding"


def test_the_practice_s_name_is_in_every_masthead(browser: Browser) -> None:
    assert "Strand Row Movement" in browser.get("/practice/").content.decode()


def test_the_trail_lists_what_was_done(browser: Browser, owner: User) -> None:
    audit.record(by=audit.Actor(owner), verb="looked at", reason="asked by phone")
    page = browser.get("/practice/trail/").content.decode()
    assert owner.name in page
    assert "asked by phone" in page


def test_the_trail_costs_the_same_for_one_and_for_thirty(browser: Browser, owner: User) -> None:
    audit.record(by=audit.Actor(owner), verb="looked at")
    with CaptureQueriesContext(connection) as one:
        browser.get("/practice/trail/")
    for _ in range(30):
        audit.record(by=audit.Actor(owner), verb="looked at")
    with CaptureQueriesContext(connection) as thirty:
        browser.get("/practice/trail/")
    assert len(thirty) == len(one)


def test_a_refused_page_is_recorded(owner: User) -> None:
    bookkeeper = factories.person(Role.BOOKKEEPER)
    assert sign_in(bookkeeper).get("/practice/trail/").status_code == 403
    entry = AuditEntry.objects.get()
    assert (entry.actor, entry.verb) == (bookkeeper, "refused")
    assert entry.reason == "the practice itself: /practice/trail/"


def test_everything_taken_away_is_readable_and_noted(browser: Browser) -> None:
    client = factories.client("Maeve", note="sleeps badly")
    factories.pregnancy(client, due=date(2027, 4, 12))
    answer = browser.post("/practice/take-away/")
    taken = json.loads(answer.content)
    assert taken["clients.Client"][0]["note"] == "sleeps badly"
    assert taken["clients.Pregnancy"][0]["due"] == "2027-04-12"
    assert "password" not in taken["practice.User"][0]
    assert AuditEntry.objects.get().verb == "took everything away"
    assert "no-store" in answer["Cache-Control"]


def test_the_table_of_roles_is_printed_as_the_code_has_it(browser: Browser) -> None:
    page = browser.get("/practice/roles/").content.decode()
    assert page.count("sees and changes") == 8 + 2 + 1
