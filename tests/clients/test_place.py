"""Where she trains: what is kept, what is refused, and which number is rung on which day."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection

from clients import actions, queries
from clients.models import Client
from clients.rules.place import Place
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry
from tests import factories

TODAY = date(2026, 12, 3)
HOME: dict[str, Any] = {
    "trains_at": "Glenview, Barna Road",
    "emergency_number": "112",
    "emergency_contact": "Deirdre (sister)",
    "emergency_phone": "+353 85 012 4417",
}
AWAY: dict[str, Any] = {
    "away_at": "Room 12, Pension Adler",
    "away_emergency_number": "144",
    "away_until": TODAY + timedelta(days=9),
}


@pytest.fixture
def meret(practice: Any) -> Client:
    return factories.client("Meret A.")


def kept(client: Client) -> Place:
    return queries.place_of(Client.objects.get(pk=client.pk))


def test_what_is_given_is_kept_the_rest_stays_and_one_entry_names_it(meret: Client) -> None:
    actions.set_place(by=SYSTEM, client=meret, **HOME)
    actions.set_place(by=SYSTEM, client=meret, emergency_number=" 999 ")
    assert kept(meret) == Place(**{**HOME, "emergency_number": "999"})
    assert [entry.fields for entry in AuditEntry.objects.order_by("pk")] == [
        ["emergency_contact", "emergency_number", "emergency_phone", "trains_at"],
        ["emergency_number"],
    ]


REFUSED: list[tuple[dict[str, Any], str]] = [
    ({"away_at": "Innsbruck"}, "away_until"),
    ({"away_emergency_number": "144"}, "away_until"),
    ({"away_until": TODAY}, "away_at"),
    ({**AWAY, "away_until": TODAY - timedelta(days=1)}, "away_until"),
]


@pytest.mark.parametrize(("values", "field"), REFUSED)
def test_away_needs_a_place_and_a_day_to_come(
    meret: Client, values: dict[str, Any], field: str
) -> None:
    with pytest.raises(actions.Refused) as refused:
        actions.set_place(by=SYSTEM, client=meret, **values)
    assert [one.field for one in refused.value.problems] == [field]
    assert (kept(meret), AuditEntry.objects.count()) == (Place(), 0)


def test_an_unknown_field_is_an_error(meret: Client) -> None:
    with pytest.raises(TypeError):
        actions.set_place(by=SYSTEM, client=meret, name="Another")


@pytest.mark.parametrize(("days", "away"), [(-30, True), (0, True), (9, True), (10, False)])
def test_while_she_is_away_only_that_place_counts(days: int, away: bool) -> None:
    place, on = Place(**HOME, **AWAY), TODAY + timedelta(days=days)
    found = (place.is_away(on), place.address(on), place.number(on))
    home = (False, "Glenview, Barna Road", "112")
    assert found == ((True, "Room 12, Pension Adler", "144") if away else home)


def test_away_without_a_number_is_not_known_rather_than_the_one_at_home() -> None:
    place = Place(**HOME, away_at="Innsbruck", away_until=TODAY)
    assert (place.number(TODAY), place.number(TODAY + timedelta(days=1))) == ("", "112")


def test_nothing_of_it_can_be_read_in_the_database(meret: Client) -> None:
    actions.set_place(by=SYSTEM, client=meret, **HOME, **AWAY)
    with connection.cursor() as cursor:
        cursor.execute("SELECT * FROM clients_client")
        raw = b" ".join(one for one in cursor.fetchone() if isinstance(one, bytes | memoryview))
    words = (b"Glenview", b"112", b"Deirdre", b"4417", b"Adler", b"144", b"2026")
    assert [word for word in words if word in raw] == []
