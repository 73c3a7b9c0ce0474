"""A warning sign on its pages: the list, a tap, and what to do."""

from __future__ import annotations

from datetime import date
from html.parser import HTMLParser
from typing import Any

import pytest
from django.test import Client as Browser

from clients.models import Client, WarningSign
from clients.rules.warning_signs import warning_signs
from coach.practice.models import AuditEntry
from tests import factories
from tests.clients.pages import read
from tests.factories_clearance import clearance, sign

EMERGENCY = "Call the local emergency number now"


@pytest.fixture
def meret(practice: Any) -> Client:
    client = factories.client("Meret A.", phone="+353 86 123")
    factories.pregnancy(client, due=date(2027, 2, 21))
    return client


class Buttons(HTMLParser):
    """The buttons of a page in their order: (value, disabled)."""

    def __init__(self, source: str) -> None:
        super().__init__()
        self.found: list[tuple[str, bool]] = []
        self.feed(source.partition("<main")[2].partition("</main>")[0])

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "button":
            given = dict(attrs)
            self.found.append((given.get("value") or "", "disabled" in given))


def test_every_sign_of_her_stage_is_a_button_emergencies_first(
    browser: Browser, meret: Client
) -> None:
    answer = browser.get(f"/clients/{meret.pk}/signs/add/")
    buttons = Buttons(answer.content.decode()).found
    wanted = [one for one in warning_signs().values() if "pregnant" in one.stages]
    assert [value for value, _ in buttons[1:]] == [one.code for one in wanted]
    urgent = [warning_signs()[value].emergency for value, _ in buttons[1:]]
    assert urgent == sorted(urgent, reverse=True)
    assert urgent[0]


def test_enter_in_a_field_sends_no_sign(browser: Browser, meret: Client) -> None:
    """HTML, 4.10.22.2: a form whose first button is disabled is not sent by Enter."""
    answer = browser.get(f"/clients/{meret.pk}/signs/add/")
    assert Buttons(answer.content.decode()).found[0] == ("", True)


def test_movement_is_not_asked_after_the_end(browser: Browser, practice: Any) -> None:
    """CDC urgent maternal warning signs: movements are a sign of a running pregnancy alone."""
    client = factories.client()
    factories.pregnancy(client, due=date(2026, 9, 1), ended=date(2026, 9, 1), ending="birth")
    source = browser.get(f"/clients/{client.pk}/signs/add/").content.decode()
    values = [value for value, _ in Buttons(source).found]
    assert ("movement" in values, "heavy-blood" in values) == (False, True)


def test_one_tap_records_it_for_today_and_says_what_to_do(browser: Browser, meret: Client) -> None:
    clearance(meret, date(2026, 12, 1))
    answer = browser.post(f"/clients/{meret.pk}/signs/add/", {"code": "dizzy"}, follow=True)
    row = WarningSign.objects.get()
    assert (row.code, row.happened_on, row.known_on, row.text) == (
        "dizzy", date(2026, 12, 3), date(2026, 12, 3), "",
    )  # fmt: skip
    assert answer.redirect_chain == [(f"/clients/{meret.pk}/signs/{row.pk}/", 302)]
    text = read(answer)
    assert [words for words in ("Stop.", "Refer her.", "On hold.") if words not in text] == []
    assert "Meret A. is on hold until a clinician has answered this sign by name." in text
    assert EMERGENCY not in text
    assert "On hold Since today" in read(browser.get(f"/clients/{meret.pk}/"))


def test_an_emergency_says_its_number_before_anything_else(browser: Browser, meret: Client) -> None:
    answer = browser.post(f"/clients/{meret.pk}/signs/add/", {"code": "breath"}, follow=True)
    text = read(answer)
    assert 0 < text.index(EMERGENCY) < text.index("Stop.")
    assert "ACOG Committee Opinion 804 (2020)" in text


def test_an_earlier_day_and_a_note_are_kept(browser: Browser, meret: Client) -> None:
    sent = {"code": "dizzy", "happened_on": "2026-11-30", "text": "on the stairs"}
    answer = browser.post(f"/clients/{meret.pk}/signs/add/", sent, follow=True)
    row = WarningSign.objects.get()
    assert (row.happened_on, row.known_on) == (date(2026, 11, 30), date(2026, 12, 3))
    assert "Dizzy or faint (on the stairs)" in read(answer)
    assert "Happened on Monday 30 November" in read(answer)


def test_a_second_tap_on_the_same_sign_leads_to_the_first(browser: Browser, meret: Client) -> None:
    page = f"/clients/{meret.pk}/signs/add/"
    places = [browser.post(page, {"code": code})["Location"] for code in ("dizzy", "dizzy", "leg")]
    rows = list(WarningSign.objects.values_list("code", flat=True))
    assert (places[0] == places[1], places[1] == places[2], rows) == (True, False, ["dizzy", "leg"])


@pytest.mark.parametrize(
    ("sent", "field", "sentence"),
    [
        ({}, "code", "Tap one of the signs."),
        ({"code": "hiccups"}, "code", "That is none of the signs."),
        ({"code": "heavy-blood"}, "code", "That is none of the signs."),
        ({"code": "other"}, "text", "Say what it is."),
        ({"code": "dizzy", "happened_on": "2026-12-09"}, "happened_on",
         "That day has not come yet."),
        ({"code": "dizzy", "happened_on": "soon"}, "happened_on",
         "Write a day that there is, like 21/02/2027."),
    ],
)  # fmt: skip
def test_what_cannot_be_is_told_and_nothing_is_kept(
    browser: Browser, meret: Client, sent: dict[str, str], field: str, sentence: str
) -> None:
    page = f"/clients/{meret.pk}/signs/add/"
    answer = browser.post(page, {"text": "" if field == "text" else "she rang", **sent})
    assert (answer.status_code, answer.context["form"].errors) == (422, {field: [sentence]})
    assert "<details open>" in answer.content.decode()
    assert ("she rang" in answer.content.decode()) == (field != "text")
    assert WarningSign.objects.count() == 0


def test_the_page_of_an_answered_sign_says_so(browser: Browser, meret: Client) -> None:
    row = sign(meret, date(2026, 12, 1))
    clearance(meret, date(2026, 12, 2), answers=(row.pk,))
    text = read(browser.get(f"/clients/{meret.pk}/signs/{row.pk}/"))
    assert ("A clinician has answered this sign." in text, "is on hold" in text) == (True, False)


def test_a_sign_is_found_under_its_own_client_only(browser: Browser, meret: Client) -> None:
    row = sign(meret, date(2026, 12, 1))
    other = factories.client("Tal R.")
    assert browser.get(f"/clients/{other.pk}/signs/{row.pk}/").status_code == 404


def test_each_look_at_a_sign_is_in_the_trail(browser: Browser, owner: Any, meret: Client) -> None:
    row = sign(meret, date(2026, 12, 1))
    browser.get(f"/clients/{meret.pk}/signs/{row.pk}/")
    entry = AuditEntry.objects.latest("pk")
    assert (entry.actor, entry.verb, entry.subject_kind, entry.subject_id) == (
        owner, "looked at", "clients.warningsign", str(row.pk),
    )  # fmt: skip
