"""The forms of a snooze and of her own interval, in place and without JavaScript."""

from __future__ import annotations

import re
from datetime import date
from html import unescape
from typing import Any

import pytest
from django.test import Client as Browser
from django.urls import reverse

from clients.actions import snooze
from clients.models import Client, Rhythm
from clients.rules.words import NEVER_IF_QUIET
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry
from tests import factories_diary as made

UNTIL = date(2026, 12, 20)


@pytest.fixture
def ines(browser: Browser) -> Client:
    client = made.afterwards("Ines Prado", date(2026, 7, 1))
    made.assessed(client, date(2026, 10, 20))
    return client


def at(name: str, client: Client) -> str:
    return reverse(f"diary:{name}", args=[client.pk])


def words(answer: Any) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.content.decode())).split())


def in_place(target: str) -> dict[str, str]:
    return {"HX-Request": "true", "HX-Target": target}


SENT = {"until": "2026-12-20", "reason": "On holiday"}


def test_a_snooze_sent_without_javascript_leads_back_to_the_list(
    browser: Browser, ines: Client
) -> None:
    assert "Nothing is asked of her before that day" in words(browser.get(at("snooze", ines)))
    answer = browser.post(at("snooze", ines), SENT)
    assert (answer.status_code, answer.headers["Location"]) == (302, reverse("diary:index"))
    row = Rhythm.objects.get()
    assert (row.snoozed_until, row.snooze_reason) == (UNTIL, "On holiday")
    assert "Ines Prado is snoozed." in words(browser.get(reverse("diary:index")))


def test_in_place_the_form_opens_in_her_line_and_the_list_is_drawn_anew(
    browser: Browser, ines: Client
) -> None:
    place = f"snooze-{ines.pk}"
    assert f'id="{place}"' in browser.get(reverse("diary:index")).content.decode()
    form = browser.get(at("snooze", ines), headers=in_place(place)).content.decode()
    assert ("<form" in form, "<html" in form, 'hx-target="#diary"' in form) == (True, False, True)
    answer = browser.post(at("snooze", ines), SENT, headers=in_place("diary"))
    assert (answer.status_code, "<html" in answer.content.decode()) == (200, False)
    assert "HX-Retarget" not in answer.headers
    assert "Snoozed: 1 20 Dec Ines Prado" in words(answer)


def test_wrong_the_form_comes_back_with_what_was_typed_in_her_line(
    browser: Browser, ines: Client
) -> None:
    sent = {"until": "2026-12-03", "reason": "On holiday"}
    answer = browser.post(at("snooze", ines), sent, headers=in_place("diary"))
    assert (answer.status_code, answer.headers["HX-Retarget"]) == (422, f"#snooze-{ines.pk}")
    page = answer.content.decode()
    assert "<html" not in page
    assert "Choose a coming day, at most a year ahead." in page
    assert ('value="2026-12-03"' in page, 'value="On holiday"' in page) == (True, True)
    assert not Rhythm.objects.exists()


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({"until": "", "reason": "On holiday"}, "Choose the day on which to ask again."),
        ({"until": "soon", "reason": "On holiday"}, "Write a day that there is"),
        ({"until": "2026-12-20", "reason": "  "}, "Say why: it stands beside her name"),
        ({"until": "2028-01-01", "reason": "On holiday"}, "at most a year ahead"),
    ],
)
def test_without_javascript_it_is_said_beside_the_field(
    browser: Browser, ines: Client, sent: dict[str, str], said: str
) -> None:
    answer = browser.post(at("snooze", ines), sent)
    assert (answer.status_code, said in words(answer)) == (422, True)
    assert not Rhythm.objects.exists()


@pytest.mark.parametrize("back", ["", "rhythm"])
def test_asked_again_at_once_from_the_list_or_from_her_page(
    browser: Browser, ines: Client, back: str
) -> None:
    snooze(by=SYSTEM, client=ines, until=UNTIL, reason="On holiday")
    sent = {"end": "1", **({"back": back} if back else {})}
    answer = browser.post(at("snooze", ines), sent)
    expected = at("rhythm", ines) if back else reverse("diary:index")
    assert answer.headers["Location"] == expected
    assert Rhythm.objects.get().snoozed_until is None


def test_her_own_interval_is_kept_and_shown(browser: Browser, ines: Client) -> None:
    answer = browser.post(at("rhythm", ines), {"every_weeks": "9"})
    assert answer.headers["Location"] == at("rhythm", ines)
    page = browser.get(at("rhythm", ines))
    assert 'value="9"' in page.content.decode()
    assert "Every 9 weeks (decided for her); last measured on 20 October" in words(page)
    browser.post(at("rhythm", ines), {"every_weeks": ""})
    assert Rhythm.objects.get().every_weeks is None


@pytest.mark.parametrize("typed", ["1", "105", "often"])
def test_an_interval_that_cannot_be_stays_in_the_form(
    browser: Browser, ines: Client, typed: str
) -> None:
    answer = browser.post(at("rhythm", ines), {"every_weeks": typed})
    assert (answer.status_code, f'value="{typed}"' in answer.content.decode()) == (422, True)
    assert not Rhythm.objects.exists()


def test_her_pages_say_until_when_she_is_snoozed(browser: Browser, ines: Client) -> None:
    snooze(by=SYSTEM, client=ines, until=UNTIL, reason="On holiday")
    for name in ("of_client", "rhythm"):
        assert "Snoozed until 20 December: On holiday" in words(browser.get(at(name, ines)))
    assert "Ask again now" in words(browser.get(at("rhythm", ines)))


def test_her_pages_say_that_it_waits(browser: Browser) -> None:
    client = made.afterwards("Tove Rask", date(2026, 10, 10), "loss", quiet=True)
    for name in ("of_client", "rhythm"):
        page = browser.get(at(name, client))
        assert "Nothing is asked of her until you resume it." in words(page)
        source = re.sub(r"\b[A-Za-z0-9]{64}\b", "", page.content.decode()).lower()
        assert [word for word in NEVER_IF_QUIET if word in source] == []
    answer = browser.post(at("resume", client), {"back": "rhythm"})
    assert answer.headers["Location"] == at("rhythm", client)
    assert "First assessment" in words(browser.get(at("rhythm", client)))


def test_looking_at_how_often_is_recorded(browser: Browser, ines: Client) -> None:
    browser.get(at("rhythm", ines))
    entry = AuditEntry.objects.get()
    assert (entry.verb, entry.fields) == ("looked at", ["assessments", "pregnancies"])


@pytest.mark.parametrize("name", ["snooze", "rhythm", "resume"])
def test_nobody_but_the_owner_may_decide_it(
    people: dict[str, Any], signed_in: Any, name: str
) -> None:
    client = made.afterwards("Ines Prado", date(2026, 7, 1))
    answers = {
        who: signed_in(person).post(at(name, client), SENT).status_code
        for who, person in people.items()
        if person and who not in {"owner", "leaver"}
    }
    assert answers == {"covering coach": 403, "assistant": 403, "bookkeeper": 403}
    assert not Rhythm.objects.exists()


@pytest.mark.parametrize("name", ["snooze", "rhythm", "resume", "of_client"])
def test_nobody_of_that_number_is_not_found(browser: Browser, name: str) -> None:
    send = browser.post if name == "resume" else browser.get
    assert send(reverse(f"diary:{name}", args=[4711])).status_code == 404
