"""Where she trains: on her page by date, and its form."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.test import Client as Browser

from clients.models import Client
from clients.rules.place import Place
from clients.rules.where import to_dial, where_is
from coach.practice.models import AuditEntry
from tests import factories
from tests.clients.pages import read

TODAY = date(2026, 12, 3)
HOME: dict[str, Any] = {
    "trains_at": "7 Orchard Row, Oranmore", "emergency_number": "112",
    "emergency_contact": "Colm (partner)", "emergency_phone": "+353 85 012 2093",
}  # fmt: skip
AWAY: dict[str, Any] = {
    "away_at": "Room 12, Pension Adler", "away_emergency_number": "144",
    "away_until": date(2026, 12, 9),
}  # fmt: skip
DAYS = [
    # on                 address, number, until
    (date(2026, 12, 3), ("Room 12, Pension Adler", "144", date(2026, 12, 9))),
    (date(2026, 12, 9), ("Room 12, Pension Adler", "144", date(2026, 12, 9))),
    (date(2026, 12, 10), ("7 Orchard Row, Oranmore", "112", None)),
]


@pytest.mark.parametrize(("on", "shown"), DAYS)
def test_the_other_address_holds_until_its_last_day(on: date, shown: tuple[Any, ...]) -> None:
    found = where_is(Place(**HOME, **AWAY), on, quiet=False)
    assert (found.address, found.number, found.until) == shown


def test_while_she_is_away_the_number_at_home_is_never_shown() -> None:
    found = where_is(Place(**{**HOME, **AWAY, "away_emergency_number": ""}), TODAY, quiet=False)
    assert (found.number, found.ring, found.known) == ("", "", False)


# RFC 3966: digits with a plus in front; two numbers in one field are no number to dial.
DIALLED = [("112", "112"), ("+353 85 012", "+35385012"), ("112 or 999", ""), ("", ""),
           ("ask her", ""), ("9", "")]  # fmt: skip


@pytest.mark.parametrize(("typed", "number"), DIALLED)
def test_only_one_number_is_dialled(typed: str, number: str) -> None:
    assert to_dial(typed) == number


def test_the_address_is_shown_while_quiet_is_on_and_a_name_that_says_too_much_is_not() -> None:
    place = Place(trains_at="Motherwell Lane 3", emergency_contact="her mother Áine",
                  emergency_phone="086 123")  # fmt: skip
    found = where_is(place, TODAY, quiet=True)
    assert (found.address, found.contact, found.phone) == (
        "Motherwell Lane 3", "somebody whose name is not shown while quiet is on", "086 123",
    )  # fmt: skip


@pytest.fixture
def meret(practice: Any) -> Client:
    return factories.client("Meret A.", **HOME)


def test_her_page_tells_where_she_is_whom_to_ring_and_the_number_there(
    browser: Browser, meret: Client
) -> None:
    answer = browser.get(f"/clients/{meret.pk}/")
    assert (
        "Address 7 Orchard Row, Oranmore Emergency there 112 "
        "Whom to ring Colm (partner), +353 85 012 2093"
    ) in read(answer)
    assert 'href="tel:112"' in answer.content.decode()
    assert 'href="tel:+353850122093"' in answer.content.decode()


def test_what_is_not_known_is_to_be_asked(browser: Browser, practice: Any) -> None:
    text = read(browser.get(f"/clients/{factories.client().pk}/"))
    assert "Address not known: ask her Emergency there not known: ask her" in text


def test_while_she_is_away_her_page_says_where_and_until_when(
    browser: Browser, practice: Any
) -> None:
    client = factories.client("Meret A.", **HOME, **AWAY)
    assert (
        "Away until Wednesday 9 December, then again at 7 Orchard Row, Oranmore "
        "She is at Room 12, Pension Adler Emergency there 144"
    ) in read(browser.get(f"/clients/{client.pk}/"))


def test_the_form_keeps_what_is_typed(browser: Browser, practice: Any) -> None:
    client = factories.client("Meret A.")
    sent = {**HOME, **AWAY, "away_until": "2026-12-09"}
    answer = browser.post(f"/clients/{client.pk}/place/", sent, follow=True)
    assert answer.redirect_chain == [(f"/clients/{client.pk}/", 302)]
    kept = Client.objects.get()
    assert {name: getattr(kept, name) for name in HOME | AWAY} == HOME | AWAY
    entry = AuditEntry.objects.get(verb="changed")
    assert (sorted(entry.fields), "Oranmore" in str(entry.__dict__)) == (
        sorted(HOME | AWAY), False,
    )  # fmt: skip


REFUSED = [
    ({"emergency_number": "112 or 999"}, "Write one number, in digits and spaces."),
    ({"emergency_phone": "ring the bell"}, "Write one number, in digits and spaces."),
    ({"away_until": "2026-12-09"}, "Write where she is until then."),
    ({"away_at": "Innsbruck"}, "Say until which day she is away."),
    ({"away_at": "Innsbruck", "away_until": "2026-12-02"},
     "That day is over: take it out, or put it right."),
    ({"away_until": "soon"}, "Write a day that there is, like 21/02/2027."),
]  # fmt: skip


@pytest.mark.parametrize(("sent", "sentence"), REFUSED)
def test_what_cannot_be_is_said_beside_it_and_nothing_is_kept(
    browser: Browser, meret: Client, sent: dict[str, str], sentence: str
) -> None:
    answer = browser.post(f"/clients/{meret.pk}/place/", {"trains_at": "Elsewhere 3", **sent})
    assert (answer.status_code, sentence in read(answer)) == (422, True)
    assert "Elsewhere 3</textarea>" in answer.content.decode()
    assert Client.objects.get().trains_at == HOME["trains_at"]


def test_what_a_quiet_form_does_not_show_stays(browser: Browser, practice: Any) -> None:
    client = factories.client(quiet=True, emergency_contact="her mother Áine", trains_at="Here 1")
    source = browser.get(f"/clients/{client.pk}/place/").content.decode()
    assert ("mother" in source, "not shown while quiet is on: Whom to ring." in source) == (
        False, True,
    )  # fmt: skip
    browser.post(f"/clients/{client.pk}/place/", {"trains_at": "Here 2"})
    kept = Client.objects.get()
    assert (kept.trains_at, kept.emergency_contact) == ("Here 2", "her mother Áine")
