"""One session trained by exception: offered over stale paperwork, refused over anything else."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.test import Client as Browser

from clients import actions
from clients.models import Client, SessionException
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry
from tests import factories
from tests.clients.pages import read
from tests.clients.told_everything import answers, d
from tests.factories_clearance import clearance, sign

REASON = {"reason": "the letter is in the post"}
NOT_OVER = "An exception is made only over stale paperwork."


def client(*, screened: int = -7, until: int = -3) -> Client:
    """Pregnant, screened so many days ago, with a letter until so many days from today."""
    made = factories.client("Meret A.")
    factories.pregnancy(made, due=date(2027, 2, 21))
    actions.record_screening(by=SYSTEM, client=made, phase="pregnant", how="call",
                             answers=answers("pregnant"), answered_on=d(screened))  # fmt: skip
    clearance(made, d(-60), until=d(until))
    return made


def test_her_page_offers_it_and_the_form_says_what_is_stale(
    browser: Browser, practice: Any
) -> None:
    made = client()
    here = f"/clients/{made.pk}/"
    assert f'href="{here}exception/"' in browser.get(here).content.decode()
    text = read(browser.get(f"{here}exception/"))
    assert "Run out Only paperwork is stale." in text
    assert "ran out on 30 November 2026." in text
    assert "Health questions" not in text


def test_it_is_kept_for_today_alone_and_the_word_stays(browser: Browser, practice: Any) -> None:
    made = client()
    here = f"/clients/{made.pk}/"
    text = read(browser.post(f"{here}exception/", REASON, follow=True))
    row = SessionException.objects.get()
    assert (row.day, row.reason, row.over) == (d(0), REASON["reason"], ["own-end"])
    assert ("Run out trained by exception on 3 December 2026: the letter is in the post") in text
    assert "Train her today by exception" not in text
    assert AuditEntry.objects.filter(verb="trained by exception").count() == 1


def test_the_next_day_nothing_of_it_stands_beside_the_word(
    browser: Browser, practice: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = client()
    browser.post(f"/clients/{made.pk}/exception/", REASON)
    monkeypatch.setenv("COACH_TODAY", "2026-12-04")
    text = read(browser.get(f"/clients/{made.pk}/"))
    assert ("Run out Since" in text, "trained by exception on" in text) == (True, False)
    assert "3 Dec Trained by exception · Una Owner" in text


def test_a_reason_is_wanted(browser: Browser, practice: Any) -> None:
    made = client()
    answer = browser.post(f"/clients/{made.pk}/exception/", {"reason": " "})
    assert (answer.status_code, SessionException.objects.count()) == (422, 0)
    assert "Say why: it stays in her history." in read(answer)


def test_there_is_one_a_day(browser: Browser, practice: Any) -> None:
    made = client()
    for _ in range(2):
        answer = browser.post(f"/clients/{made.pk}/exception/", REASON)
    assert (answer.status_code, SessionException.objects.count()) == (422, 1)
    assert "For today there is one already" in read(answer)


def held(made: Client) -> None:
    sign(made, d(-1))


def against(made: Client) -> None:
    clearance(made, d(-1), word="against", known_by="client")


def unsure(made: Client) -> None:
    actions.name_condition(by=SYSTEM, client=made, code="preeclampsia", named_on=d(-1),
                           clinician="Imelda Roe")  # fmt: skip


IN_THE_WAY = {"a sign": held, "a clinician’s no": against, "a stop": unsure}


@pytest.mark.parametrize("what", IN_THE_WAY)
def test_over_anything_else_it_is_refused_with_a_sentence(
    browser: Browser, practice: Any, what: str
) -> None:
    made = client()
    IN_THE_WAY[what](made)
    here = f"/clients/{made.pk}/"
    assert f'href="{here}exception/"' not in browser.get(here).content.decode()
    shown = browser.get(f"{here}exception/")
    assert (NOT_OVER in read(shown), 'name="reason"' in shown.content.decode()) == (True, False)
    answer = browser.post(f"{here}exception/", REASON)
    assert (answer.status_code, SessionException.objects.count()) == (422, 0)
    assert "never over a warning sign" in read(answer)


def test_where_nothing_is_stale_there_is_nothing_to_except(browser: Browser, practice: Any) -> None:
    made = client(until=30)
    text = read(browser.get(f"/clients/{made.pk}/exception/"))
    assert "Yes Nothing is stale today: there is nothing to except." in text
    assert browser.post(f"/clients/{made.pk}/exception/", REASON).status_code == 422
    assert SessionException.objects.count() == 0
