"""A quiet client: no page about her says what must not be said, in its text or in its source."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

import pytest
from django.test import Client as Browser

from clients import actions
from clients.models import Client
from clients.rules.words import NEVER_IF_QUIET
from coach.practice.audit import SYSTEM
from coach.scheduling.values import Limits
from tests import factories
from tests.factories_clearance import assessment, clearance, sign

RUNNING = {"due": date(2027, 2, 21), "dated_by": "scan", "expected": 2}
PAST = {"due": date(2026, 11, 24), "dated_by": "last-period"}
LOST = {"due": date(2027, 3, 1), "ended": date(2026, 11, 20), "ending": "loss"}
ENDED = {
    "due": date(2026, 9, 20), "ended": date(2026, 9, 17), "ending": "birth",
    "birth_mode": "caesarean", "born": 2,
}  # fmt: skip
GIVEN = {"running": [RUNNING], "past": [PAST], "lost": [LOST], "ended": [ENDED],
         "ended, then lost": [{**ENDED, "due": None, "ended": date(2024, 1, 1)}, LOST],
         "nothing": []}  # fmt: skip

PAGES = ["", "edit/", "dates/add/", "dates/{p}/", "dates/{p}/end/", "clearance/add/",
         "clearance/{l}/withdraw/", "signs/add/", "signs/{s}/", "assess/"]  # fmt: skip
STEPS = [
    {"situation": "carrying", "dated_by": "clinician", "day": "2027-02-21"},
    {"situation": "carrying", "dated_by": "scan", "day": "2026-09-01", "age": "12w3d"},
    {"situation": "delivered", "dated_by": "last-period"},
    {"situation": "lost", "ended": "2026-11-30"},
]


def said(answer: Any) -> list[str]:
    """Which of the words stand in the page's source, below its masthead and above its foot.

    The token against forged requests is random letters and is left out.
    """
    source = answer.content.decode().lower()
    main = source.partition("<main")[2].partition("</main>")[0] or source
    title = source.partition("<title>")[2].partition("</title>")[0]
    text = re.sub(r'name="csrfmiddlewaretoken" value="[^"]*"', "", title + main)
    return [word for word in NEVER_IF_QUIET if word in text]


def quiet_client(rows: list[dict[str, Any]], **values: Any) -> tuple[str, list[int]]:
    client = factories.client("Ines P.", **{"quiet": True, **values})
    return f"/clients/{client.pk}/", [factories.pregnancy(client, **row).pk for row in rows]


def told_of_health(client: Client) -> dict[str, int]:
    """Everything that can be told of her health, with the words in all that somebody typed."""
    mistake = clearance(client, date(2026, 8, 1), note="before the birth")
    actions.withdraw_clearance(by=SYSTEM, clearance=mistake, reason="it was about the baby")
    row = sign(client, date(2026, 10, 1), code="dizzy", text="since the birth")
    letter = clearance(
        client, date(2026, 10, 30), until_birth=True, note="until the baby is born",
        clinician_kind="birth doctor", answers=(row.pk,), word="limits",
        limits=Limits(others=("no lifting the baby",)),
    )  # fmt: skip
    against = {"word": "against", "known_by": "client", "clinician": "Mother House"}
    clearance(client, date(2026, 11, 21), **against)
    assessment(client, date(2026, 11, 2), width_navel_rest=20, note="the baby slept")
    waits = sign(client, date(2026, 12, 1), code="other", text="she says the bump is hard")
    return {"l": letter.pk, "s": waits.pk}


@pytest.mark.parametrize("given", GIVEN)
@pytest.mark.parametrize("page", PAGES)
def test_no_page_of_hers_says_it(browser: Browser, practice: Any, given: str, page: str) -> None:
    address, pregnancies = quiet_client(GIVEN[given])
    told = told_of_health(Client.objects.get())
    paths = [address + page.format(p=p, **told) for p in pregnancies or [0]]
    answers = [browser.get(path, follow=True) for path in paths if "/0/" not in path]
    assert [said(answer) for answer in answers] == [[] for _ in answers]
    assert all(answer.status_code == 200 for answer in answers)


@pytest.mark.parametrize("step", STEPS)
@pytest.mark.parametrize("page", ["dates/add/", "dates/{p}/", "dates/{p}/end/"])
def test_no_form_says_it_as_it_is_filled_in_or_refused(
    browser: Browser, practice: Any, step: dict[str, str], page: str
) -> None:
    address, (pregnancy,) = quiet_client([RUNNING])
    path = address + page.format(p=pregnancy)
    headers = {"HX-Request": "true", "HX-Target": "dating"}
    redrawn = browser.post(path, {**step, "step": "1"}, headers=headers)
    refused = browser.post(path, {**step, "day": "1990-01-01", "ended": "2027-01-01"})
    assert (redrawn.status_code, refused.status_code) == (200, 422)
    assert (said(redrawn), said(refused)) == ([], [])


@pytest.mark.parametrize("given", GIVEN)
def test_her_line_on_the_roster_does_not_say_it(
    browser: Browser, practice: Any, given: str
) -> None:
    quiet_client(GIVEN[given])
    text = browser.get("/clients/?find=ines").content.decode()
    line = text.partition('<ul class="lines">')[2].partition("</ul>")[0].lower()
    assert "ines p." in line
    assert [word for word in NEVER_IF_QUIET if word in line] == []


@pytest.mark.parametrize("given", GIVEN)
@pytest.mark.parametrize("role", ["covering coach", "assistant"])
def test_nobody_else_reads_it_either(people: Any, signed_in: Any, given: str, role: str) -> None:
    address, _ = quiet_client(GIVEN[given])
    told_of_health(Client.objects.get())
    browser = signed_in(people[role])
    assert (said(browser.get(address)), said(browser.get("/clients/clearance/"))) == ([], [])


@pytest.mark.parametrize(
    "page", ["clearance/add/", "signs/add/", "assess/0b7e2a52-6d5d-4c0e-9a43-0c9c6c1c6d10/"]
)
def test_no_form_of_her_health_says_it_when_refused(
    browser: Browser, practice: Any, page: str
) -> None:
    address, _ = quiet_client([RUNNING])
    told_of_health(Client.objects.get())
    answer = browser.post(address + page, {"code": "other", "until_kind": "end", "day": "x"})
    assert (answer.status_code, said(answer)) == (422, [])


def test_the_words_are_found_on_a_page_that_is_not_quiet(browser: Browser, practice: Any) -> None:
    address, _ = quiet_client([RUNNING], quiet=False)
    assert {"due", "pregnan", "bab"} <= {word[:7].removesuffix("ies") for word in said(
        browser.get(address))}  # fmt: skip


def test_a_loss_recorded_turns_every_page_quiet(browser: Browser, practice: Any) -> None:
    address, (pregnancy,) = quiet_client([RUNNING], quiet=False)
    sent = {"situation": "lost", "ended": "2026-12-02"}
    answer = browser.post(f"{address}dates/{pregnancy}/end/", sent, follow=True)
    assert said(answer) == []
    assert "1 day since" in answer.content.decode()
