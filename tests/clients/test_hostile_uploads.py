"""What somebody might send in place of a letter, through both forms that take one."""

from __future__ import annotations

from typing import Any

import pytest
from django.conf import settings
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client as Browser

from clients.actions.intake import make_link
from clients.models import Clearance, Client, Intake
from coach.practice import files
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry, StoredFile
from tests import factories
from tests.clients.hostile import DEFUSED, HOSTILE
from tests.clients.intakes import at, begin

REFUSED = pytest.mark.parametrize(
    ("name", "content", "sentence"), HOSTILE.values(), ids=HOSTILE.keys()
)
TAKEN = pytest.mark.parametrize(
    ("name", "content", "inside", "kept_as", "kind"), DEFUSED.values(), ids=DEFUSED.keys()
)
SENT = {
    "word": "go-ahead", "said_on": "2026-12-01", "clinician_kind": "midwife",
    "clinician": "Maeve Lorne", "known_by": "letter", "examined": "not-known",
    "until_kind": "open",
}  # fmt: skip


@pytest.fixture
def her(practice: Any) -> Client:
    return factories.client("Meret A.")


@pytest.fixture
def form(practice: Any) -> Intake:
    return make_link(by=SYSTEM, name="Aveline Marsh")


def to_the_coach(browser: Browser, client: Client, name: str, content: bytes) -> Any:
    sent = SimpleUploadedFile(name, content, "application/pdf")
    return browser.post(f"/clients/{client.pk}/clearance/add/", {**SENT, "document": sent})


def by_the_link(form: Intake, name: str, content: bytes) -> Any:
    sent = {"letter": SimpleUploadedFile(name, content, "image/jpeg"), "go": "next"}
    return begin(form).post(at(form, "letter"), sent)


def kept() -> tuple[int, list[str]]:
    """How many files have a row, and what lies on the disk."""
    return StoredFile.objects.count(), [path.name for path in settings.FILES.glob("*")]


def test_there_are_more_than_twenty() -> None:
    assert len(HOSTILE) > 20
    assert len({content for _, content, _ in HOSTILE.values()}) == len(HOSTILE)


@REFUSED
def test_the_coach_is_told_and_nothing_changes(
    browser: Browser, her: Client, name: str, content: bytes, sentence: str
) -> None:
    before = AuditEntry.objects.filter(verb="recorded").count()
    answer = to_the_coach(browser, her, name, content)
    assert (answer.status_code, kept()) == (422, (0, []))
    assert answer.context["form"].errors["document"][0].startswith(sentence)
    assert Clearance.objects.count() == 0
    assert AuditEntry.objects.filter(verb="recorded").count() == before


@REFUSED
def test_whoever_has_the_link_is_told_and_nothing_changes(
    form: Intake, name: str, content: bytes, sentence: str
) -> None:
    answer = by_the_link(form, name, content)
    assert (answer.status_code, kept()) == (422, (0, []))
    assert answer.context["form"].errors["letter"][0].startswith(sentence)
    form.refresh_from_db()
    assert form.document is None


@TAKEN
def test_of_a_photo_the_coach_keeps_what_is_seen(
    browser: Browser, her: Client, name: str, content: bytes, inside: bytes, kept_as: str, kind: str
) -> None:
    answer = to_the_coach(browser, her, name, content)
    assert (answer.status_code, inside in content) == (302, True)
    stored = StoredFile.objects.get()
    assert (stored.name, stored.content_type) == (kept_as, kind)
    assert inside not in files.read(stored)


@TAKEN
def test_of_a_photo_by_the_link_what_is_seen_is_kept(
    form: Intake, name: str, content: bytes, inside: bytes, kept_as: str, kind: str
) -> None:
    answer = by_the_link(form, name, content)
    assert (answer.status_code, inside in content) == (302, True)
    stored = StoredFile.objects.get()
    assert (stored.name, stored.content_type) == (kept_as, kind)
    assert inside not in files.read(stored)


def test_a_letter_whose_clearance_is_refused_leaves_no_file(browser: Browser, her: Client) -> None:
    name, content, *_ = DEFUSED["a PNG with notes"]
    SENT_LATER = {**SENT, "said_on": "2026-12-09"}
    sent = SimpleUploadedFile(name, content, "image/png")
    answer = browser.post(f"/clients/{her.pk}/clearance/add/", {**SENT_LATER, "document": sent})
    assert (answer.status_code, kept()) == (422, (0, []))
