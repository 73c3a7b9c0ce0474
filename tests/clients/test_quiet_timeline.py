"""A quiet client's page with every kind of row on it says nothing that it must not say."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.test import Client as Browser

from clients.models import Client, Entry, WarningSign
from clients.rules.happened import KINDS
from clients.rules.words import NEVER_IF_QUIET
from tests import factories
from tests.clients.everywhere import main_of
from tests.clients.told_everything import TOO_MUCH, known, tell

ENDED: dict[str, Any] = {
    "due": date(2025, 9, 20), "ended": date(2025, 9, 17), "ending": "birth", "born": 2,
    "birth_mode": "caesarean", "tear": "third", "wound": TOO_MUCH, "expected": 2,
}  # fmt: skip
LOST: dict[str, Any] = {
    "due": date(2025, 1, 1), "ended": date(2024, 6, 1), "ending": "loss", "gestation": "9w0d",
    "surgical": "yes",
}  # fmt: skip


@pytest.fixture
def honora(practice: Any) -> Client:
    client = known(
        quiet=True, note=TOO_MUCH, emergency_contact="her mother", trains_at="7 Orchard Row"
    )
    factories.pregnancy(client, **ENDED)
    factories.pregnancy(client, **LOST)
    tell(client, typed=TOO_MUCH)
    return client


def said(answer: Any) -> list[str]:
    """Which of the words stand in the source of the page."""
    assert answer.status_code == 200
    source = main_of(answer.content.decode()).casefold()
    return [word for word in NEVER_IF_QUIET if word in source]


@pytest.mark.parametrize("kind", ["", *KINDS])
@pytest.mark.parametrize("page", [1, 2])
def test_no_line_of_her_time_line_says_it(
    browser: Browser, honora: Client, kind: str, page: int
) -> None:
    assert said(browser.get(f"/clients/{honora.pk}/?kind={kind}&page={page}")) == []


@pytest.mark.parametrize("kind", ["", *KINDS])
def test_no_part_of_it_says_it(browser: Browser, honora: Client, kind: str) -> None:
    headers = {"HX-Request": "true", "HX-Target": "happened"}
    assert said(browser.get(f"/clients/{honora.pk}/?kind={kind}", headers=headers)) == []


@pytest.mark.parametrize("page", ["place/", "exception/", "notes/add/", "notes/add/?kind=message",
                                  "notes/{n}/", "notes/{n}/add/", "signs/add/", "signs/{s}/",
                                  "signs/{s}/withdraw/"])  # fmt: skip
def test_no_page_around_it_says_it(browser: Browser, honora: Client, page: str) -> None:
    note, sign = Entry.objects.order_by("pk")[0], WarningSign.objects.order_by("pk")[0]
    address = f"/clients/{honora.pk}/{page.format(n=note.pk, s=sign.pk)}"
    assert said(browser.get(address, follow=True)) == []


@pytest.mark.parametrize("role", ["covering coach", "assistant", "bookkeeper"])
def test_nobody_else_reads_it_either(
    people: Any, signed_in: Any, honora: Client, role: str
) -> None:
    assert said(signed_in(people[role]).get(f"/clients/{honora.pk}/")) == []


def test_the_same_page_says_it_when_quiet_is_off(browser: Browser, honora: Client) -> None:
    Client.objects.update(quiet=False)
    assert {"baby", "bump", "birth", "due", "pregnan", "trimester", "mother"} <= set(
        said(browser.get(f"/clients/{honora.pk}/"))
    )


def test_each_line_stays_though_its_words_are_hidden(browser: Browser, honora: Client) -> None:
    pages = [browser.get(f"/clients/{honora.pk}/?page={n}").content.decode() for n in (1, 2)]
    assert pages[0].count('<span class="when">') == 12
    text = " ".join(pages)
    titles = ("Note", "Message", "Clearance", "Warning sign", "Screening", "Condition",
              "Assessment", "Trained by exception", "Referral letter", "Form received",
              "Consent", "Weeks running", "Ended")  # fmt: skip
    assert [title for title in titles if title not in text] == []
