"""Notes and messages: changed for a day by who wrote them, then locked, then added to."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from django.db import connection
from hypothesis import given
from hypothesis import strategies as st

from clients import actions
from clients.models import Client, Entry
from clients.rules.notes import (
    LONGEST_TEXT,
    entry_problems,
    is_open,
    locks_at,
    may_change,
)
from coach.practice.audit import SYSTEM, Actor
from coach.practice.models import AuditEntry, User
from coach.practice.permissions import Role
from tests import factories

TODAY = date(2026, 12, 3)
WRITTEN = datetime(2026, 12, 3, 9, tzinfo=UTC)
DAY = timedelta(days=1)
SECOND = timedelta(seconds=1)


@pytest.mark.parametrize(
    ("later", "is_it"),
    [
        (timedelta(0), True),
        (DAY - SECOND, True),
        (DAY, False),
        (DAY + SECOND, False),
        (timedelta(days=400), False),
    ],
)
def test_a_note_is_open_for_a_day_and_not_a_second_longer(later: timedelta, is_it: bool) -> None:
    assert is_open(WRITTEN, now=WRITTEN + later) is is_it
    assert locks_at(WRITTEN) == datetime(2026, 12, 4, 9, tzinfo=UTC)


@given(later=st.timedeltas(timedelta(0), timedelta(days=3)), more=st.timedeltas(timedelta(0), DAY))
def test_what_is_locked_never_opens_again(later: timedelta, more: timedelta) -> None:
    if not is_open(WRITTEN, now=WRITTEN + later):
        assert not is_open(WRITTEN, now=WRITTEN + later + more)


def test_a_day_is_24_hours_also_where_the_clocks_change() -> None:
    """Summer time ends in Ireland on 25 October 2026 at 01:00 UTC (IANA tz, Europe/Dublin)."""
    written = datetime(2026, 10, 24, 17, tzinfo=UTC)  # six in the evening there
    assert is_open(written, now=datetime(2026, 10, 25, 16, 59, tzinfo=UTC))
    assert not is_open(written, now=datetime(2026, 10, 25, 17, tzinfo=UTC))


@pytest.mark.parametrize(
    ("written_by", "by", "may"),
    [(1, 1, True), (1, 2, False), (None, 1, False), (None, None, False)],
)
def test_only_who_wrote_it_may_change_it(written_by: int | None, by: int | None, may: bool) -> None:
    assert may_change(WRITTEN, now=WRITTEN, written_by=written_by, by=by) is may


GOOD = {"kind": "note", "day": TODAY, "text": "She rang.", "channel": ""}
PROBLEMS = [
    ({"text": " \n "}, ["Write something here."]),
    ({"text": "x" * (LONGEST_TEXT + 1)},
     ["That is over 20000 characters: keep it in parts."]),
    ({"text": "x" * LONGEST_TEXT}, []),
    ({"day": date(2026, 12, 4)}, ["That day has not come yet."]),
    ({"day": date(1980, 1, 1)}, ["That is over 40 years ago: check the year."]),
    ({"kind": "letter"}, ["A note, or a message."]),
    ({"kind": "message"}, ["Say how it came, such as a text message or an e-mail."]),
    ({"kind": "message", "channel": "e-mail"}, []),
    ({}, []),
]  # fmt: skip


@pytest.mark.parametrize(("given", "sentences"), PROBLEMS)
def test_what_cannot_be_kept_is_said_in_a_sentence(
    given: dict[str, Any], sentences: list[str]
) -> None:
    found = entry_problems(**{**GOOD, **given}, today=TODAY)
    assert [one.sentence for one in found] == sentences


@pytest.fixture
def meret(practice: Any) -> Client:
    return factories.client("Meret A.")


@pytest.fixture
def una(owner: User) -> Actor:
    return Actor(owner)


def note(by: Actor, of: Client, text: str = "She rang.") -> Entry:
    return actions.write_entry(by=by, client=of, kind="note", day=TODAY, text=text)


def trail() -> list[tuple[str, str, list[str]]]:
    rows = AuditEntry.objects.order_by("pk")
    return [(one.verb, one.subject_id, sorted(one.fields)) for one in rows]


def refusals(refused: Any) -> list[tuple[str, str]]:
    return [(one.field, one.sentence) for one in refused.value.problems]


def test_a_note_is_kept_with_its_hour_and_hand(una: Actor, meret: Client) -> None:
    row = note(una, meret, "  She rang.\r\nBack on Monday. ")
    kept = Entry.objects.get()
    assert (kept.kind, kept.day, kept.text, kept.by, kept.written_at) == (
        "note", TODAY, "She rang.\nBack on Monday.", una.user, WRITTEN,
    )  # fmt: skip
    assert trail() == [("wrote", str(row.pk), ["day", "kind", "text"])]


def test_a_message_is_kept_with_how_it_came(una: Actor, meret: Client) -> None:
    actions.write_entry(by=una, client=meret, kind="message", day=date(2026, 12, 1),
                        text="Mornings?", channel=" text message ")  # fmt: skip
    kept = Entry.objects.get()
    assert (kept.kind, kept.day, kept.channel) == ("message", date(2026, 12, 1), "text message")


def test_the_same_words_sent_twice_are_kept_once(una: Actor, meret: Client) -> None:
    assert note(una, meret) == note(una, meret)
    note(una, meret, "She rang again.")
    assert (Entry.objects.count(), len(trail())) == (2, 2)


def test_nothing_is_half_kept(una: Actor, meret: Client) -> None:
    with pytest.raises(actions.Refused) as refused:
        note(una, meret, "")
    assert refusals(refused) == [("text", "Write something here.")]
    assert (Entry.objects.count(), trail()) == (0, [])


def test_who_wrote_it_puts_it_right_within_the_day(una: Actor, meret: Client) -> None:
    row = note(una, meret)
    actions.change_entry(by=una, entry=row, day=date(2026, 12, 2), text="She wrote.")
    kept = Entry.objects.get()
    assert (kept.day, kept.text, kept.written_at) == (date(2026, 12, 2), "She wrote.", WRITTEN)
    assert trail()[1:] == [("changed", str(row.pk), ["day", "text"])]


def test_after_a_day_it_stands_as_it_is(
    una: Actor, meret: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    row = note(una, meret)
    monkeypatch.setenv("COACH_TODAY", "2026-12-04")
    with pytest.raises(actions.Refused) as refused:
        actions.change_entry(by=una, entry=row, day=TODAY, text="She never rang.")
    assert refusals(refused) == [("text", "This stands as it is now: add to it instead.")]
    assert (Entry.objects.get().text, len(trail())) == ("She rang.", 1)


def test_nobody_else_puts_it_right(una: Actor, meret: Client) -> None:
    other = Actor(factories.person(Role.OWNER, email="second@example.org"))
    row = note(una, meret)
    for by in (other, SYSTEM):
        with pytest.raises(actions.Refused):
            actions.change_entry(by=by, entry=row, day=TODAY, text="She never rang.")
    assert Entry.objects.get().text == "She rang."


def test_what_is_locked_takes_addenda_and_keeps_its_words(
    una: Actor, meret: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    row = note(una, meret)
    monkeypatch.setenv("COACH_TODAY", "2026-12-06")
    added = actions.add_to_entry(by=una, entry=row, text="It was her sister.")
    beneath = actions.add_to_entry(by=SYSTEM, entry=added, text="So the sister says.")
    kept = [(one.text, one.adds_to_id, one.day) for one in Entry.objects.order_by("pk")]
    assert kept == [
        ("She rang.", None, TODAY),
        ("It was her sister.", row.pk, date(2026, 12, 6)),
        ("So the sister says.", row.pk, date(2026, 12, 6)),
    ]
    assert (beneath.adds_to, trail()[1:]) == (row, [("added to", str(row.pk), ["text"])] * 2)


def test_an_addendum_locks_a_day_after_it_was_written_itself(
    una: Actor, meret: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    row = note(una, meret)
    monkeypatch.setenv("COACH_TODAY", "2026-12-06")
    added = actions.add_to_entry(by=una, entry=row, text="It was her sitser.")
    actions.change_entry(by=una, entry=added, day=added.day, text="It was her sister.")
    monkeypatch.setenv("COACH_TODAY", "2026-12-07")
    with pytest.raises(actions.Refused):
        actions.change_entry(by=una, entry=added, day=added.day, text="It was nobody.")
    assert Entry.objects.get(pk=added.pk).text == "It was her sister."


def test_what_can_still_be_changed_takes_no_addendum_from_its_writer(
    una: Actor, meret: Client
) -> None:
    row = note(una, meret)
    with pytest.raises(actions.Refused) as refused:
        actions.add_to_entry(by=una, entry=row, text="More.")
    assert refusals(refused) == [("text", "You can still change it itself.")]
    actions.add_to_entry(by=SYSTEM, entry=row, text="From another hand.")
    assert Entry.objects.count() == 2


def test_what_is_written_is_sealed_in_the_database(una: Actor, meret: Client) -> None:
    note(una, meret, "a word nobody else reads")
    with connection.cursor() as cursor:
        cursor.execute("SELECT * FROM clients_entry")
        assert "nobody else reads" not in str(cursor.fetchall())
