"""The page of her progress report: for whom, since when, which parts, and when it is refused."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from clients.models import Client, LetterOut
from clients.rules.report import NO_ASSESSMENT, NO_CONSENT
from clients.rules.report_words import PARTS
from clients.rules.words import NEVER_IF_QUIET
from coach.practice.models import AuditEntry, Practice, User
from tests import factories
from tests import factories_clearance as health
from tests.clients.everywhere import main_of, pdf_text
from tests.clients.letters import consent
from tests.clients.pages import read

HERS = {"audience": "client", "since": "2026-03-01", "parts": list(PARTS)}
CLINICIAN = HERS | {"audience": "clinician"}


@pytest.fixture
def her(practice: Practice) -> Client:
    client = factories.client("Maeve Ashgrove", birth_date=date(1993, 5, 4), emergency_number="112")
    factories.pregnancy(client, due=date(2026, 3, 14), ended=date(2026, 3, 16), ending="birth",
                        known_on=date(2026, 3, 16))  # fmt: skip
    return client


@pytest.fixture
def measured(her: Client) -> Client:
    """A year before her weeks, and twice in them: heaviness was asked the first time alone."""
    health.assessment(her, date(2025, 1, 10), width_navel_rest=19)
    health.assessment(her, date(2026, 11, 3), width_navel_rest=28, heaviness="no")
    health.assessment(her, date(2026, 12, 3), width_navel_rest=21)
    return her


def address(client: Client) -> str:
    return f"/clients/{client.pk}/report/"


def trail() -> list[tuple[str, list[str], str]]:
    rows = AuditEntry.objects.order_by("pk").exclude(verb="signed in")
    return [(row.verb, sorted(row.fields), row.reason) for row in rows]


def test_without_an_assessment_there_is_no_report(browser: Browser, her: Client) -> None:
    text = read(browser.get(address(her)))
    assert "No assessment is on file" in text
    assert "Save the PDF" not in text
    answer = browser.post(address(her), HERS)
    assert (answer.status_code, NO_ASSESSMENT in read(answer)) == (422, True)


def test_it_begins_with_the_weeks_that_run_and_all_parts(
    browser: Browser, measured: Client
) -> None:
    form = browser.get(address(measured)).context["form"]
    assert form.initial == {
        "audience": "client", "since": date(2026, 11, 3), "parts": list(PARTS),
    }  # fmt: skip


@pytest.mark.poppler
def test_hers_is_saved_under_a_name_that_says_nothing(browser: Browser, measured: Client) -> None:
    answer = browser.post(address(measured), HERS | {"remark": "Well done."})
    assert (answer.status_code, answer["Content-Type"]) == (200, "application/pdf")
    assert answer["Content-Disposition"] == 'attachment; filename="report-2026-12-03.pdf"'
    assert answer["Cache-Control"] == "no-store"
    text = " ".join(pdf_text(answer.content).split())
    wanted = ("7 mm or 25.0 % narrower", "no on 3 Nov; not asked on 3 Dec", "Well done.",
              "Ring 112 first", "3 November 2026 to 3 December 2026")  # fmt: skip
    assert [words for words in wanted if words not in text] == []
    assert LetterOut.objects.count() == 0


def test_the_trail_says_that_it_left_and_for_whom(browser: Browser, measured: Client) -> None:
    consent(measured)
    before = len(trail())
    browser.get(address(measured))
    browser.post(address(measured), HERS | {"look": "1", "parts": ["tests"]})
    browser.post(address(measured), CLINICIAN)
    assert trail()[before:] == [
        ("looked at", ["assessments"], ""),
        ("looked at", ["assessments", "tests"], "progress report, for her"),
        ("exported", sorted(["assessments", *PARTS]), "progress report, for her clinician"),
    ]


def test_it_is_looked_at_in_the_browser_first(browser: Browser, measured: Client) -> None:
    answer = browser.post(address(measured), HERS | {"look": "1"})
    assert answer["Content-Disposition"] == 'inline; filename="report-2026-12-03.pdf"'
    page = browser.get(address(measured)).content.decode()
    assert 'name="look" value="1" formtarget="_blank"' in page


@pytest.mark.poppler
def test_only_the_parts_that_were_ticked(browser: Browser, measured: Client) -> None:
    answer = browser.post(address(measured), HERS | {"parts": ["symptoms"]})
    text = " ".join(pdf_text(answer.content).split())
    assert ("Heaviness" in text, "mm" in text) == (True, False)


def test_without_her_consent_none_goes_to_her_clinician(browser: Browser, measured: Client) -> None:
    page = browser.get(address(measured))
    assert NO_CONSENT in read(page)
    assert f"/clients/{measured.pk}/consents/" in page.content.decode()
    answer = browser.post(address(measured), CLINICIAN | {"remark": "Kept as typed."})
    assert answer.status_code == 422
    assert answer.context["form"].errors == {"audience": [NO_CONSENT]}
    assert "Kept as typed." in read(answer)
    assert "exported" not in {verb for verb, _, _ in trail()}


def test_one_taken_back_is_none(browser: Browser, measured: Client) -> None:
    row = consent(measured)
    assert browser.post(address(measured), CLINICIAN).status_code == 200
    row.withdrawn_at = row.given_at
    row.save()
    answer = browser.post(address(measured), CLINICIAN)
    assert answer.context["form"].errors == {"audience": [NO_CONSENT]}


@pytest.mark.poppler
def test_with_it_the_clinician_s_says_when_she_agreed(browser: Browser, measured: Client) -> None:
    consent(measured)
    answer = browser.post(address(measured), CLINICIAN)
    text = " ".join(pdf_text(answer.content).split())
    wanted = ("She agreed on 2 November", "DOB 4 May 1993", "What she feels")
    assert [words for words in wanted if words not in text] == []


WRONG = [
    ({"audience": ""}, {"audience": ["Say for whom it is."]}),
    ({"since": ""}, {"since": ["Write the day it begins with."]}),
    ({"since": "31/02/2026"}, {"since": ["Write a day that there is, like 21/02/2027."]}),
    ({"since": "2026-12-04"}, {"since": ["None since then: the latest is of 3 December 2026."]}),
    ({"parts": []}, {"parts": ["Tick at least one part."]}),
]


@pytest.mark.parametrize(("changes", "errors"), WRONG)
def test_what_is_wrong_stands_beside_its_field(
    browser: Browser, measured: Client, changes: dict[str, Any], errors: dict[str, list[str]]
) -> None:
    answer = browser.post(address(measured), HERS | changes)
    assert (answer.status_code, answer.context["form"].errors) == (422, errors)


def test_one_that_is_being_taken_is_finished_first(browser: Browser, measured: Client) -> None:
    """Its answers would be missing, and older ones would be read as the last."""
    health.assessment(measured, date(2026, 12, 3), finished=False, heaviness="yes")
    assert "3 December 2026 is still being taken" in read(browser.get(address(measured)))
    answer = browser.post(address(measured), HERS)
    (sentence,) = answer.context["form"].non_field_errors()
    assert sentence.startswith("The assessment of 3 December 2026 is still being taken")


@pytest.mark.poppler
def test_a_withdrawn_one_is_not_in_it(browser: Browser, measured: Client) -> None:
    row = health.assessment(measured, date(2026, 12, 3), width_navel_rest=99)
    row.withdrawn_on = date(2026, 12, 3)
    row.save()
    text = pdf_text(browser.post(address(measured), HERS).content)
    assert "99 mm" not in text


@pytest.mark.poppler
def test_a_quiet_client_s_page_and_report_say_no_word_too_much(
    browser: Browser, practice: Practice
) -> None:
    client = factories.client("Ines Portwood", quiet=True, birth_date=date(1990, 1, 1))
    factories.pregnancy(client, due=date(2027, 5, 1), ended=date(2026, 11, 1), ending="loss",
                        known_on=date(2026, 11, 2))  # fmt: skip
    for day in (date(2026, 11, 20), date(2026, 12, 2)):
        health.assessment(client, day, leaking="no", width_navel_rest=20, by="The birth centre")
    consent(client)
    page = main_of(browser.get(address(client)).content.decode())
    texts = [page, *(pdf_text(browser.post(address(client), HERS | {"audience": one}).content)
                     for one in ("client", "clinician"))]  # fmt: skip
    assert [len(text) > 500 for text in texts] == [True] * 3
    assert [word for text in texts for word in NEVER_IF_QUIET if word in text.casefold()] == []
    answer = browser.post(address(client), HERS | {"remark": "Since the birth"})
    (sentence,) = answer.context["form"].errors["remark"]
    assert [word for word in NEVER_IF_QUIET if word in sentence.casefold()] == []


def test_another_hundred_assessments_cost_no_query_more(browser: Browser, her: Client) -> None:
    def cost(method: str) -> int:
        with CaptureQueriesContext(
            connection,
        ) as caught:
            if method == "get":
                assert browser.get(address(her)).status_code == 200
            else:
                assert browser.post(address(her), HERS).status_code == 200
        return len(caught)

    health.assessment(her, date(2026, 11, 1), leaking="no")
    one = cost("get"), cost("post")
    for day in range(2, 30):
        health.assessment(her, date(2026, 11, day), leaking="no", width_navel_rest=20)
    assert (cost("get"), cost("post")) == one


@pytest.mark.parametrize("role", ["covering coach", "assistant", "bookkeeper", "nobody"])
def test_nobody_else_makes_one(
    people: dict[str, User | None], signed_in: Any, measured: Client, role: str
) -> None:
    browser = signed_in(people[role])
    wanted = 302 if role == "nobody" else 403
    answers = browser.get(address(measured)), browser.post(address(measured), HERS)
    assert [answer.status_code for answer in answers] == [wanted, wanted]
