"""A clearance on its pages: recorded with its letter, opened, withdrawn."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client as Browser

from clients.models import Clearance, Client
from coach.practice import files
from coach.practice.models import AuditEntry, StoredFile
from tests import factories
from tests.clients.pages import PDF, clearance_with_letter, read
from tests.factories_clearance import clearance, screening, sign

SENT = {
    "word": "go-ahead",
    "said_on": "2026-12-01",
    "clinician_kind": "midwife",
    "clinician": "Maeve Lorne",
    "known_by": "letter",
    "examined": "not-known",
    "until_kind": "open",
}


@pytest.fixture
def meret(practice: Any) -> Client:
    client = factories.client("Meret A.")
    factories.pregnancy(client, due=date(2027, 2, 21), dated_by="scan")
    return client


def send(browser: Browser, client: Client, **changed: Any) -> Any:
    return browser.post(f"/clients/{client.pk}/clearance/add/", {**SENT, **changed}, follow=True)


def test_nothing_is_chosen_beforehand(browser: Browser, meret: Client) -> None:
    form = browser.get(f"/clients/{meret.pk}/clearance/add/").context["form"]
    assert {name: form[name].value() for name in form.fields} == dict.fromkeys(form.fields)


def test_a_clearance_with_its_letter_is_on_her_page(browser: Browser, meret: Client) -> None:
    answer = send(
        browser, meret, word="limits", limits=["not_lying_flat"], effort_at_most="6",
        others="no jumping\n\n no lifts overhead ", until_kind="end", examined="yes",
        document=SimpleUploadedFile("letter.pdf", PDF, "application/pdf"),
    )  # fmt: skip
    row = Clearance.objects.get()
    assert answer.redirect_chain == [(f"/clients/{meret.pk}/", 302)]
    assert (row.word, row.known_by, row.examined, row.until_birth, row.until) == (
        "limits", "letter", "yes", True, None,
    )  # fmt: skip
    assert row.limits == {
        "not_lying_flat": True,
        "effort_at_most": 6,
        "others": ["no jumping", "no lifts overhead"],
    }
    limits = "Not lying flat; effort up to 6 of 10; no jumping; no lifts overhead"
    text = read(answer)
    assert f"Waiting {limits}" in text
    assert "The health questions" in text
    assert "Clearance: go ahead, with limits · midwife, Maeve Lorne" in text
    screening(meret, date(2026, 12, 2))
    text = read(browser.get(f"/clients/{meret.pk}/"))
    assert f"Yes, with limits {limits}" in text
    assert "until the birth" in text


@pytest.mark.parametrize(
    ("changed", "field", "sentence"),
    [
        ({"word": ""}, "word", "Choose what the clinician said."),
        ({"word": "yes"}, "word", None),
        ({"word": "limits"}, "word", "Say which limits."),
        ({"limits": ["no_impact"]}, "word", "There are limits: then it is a go-ahead with limits."),
        ({"said_on": ""}, "said_on", "Write the letter’s day."),
        ({"said_on": "31/02/2026"}, "said_on", "Write a day that there is, like 21/02/2027."),
        ({"said_on": "2026-12-05"}, "said_on", "That day has not come yet."),
        ({"clinician": ""}, "clinician", "Write whose word it is."),
        ({"clinician_kind": ""}, "clinician_kind", "Choose who said it."),
        ({"known_by": ""}, "known_by",
         "Choose how you know: her own word alone does not count as a letter."),
        ({"examined": ""}, "examined", "Choose one."),
        ({"until_kind": ""}, "until_kind", "Choose one."),
        ({"until_kind": "day"}, "until", "Say which day is the last."),
        ({"until": "2027-01-01"}, "until", "A day is written here: choose “until a day”."),
        ({"until_kind": "day", "until": "2026-01-01"}, "until",
         "That is before the day it was said."),
        ({"word": "limits", "effort_at_most": "11"}, "effort_at_most", "Not over 10."),
        ({"word": "limits", "lift_at_most_kg": "ten"}, "lift_at_most_kg", "Write a whole number."),
    ],
)  # fmt: skip
def test_what_is_wrong_stands_beside_its_field_and_nothing_is_kept(
    browser: Browser, meret: Client, changed: dict[str, Any], field: str, sentence: str | None
) -> None:
    answer = send(browser, meret, note="rang on Monday", **changed)
    assert answer.status_code == 422
    assert list(answer.context["form"].errors) == [field]
    assert sentence in {None, answer.context["form"].errors[field][0]}
    assert "rang on Monday" in answer.content.decode()
    assert (Clearance.objects.count(), AuditEntry.objects.filter(verb="recorded").count()) == (0, 0)


@pytest.mark.parametrize(
    ("name", "content", "sentence"),
    [
        ("letter.pdf", b"", "The file is empty."),
        ("letter.pdf", b"<html><script>alert(1)</script>", "Take a PDF, or a photo"),
        ("letter.pdf", PDF[:60], "The file is not whole"),
        ("photo.heic", b"\x00\x00\x00\x18ftypheic" + b"0" * 40, "The file is not whole"),
        ("letter.pdf", PDF + b"0" * (10 * 1024 * 1024), "The file is larger than 10 MB."),
    ],
)
def test_a_file_that_is_not_taken_is_told_beside_its_field(
    browser: Browser, meret: Client, name: str, content: bytes, sentence: str
) -> None:
    answer = send(browser, meret, document=SimpleUploadedFile(name, content, "application/pdf"))
    assert list(answer.context["form"].errors) == ["document"]
    assert sentence in answer.context["form"].errors["document"][0]
    assert "Maeve Lorne" in answer.content.decode()
    assert (Clearance.objects.count(), StoredFile.objects.count()) == (0, 0)


def test_only_open_signs_are_offered_and_only_those_ticked_are_answered(
    browser: Browser, meret: Client
) -> None:
    screening(meret, date(2026, 12, 1))
    first = sign(meret, date(2026, 12, 1), code="dizzy")
    second = sign(meret, date(2026, 12, 1), code="headache")
    page = f"/clients/{meret.pk}/clearance/add/"
    assert len(browser.get(page).context["form"].fields["answers"].choices) == 2
    answer = send(browser, meret, answers=[str(first.pk)])
    assert str(answer.context["standing"].word) == "on hold"
    offered = browser.get(page).context["form"].fields["answers"].choices
    assert [pk for pk, _ in offered] == [str(second.pk)]
    answer = send(browser, meret, said_on="2026-12-02", answers=[str(second.pk)])
    assert str(answer.context["standing"].word) == "yes"
    assert "answers" not in browser.get(page).context["form"].fields


def test_her_own_word_does_not_answer_a_sign(browser: Browser, meret: Client) -> None:
    row = sign(meret, date(2026, 12, 1))
    answer = send(browser, meret, known_by="client", answers=[str(row.pk)])
    assert list(answer.context["form"].errors) == ["answers"]
    assert Clearance.objects.count() == 0


def test_until_the_end_is_offered_only_while_weeks_run(browser: Browser, practice: Any) -> None:
    client = factories.client()
    page = f"/clients/{client.pk}/clearance/add/"
    kinds = browser.get(page).context["form"].fields["until_kind"].choices
    assert [code for code, _ in kinds] == ["open", "day"]


def test_the_letter_opens_as_it_was_sent_and_cannot_act(browser: Browser, meret: Client) -> None:
    row = clearance_with_letter(meret, "Brief für „Meret“.pdf")
    answer = browser.get(f"/clients/{meret.pk}/letters/{row.pk}/")
    assert (answer.status_code, answer.content) == (200, PDF)
    assert {name: answer[name] for name in HEADERS} == HEADERS


HEADERS = {
    "Content-Type": "application/pdf",
    "X-Content-Type-Options": "nosniff",
    "Content-Security-Policy": "sandbox; default-src 'none'; frame-ancestors 'none'",
    "Cache-Control": "no-store",
    # RFC 6266, 4.3 and RFC 8187, 3.2: a name outside US-ASCII goes percent-encoded as UTF-8
    "Content-Disposition": "inline; filename*=utf-8''"
    "Brief%20f%C3%BCr%20%E2%80%9EMeret%E2%80%9C.pdf",
}


def test_each_look_at_a_letter_is_in_the_trail(browser: Browser, owner: Any, meret: Client) -> None:
    row = clearance_with_letter(meret)
    browser.get(f"/clients/{meret.pk}/letters/{row.pk}/")
    entry = AuditEntry.objects.latest("pk")
    assert (entry.actor, entry.verb, entry.subject_kind, entry.subject_id, entry.fields) == (
        owner, "looked at", "clients.clearance", str(row.pk), ["document"],
    )  # fmt: skip


def test_a_letter_is_found_under_its_own_client_only(browser: Browser, meret: Client) -> None:
    row = clearance_with_letter(meret)
    bare = clearance(meret, date(2026, 12, 1))
    other = factories.client("Tal R.")
    paths = [(other.pk, row.pk), (meret.pk, bare.pk), (meret.pk, 999)]
    assert [
        browser.get(f"/clients/{client}/letters/{which}/").status_code for client, which in paths
    ] == [404, 404, 404]


@pytest.fixture
def damaged(meret: Client) -> Clearance:
    row = clearance_with_letter(meret)
    assert row.document is not None
    files.path_of(row.document).write_bytes(b"age-encryption.org/v1\nnonsense")
    return row


def test_a_damaged_letter_is_said_to_be_so(
    browser: Browser, meret: Client, damaged: Clearance
) -> None:
    answer = browser.get(f"/clients/{meret.pk}/letters/{damaged.pk}/", follow=True)
    assert "The letter cannot be opened: its file is missing or damaged." in read(answer)


def test_a_mistake_is_withdrawn_with_a_reason_and_stays_crossed_off(
    browser: Browser, meret: Client
) -> None:
    row = clearance(meret, date(2026, 12, 1))
    page = f"/clients/{meret.pk}/clearance/{row.pk}/withdraw/"
    assert "go ahead, said on 1 December 2026" in read(browser.get(page))
    assert browser.post(page, {"reason": " "}).status_code == 422
    assert Clearance.objects.get().withdrawn_on is None
    answer = browser.post(page, {"reason": "another client’s letter"}, follow=True)
    assert "<s>Clearance: go ahead</s>" in answer.content.decode()
    text = read(answer)
    assert "withdrawn on 3 December 2026: another client’s letter" in text
    assert "Waiting" in text
    assert browser.post(page, {"reason": "again"}).context["form"].errors == {
        "reason": ["It is withdrawn already."]
    }
