"""A client's page, for the owner."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import Any

import pytest
from django.test import Client as Browser

from clients import actions
from clients.models import Client
from clients.rules.pregnancies import PregnancyFacts
from coach.practice.audit import Actor
from coach.practice.models import AuditEntry, User
from coach.practice.permissions import Role
from tests import factories

TODAY = date(2026, 12, 3)


def read(answer: Any) -> str:
    """The page's words, without its tags."""
    text = re.sub(r"<(script|style|svg).*?</\1>", " ", answer.content.decode(), flags=re.DOTALL)
    return " ".join(re.sub(r"<[^>]+>", " ", text).split())


@pytest.fixture
def meret(practice: Any) -> Client:
    return factories.client(
        "Meret A.", time_zone="Asia/Tokyo", phone="+353 (0)86 123 4567", note="prefers mornings"
    )


STAGES = [
    # her pregnancies, in days from today              said under her name
    ([], "stage not known"),
    ([{"due": 80}], "28 weeks and 4 days, trimester 3"),
    ([{"due": 279}], "1 day, trimester 1"),
    ([{"due": 0}], "40 weeks, trimester 3"),
    ([{"due": -9}], "9 days past the due date"),
    ([{"due": -80, "ended": -77, "ending": "birth"}], "11 weeks since the birth"),
    ([{"due": -500, "ended": -500, "ending": "birth"}, {"due": 80}],
     "28 weeks and 4 days, trimester 3, second pregnancy"),
]  # fmt: skip


@pytest.mark.parametrize(("pregnancies", "said"), STAGES)
def test_her_stage_stands_under_her_name(
    browser: Browser, meret: Client, pregnancies: list[dict[str, Any]], said: str
) -> None:
    for row in pregnancies:
        days = {k: TODAY + timedelta(days=v) for k, v in row.items() if k != "ending"}
        factories.pregnancy(meret, **days, ending=row.get("ending", ""))
    text = read(browser.get(f"/clients/{meret.pk}/"))
    assert f"Meret A. it is 18:00 where she is {said}" in text
    assert text.count("not medical advice") == 1


def test_past_the_due_date_asks_for_her_and_leads_to_the_record(
    browser: Browser, meret: Client
) -> None:
    row = factories.pregnancy(meret, due=date(2026, 11, 24))
    answer = browser.get(f"/clients/{meret.pk}/")
    assert "Past the due date, nothing recorded: ask how she is" in read(answer)
    assert f'href="/clients/{meret.pk}/dates/{row.pk}/end/"' in answer.content.decode()
    assert re.findall(r"cleared|go ahead|good to go", read(answer), re.IGNORECASE) == []


def test_the_due_date_stands_with_its_method_and_the_number_expected(
    browser: Browser, meret: Client
) -> None:
    factories.pregnancy(meret, due=date(2027, 2, 21), dated_by="scan", expected=2)
    text = read(browser.get(f"/clients/{meret.pk}/"))
    assert "Due date Sunday 21 February 2027, by scan" in text
    assert "Babies expected 2" in text


def test_an_earlier_due_date_is_not_lost(owner: User, browser: Browser, meret: Client) -> None:
    row = factories.pregnancy(meret, due=date(2027, 2, 14), dated_by="last-period")
    facts = PregnancyFacts(due=date(2027, 2, 21), dated_by="scan")
    actions.change_pregnancy(by=Actor(owner), pregnancy=row, facts=facts, reason="scan at 12 weeks")
    assert (
        "due date was 14 February 2027 by last period until 3 December 2026 "
        "(Una Owner): scan at 12 weeks"
    ) in read(browser.get(f"/clients/{meret.pk}/"))


def test_a_birth_is_told_with_its_kind_and_its_age(browser: Browser, meret: Client) -> None:
    factories.pregnancy(
        meret, due=date(2026, 9, 20), ended=date(2026, 9, 17), ending="birth",
        birth_mode="caesarean", born=2, dated_by="scan",
    )  # fmt: skip
    text = read(browser.get(f"/clients/{meret.pk}/"))
    assert "Weeks counted from Thursday 17 September 2026" in text
    assert "Birth, caesarean" in text
    assert "17 September 2026, at 39w4d, full term due Sunday 20 September 2026, by scan" in text
    assert "by scan 2 babies" in text


def test_the_number_is_dialled_without_what_people_write_into_it(
    browser: Browser, meret: Client
) -> None:
    assert 'href="tel:+353861234567"' in browser.get(f"/clients/{meret.pk}/").content.decode()


def test_each_look_is_in_the_trail(owner: User, browser: Browser, meret: Client) -> None:
    browser.get(f"/clients/{meret.pk}/")
    browser.get(f"/clients/{meret.pk}/")
    entries = AuditEntry.objects.values_list("actor", "verb", "subject_kind", "subject_id")
    assert list(entries) == [(owner.pk, "looked at", "clients.client", str(meret.pk))] * 2


@pytest.mark.parametrize("standing", ["paused", "former", "active"])
def test_a_button_changes_her_standing(browser: Browser, meret: Client, standing: str) -> None:
    Client.objects.update(standing="paused" if standing == "active" else "active")
    answer = browser.post(f"/clients/{meret.pk}/standing/", {"standing": standing}, follow=True)
    assert Client.objects.get().standing == standing
    assert answer.redirect_chain == [(f"/clients/{meret.pk}/", 302)]


@pytest.mark.parametrize(("sent", "kept"), [("on", True), ("off", False)])
def test_a_button_turns_quiet_on_or_off(
    browser: Browser, meret: Client, sent: str, kept: bool
) -> None:
    Client.objects.filter(pk=meret.pk).update(quiet=not kept)
    browser.post(f"/clients/{meret.pk}/quiet/", {"quiet": sent})
    assert Client.objects.get().quiet is kept


@pytest.mark.parametrize(
    ("path", "sent"), [("standing", {"standing": "dead"}), ("quiet", {"quiet": "x"}), ("quiet", {})]
)
def test_a_forged_button_changes_nothing(
    browser: Browser, meret: Client, path: str, sent: dict[str, str]
) -> None:
    assert browser.post(f"/clients/{meret.pk}/{path}/", sent).status_code == 400
    kept = Client.objects.get()
    assert (kept.standing, kept.quiet, AuditEntry.objects.count()) == ("active", False, 0)


def test_nobody_of_that_number_is_said_so(browser: Browser, practice: Any) -> None:
    assert browser.get("/clients/77/").status_code == 404


def test_the_page_says_who_may_see_what(browser: Browser, meret: Client) -> None:
    text = read(browser.get(f"/clients/{meret.pk}/"))
    assert [role for role in Role if role not in text] == []
    assert "assistant how to reach her, her go-ahead in a word bookkeeper how to reach her" in text
