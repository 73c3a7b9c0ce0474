"""A note or a message on her page: written, refused, put right, locked, added to."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.test import Client as Browser

from clients import actions
from clients.models import Client, Entry
from coach.practice.audit import SYSTEM, Actor
from coach.practice.models import AuditEntry, User
from tests import factories
from tests.clients.pages import read

TODAY = date(2026, 12, 3)
HTMX = {"HX-Request": "true", "HX-Target": "happened"}


@pytest.fixture
def meret(practice: Any) -> Client:
    return factories.client("Meret A.")


@pytest.fixture
def here(meret: Client) -> str:
    return f"/clients/{meret.pk}/"


def note(by: Any, of: Client, text: str = "She rang.") -> Entry:
    actor = Actor(by) if by else SYSTEM
    return actions.write_entry(by=actor, client=of, kind="note", day=TODAY, text=text)


def test_both_forms_stand_on_her_page_and_work_without_a_script(
    browser: Browser, here: str
) -> None:
    source = browser.get(here).content.decode()
    assert source.count(f'action="{here}notes/add/"') == 2
    assert ('id="note_text"' in source, 'id="message_channel"' in source) == (True, True)
    assert 'value="2026-12-03"' in source
    sent = {"kind": "note", "text": "She rang.\nBack Monday.", "day": "2026-12-02"}
    answer = browser.post(f"{here}notes/add/", sent, follow=True)
    assert answer.redirect_chain == [(f"{here}#happened", 302)]
    assert "2 Dec Note · Una Owner, 3 December 2026 at 09:00" in read(answer)
    assert "She rang.<br>Back Monday." in answer.content.decode()


def test_a_message_is_pasted_in_with_its_day_and_how_it_came(browser: Browser, here: str) -> None:
    sent = {"kind": "message", "text": "Mornings?", "day": "2026-12-01", "channel": "e-mail"}
    text = read(browser.post(f"{here}notes/add/", sent, follow=True))
    assert "1 Dec Message, e-mail · Una Owner, 3 December 2026 at 09:00" in text
    assert (Entry.objects.get().kind, Entry.objects.get().day) == ("message", date(2026, 12, 1))


def test_in_place_the_time_line_alone_comes_back_with_the_note_in_it(
    browser: Browser, here: str
) -> None:
    sent = {"kind": "note", "text": "She rang.", "day": "2026-12-03"}
    answer = browser.post(f"{here}notes/add/", sent, headers=HTMX)
    source = answer.content.decode()
    assert answer.status_code == 200
    assert source.lstrip().startswith('<section id="happened"')
    assert ("She rang." in source, "Kept." in source, "<h1" in source) == (True, True, False)


REFUSED = [
    ({"text": ""}, "Write something here."),
    ({"day": "2026-12-09"}, "That day has not come yet."),
    ({"day": "soon"}, "Write a day that there is, like 21/02/2027."),
    ({"channel": ""}, "Say how it came, such as a text message or an e-mail."),
]


@pytest.mark.parametrize("headers", [{}, HTMX])
@pytest.mark.parametrize(("wrong", "sentence"), REFUSED)
def test_what_cannot_be_kept_is_said_beside_it_and_what_was_typed_stays(
    browser: Browser, here: str, headers: dict[str, str], wrong: dict[str, str], sentence: str
) -> None:
    sent = {"kind": "message", "text": "Mornings?", "channel": "e-mail", "day": "2026-12-01"}
    answer = browser.post(f"{here}notes/add/", {**sent, **wrong}, headers=headers)
    source = answer.content.decode()
    assert answer.status_code == 422
    assert sentence in source
    kept = [
        text for name, text in (("text", "Mornings?"), ("channel", "e-mail")) if name not in wrong
    ]
    assert [text for text in kept if text not in source] == []
    assert Entry.objects.count() == 0


def test_who_wrote_it_changes_it_within_the_day(
    browser: Browser, owner: User, meret: Client, here: str
) -> None:
    row = note(owner, meret)
    assert f'href="{here}notes/{row.pk}/"' in browser.get(here).content.decode()
    shown = browser.get(f"{here}notes/{row.pk}/").content.decode()
    assert "She rang.</textarea>" in shown
    sent = {"text": "She wrote.", "day": "2026-12-03"}
    answer = browser.post(f"{here}notes/{row.pk}/", sent, follow=True)
    assert (Entry.objects.get().text, answer.redirect_chain) == (
        "She wrote.", [(f"{here}#happened", 302)],
    )  # fmt: skip


def test_a_change_that_cannot_be_keeps_what_was_typed(
    browser: Browser, owner: User, meret: Client, here: str
) -> None:
    row = note(owner, meret)
    answer = browser.post(f"{here}notes/{row.pk}/", {"text": "She wrote.", "day": "2027-01-01"})
    assert (answer.status_code, "She wrote.</textarea>" in answer.content.decode()) == (422, True)
    assert Entry.objects.get().text == "She rang."


@pytest.mark.parametrize("method", ["get", "post"])
def test_after_a_day_its_address_leads_to_adding(
    browser: Browser, owner: User, meret: Client, here: str, method: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    row = note(owner, meret)
    monkeypatch.setenv("COACH_TODAY", "2026-12-04")
    sent = {"text": "She never rang.", "day": "2026-12-03"}
    answer = getattr(browser, method)(f"{here}notes/{row.pk}/", sent, follow=True)
    assert answer.redirect_chain == [(f"{here}notes/{row.pk}/add/", 302)]
    assert "This stands as it is now: add to it instead." in read(answer)
    assert Entry.objects.get().text == "She rang."


def test_another_hand_is_led_to_adding_at_once(browser: Browser, meret: Client, here: str) -> None:
    row = note(None, meret)
    source = browser.get(here).content.decode()
    assert (f'href="{here}notes/{row.pk}/"' in source, f'notes/{row.pk}/add/"' in source) == (
        False, True,
    )  # fmt: skip
    assert browser.get(f"{here}notes/{row.pk}/").status_code == 302


def test_what_is_added_stands_beneath_with_its_own_hour_and_hand(
    browser: Browser, meret: Client, here: str
) -> None:
    row = note(None, meret)
    shown = read(browser.get(f"{here}notes/{row.pk}/add/"))
    assert "She rang." in shown
    browser.post(f"{here}notes/{row.pk}/add/", {"text": "It was her sister."})
    text = read(browser.get(here))
    assert (
        "Note · nobody signed in, 09:00 add to Note She rang. "
        "Added by Una Owner, 3 December 2026 at 09:00 · change It was her sister."
    ) in text
    assert "What happened 1 line" in text


def test_an_addendum_that_is_empty_is_refused(browser: Browser, meret: Client, here: str) -> None:
    row = note(None, meret)
    answer = browser.post(f"{here}notes/{row.pk}/add/", {"text": " "})
    assert (answer.status_code, Entry.objects.count()) == (422, 1)
    assert "Write something here." in read(answer)


def test_a_note_is_found_under_its_own_client_only(
    browser: Browser, owner: User, meret: Client
) -> None:
    row, other = note(owner, meret), factories.client("Tal R.")
    for page in ("", "add/"):
        assert browser.get(f"/clients/{other.pk}/notes/{row.pk}/{page}").status_code == 404


def test_each_write_and_each_look_is_in_the_trail(
    browser: Browser, owner: User, meret: Client, here: str
) -> None:
    browser.post(f"{here}notes/add/", {"kind": "note", "text": "She rang.", "day": "2026-12-03"})
    row = Entry.objects.get()
    browser.get(f"{here}notes/{row.pk}/")
    entries = AuditEntry.objects.order_by("pk").values_list("actor", "verb", "subject_kind")
    assert list(entries) == [
        (owner.pk, "wrote", "clients.entry"), (owner.pk, "looked at", "clients.entry"),
    ]  # fmt: skip
    assert "She rang." not in str(list(AuditEntry.objects.values()))


def test_what_is_not_shown_while_quiet_is_on_is_not_shown_in_its_form_either(
    browser: Browser, owner: User, meret: Client, here: str
) -> None:
    row = note(owner, meret, "the baby slept")
    Client.objects.update(quiet=True)
    for page in ("", f"notes/{row.pk}/", f"notes/{row.pk}/add/"):
        answer = browser.get(f"{here}{page}", follow=True)
        assert ("baby" in answer.content.decode(), "not shown while quiet" in read(answer)) == (
            False, True,
        )  # fmt: skip
    assert Entry.objects.get().text == "the baby slept"
