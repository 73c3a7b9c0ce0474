"""The page on which an assessment is taken: what it begins with, keeps, asks, refuses."""

from __future__ import annotations

import re
from datetime import date
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from clients import actions
from clients.models import Assessment, Client
from clients.rules.words import NEVER_IF_QUIET
from coach.practice.audit import SYSTEM
from tests import factories
from tests.clients.everywhere import main_of
from tests.clients.pages import read
from tests.factories_clearance import assessment, clearance, screening

TODAY = date(2026, 12, 3)


@pytest.fixture
def meret(practice: Any) -> Client:
    client = factories.client("Meret Solberg", email="meret@example.org")
    factories.pregnancy(client, ended=date(2026, 5, 20), ending="birth", birth_mode="vaginal")
    screening(client, date(2026, 11, 20), phase="after")
    clearance(client, date(2026, 11, 20), examined="yes")
    return client


def new(client: Client) -> str:
    return reverse("clients:assess", args=[client.pk])


def checked(source: str) -> dict[str, str]:
    """What is chosen among radios, by name, where it is not the blank."""
    radios = re.findall(r'<input type="radio" name="([^"]+)" value="([^"]*)" checked>', source)
    return {name: value for name, value in radios if value}


def filled(source: str) -> dict[str, str]:
    """What stands in written fields."""
    fields = re.findall(r'<input id="[^"]+" name="([^"]+)" value="([^"]+)"', source)
    return dict(fields)


def whole(**typed: str) -> dict[str, str]:
    sent = {"method": "calliper", "position": "crook", "who": "coach", "day": "2026-12-03"}
    return sent | {name.replace("_", "-"): text for name, text in typed.items()}


def test_how_it_is_taken_is_as_last_time_and_no_answer_is(browser: Browser, meret: Client) -> None:
    assessment(
        meret, date(2026, 11, 5), by="Una Owner", method="tape", position="standing",
        width_navel_rest=28, doming="no", heaviness="no", effort=5, tension="firm",
    )  # fmt: skip
    source = browser.get(new(meret)).content.decode()
    assert checked(source) == {"method": "tape", "position": "standing", "who": "coach"}
    assert filled(source) == {"day": "2026-12-03"}
    text = read(browser.get(new(meret)))
    assert "tape or ruler, standing, you" in text
    assert "last: no, 5 November" in text
    assert "last 28 mm" in text


def test_nothing_is_kept_by_looking(browser: Browser, meret: Client) -> None:
    browser.get(new(meret))
    assert Assessment.objects.count() == 0


def test_a_part_is_kept_and_told(browser: Browser, meret: Client) -> None:
    key = uuid4()
    to = reverse("clients:save_assessment", args=[meret.pk, key])
    answer = browser.post(to, {"width-navel-rest": "28", "effort": "11"}).content.decode()
    assert 'data-begun="yes"' in answer
    assert "Write a whole number from 0 to 10." in answer
    assert Assessment.objects.get(key=key).measures == {"width-navel-rest": 28}


def test_sent_as_a_whole_it_is_kept_and_finished(browser: Browser, meret: Client) -> None:
    key = uuid4()
    to = reverse("clients:assessment", args=[meret.pk, key])
    answer = browser.post(to, whole(width_navel_rest="28", doming="yes"), follow=True)
    row = Assessment.objects.get(key=key)
    assert row.finished_at is not None
    assert (row.who, row.by, row.measures) == (
        "coach", "Una Owner", {"width-navel-rest": 28, "doming": "yes"},
    )  # fmt: skip
    assert answer.redirect_chain == [(reverse("clients:assessments", args=[meret.pk]), 302)]
    assert "Kept." in read(answer)


def test_after_tests_it_says_to_ask_tomorrow(browser: Browser, meret: Client) -> None:
    to = reverse("clients:assessment", args=[meret.pk, uuid4()])
    sent = whole(test_hop_left="10", test_hop_right="10", test_hop_symptom="no")
    assert "Ask her tomorrow how she was." in read(browser.post(to, sent, follow=True))


@pytest.mark.parametrize(
    ("sent", "field", "words"),
    [
        (whole(width_navel_rest="wide"), "width-navel-rest", "Write a number."),
        (whole(width_navel_rest="20") | {"method": ""}, "method", "measured with"),
        (whole(effort="4") | {"day": "2026-12-09"}, "day", "has not come yet"),
        (whole(width_navel_rest="93"), "width-navel-rest", "93 mm is very wide: is it right?"),
        (whole(), "", "Nothing is measured"),
        ({"width-navel-rest": "20", "who": "clinician"}, "by", "Say the name of who measured."),
    ],
)
def test_what_wants_a_look_stands_beside_its_field_and_what_was_typed_stays(
    browser: Browser, meret: Client, sent: dict[str, str], field: str, words: str
) -> None:
    to = reverse("clients:assessment", args=[meret.pk, uuid4()])
    answer = browser.post(to, sent | {"note": "as typed"})
    source = answer.content.decode()
    place = source.partition(f'id="beside-{field}"')[2].partition("</div>")[0] if field else source
    assert answer.status_code == 422
    assert words in place
    assert ">as typed</textarea>" in source
    for name in ("width-navel-rest", "effort"):
        if name in sent:
            assert sent[name] in source


def test_an_unlikely_value_is_kept_once_it_was_looked_at_again(
    browser: Browser, meret: Client
) -> None:
    key = uuid4()
    to = reverse("clients:assessment", args=[meret.pk, key])
    browser.post(to, whole(width_navel_rest="93"))
    browser.post(to, whole(width_navel_rest="93") | {"sure": "width-navel-rest=93"})
    assert Assessment.objects.get(key=key).finished_at is not None


def test_one_that_was_begun_goes_on(browser: Browser, meret: Client) -> None:
    row = assessment(meret, TODAY, finished=False, width_navel_rest=28)
    source = browser.get(new(meret)).content.decode()
    assert str(row.key) in source
    assert "not finished" in source
    assert filled(source)["width-navel-rest"] == "28"
    assert str(row.key) not in browser.get(f"{new(meret)}?new=1").content.decode()


def test_on_hold_the_page_says_what_to_do_instead(browser: Browser, meret: Client) -> None:
    sign = actions.record_warning_sign(by=SYSTEM, client=meret, code="dizzy", happened_on=TODAY)
    source = browser.get(new(meret)).content.decode()
    assert "<form id=" not in source
    assert "She is on hold: nothing is measured" in source
    assert "mailto:meret@example.org" in source
    assert reverse("clients:sign", args=[meret.pk, sign.pk]) in source
    to = reverse("clients:assessment", args=[meret.pk, uuid4()])
    assert browser.post(to, whole(leaking="no")).status_code == 422
    assert Assessment.objects.count() == 0


def test_while_the_weeks_run_no_test_is_offered_and_the_page_says_why(
    browser: Browser, practice: Any
) -> None:
    her = factories.client("Honora Finch")
    factories.pregnancy(her, due=date(2027, 2, 21))
    screening(her, date(2026, 11, 20))
    clearance(her, date(2026, 11, 20))
    source = browser.get(new(her)).content.decode()
    assert 'name="test-hop-left"' not in source
    assert "Not offered at this stage." in source
    assert 'name="bleeding"' not in source


def test_a_quiet_page_says_nothing_it_should_not(browser: Browser, practice: Any) -> None:
    her = factories.client("Honora Finch", quiet=True)
    factories.pregnancy(her, ended=date(2026, 6, 1), ending="loss")
    assessment(her, date(2026, 11, 1), note="the baby slept", by="Newborn Care")
    source = main_of(browser.get(new(her)).content.decode()).casefold()
    assert [word for word in NEVER_IF_QUIET if word in source] == []


def test_a_finished_one_is_put_right_on_the_same_page(browser: Browser, meret: Client) -> None:
    row = assessment(meret, date(2026, 11, 5), by="Una Owner", width_navel_rest=28)
    to = reverse("clients:assessment", args=[meret.pk, row.key])
    assert filled(browser.get(to).content.decode())["width-navel-rest"] == "28"
    browser.post(to, whole(width_navel_rest="26") | {"day": "2026-11-05"})
    row.refresh_from_db()
    assert row.measures == {"width-navel-rest": 26}


def test_a_mistake_is_withdrawn_with_its_reason(browser: Browser, meret: Client) -> None:
    row = assessment(meret, date(2026, 11, 5))
    to = reverse("clients:withdraw_assessment", args=[meret.pk, row.key])
    assert "Say why" in browser.post(to, {"reason": ""}).content.decode()
    browser.post(to, {"reason": "not hers"})
    row.refresh_from_db()
    assert (row.withdrawn_on, row.withdrawn_reason) == (TODAY, "not hers")
    page = reverse("clients:assessment", args=[meret.pk, row.key])
    for answer in (browser.get(page), browser.post(page, whole(effort="4"))):
        assert answer.headers["Location"] == reverse("clients:client", args=[meret.pk])
    row.refresh_from_db()
    assert row.measures == {"width-navel-rest": 20}


def test_a_late_part_that_is_unlikely_in_a_finished_one_is_told_and_not_kept(
    browser: Browser, meret: Client
) -> None:
    row = assessment(meret, date(2026, 11, 5))
    to = reverse("clients:save_assessment", args=[meret.pk, row.key])
    answer = browser.post(to, {"width-navel-rest": "93"}).content.decode()
    assert 'id="refused" data-gone="no">93 mm is very wide: is it right?' in answer
    row.refresh_from_db()
    assert row.measures == {"width-navel-rest": 20}


def test_a_part_of_a_withdrawn_one_has_nowhere_to_go(browser: Browser, meret: Client) -> None:
    row = assessment(meret, date(2026, 11, 5))
    actions.withdraw_assessment(by=SYSTEM, assessment=row, reason="not hers")
    to = reverse("clients:save_assessment", args=[meret.pk, row.key])
    assert 'id="refused" data-gone="yes"' in browser.post(to, {"effort": "4"}).content.decode()


def test_another_s_assessment_is_not_found(browser: Browser, meret: Client) -> None:
    row = assessment(factories.client("Ottilie Brandt"), date(2026, 11, 5))
    to = reverse("clients:withdraw_assessment", args=[meret.pk, row.key])
    assert browser.get(to).status_code == 404


def test_as_many_queries_for_thirty_earlier_ones_as_for_one(
    browser: Browser, meret: Client
) -> None:
    def count() -> int:
        with CaptureQueriesContext(connection) as caught:
            assert browser.get(new(meret)).status_code == 200
        return len(caught)

    assessment(meret, date(2026, 11, 1))
    first = count()
    for day in range(1, 30):
        assessment(meret, date(2026, 10, day))
    assert count() == first
