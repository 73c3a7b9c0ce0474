"""The letter that comes with a form: taken by its bytes, replaced, shown to who may see it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client as Browser

from clients.actions.intake import make_link
from clients.actions.intake_review import accept
from clients.models import Clearance, Intake
from clients.queries.intake import letter_from_form
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry, Practice, StoredFile
from tests import factories
from tests.clients.intakes import at, begin, fill, send
from tests.clients.pages import PDF, read


@pytest.fixture
def intake(practice: Practice) -> Intake:
    return make_link(by=SYSTEM, name="Aveline")


def upload(browser: Browser, intake: Intake, content: bytes = PDF, name: str = "l.pdf") -> Any:
    sent = SimpleUploadedFile(name, content, content_type="application/pdf")
    answer = browser.post(at(intake, "letter"), {"letter": sent, "go": "next"})
    intake.refresh_from_db()
    return answer


def stored() -> list[Path]:
    return sorted(Path(settings.FILES).glob("*"))


def test_a_letter_is_kept_sealed_and_the_form_goes_on(intake: Intake) -> None:
    browser = begin(intake)
    assert upload(browser, intake)["Location"] == at(intake, "send")
    assert intake.document
    assert "There is a letter with this form." in read(browser.get(at(intake, "letter")))
    assert PDF[:20] not in stored()[0].read_bytes()


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "The file is empty."),
        (b"MZ" + b"\0" * 200, "That is a program."),
        (PDF[:200], "The file is not whole"),
        (b"%PDF-1.4" + b"0" * (10 * 1024 * 1024), "The file is larger than 10 MB."),
    ],
)
def test_a_file_that_is_no_letter_gets_a_sentence_and_changes_nothing(
    intake: Intake, content: bytes, sentence: str
) -> None:
    browser = begin(intake)
    upload(browser, intake)
    before = intake.document
    answer = upload(browser, intake, content)
    assert (answer.status_code, sentence in read(answer)) == (422, True)
    assert (intake.document, StoredFile.objects.count(), len(stored())) == (before, 1, 1)


def test_another_takes_its_place_and_it_can_be_taken_out(
    intake: Intake, django_capture_on_commit_callbacks: Any
) -> None:
    browser = begin(intake)
    with django_capture_on_commit_callbacks(execute=True):
        upload(browser, intake, name="one.pdf")
        upload(browser, intake, name="two.pdf")
    assert ([file.name for file in StoredFile.objects.all()], len(stored())) == (["two.pdf"], 1)
    with django_capture_on_commit_callbacks(execute=True):
        browser.post(at(intake, "letter"), {"go": "remove"})
    assert (StoredFile.objects.count(), stored()) == (0, [])


def test_the_form_can_be_sent_without(intake: Intake) -> None:
    browser = begin(intake)
    assert browser.post(at(intake, "letter"), {"go": "next"})["Location"] == at(intake, "send")


def test_the_coach_opens_it_and_each_look_is_in_the_trail(browser: Browser, intake: Intake) -> None:
    hers = fill(intake)
    upload(hers, intake)
    path = f"/clients/forms/{intake.pk}/letter/"
    assert browser.get(path).status_code == 404
    send(hers, intake)
    answer = browser.get(path)
    assert (answer.content, answer["Content-Type"]) == (PDF, "application/pdf")
    assert "sandbox" in answer["Content-Security-Policy"]
    assert (answer["X-Content-Type-Options"], answer["Cache-Control"]) == ("nosniff", "no-store")
    assert AuditEntry.objects.filter(verb="looked at", fields=["document"]).count() == 1


def test_a_letter_alone_is_no_clearance(browser: Browser, intake: Intake) -> None:
    hers = fill(intake)
    upload(hers, intake)
    send(hers, intake)
    client = accept(by=SYSTEM, intake=intake, choices={})
    assert Clearance.objects.count() == 0
    found = letter_from_form(client, intake.pk)
    assert found
    assert (found.content, found.content_type) == (PDF, "application/pdf")
    assert letter_from_form(factories.client(), intake.pk) is None
    page = browser.get(f"/clients/forms/{intake.pk}/review/").content.decode()
    assert f"/clients/{client.pk}/clearance/add/?form={intake.pk}" in page
