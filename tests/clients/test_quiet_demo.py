"""The quiet client of the demo: every page, paper, mail, feed and command that tells of her.

The list of words is ours (clients/rules/words.py); none of them may reach her or a helper's eye.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable
from datetime import date
from typing import Any

import pytest
from django.core import mail
from django.test import Client as Browser
from django.urls import reverse

from clients.actions import name_condition, record_warning_sign
from clients.actions.intake import keep_age, make_link
from clients.models import Client, Intake
from clients.queries.intake import token_of
from clients.rules.words import NEVER_IF_QUIET
from coach.billing.models import Invoice
from coach.feeds.actions import give_address
from coach.feeds.models import Kind
from coach.practice.audit import SYSTEM
from coach.practice.models import User
from coach.practice.permissions import Role
from content.rules.months import Month
from tests.clients.everywhere import lines_about, main_of, pdf_text, printed, walk
from tests.clients.letters import letter as letter_out
from tests.conftest import sign_in

pytestmark = pytest.mark.endurance

TODAY = date(2026, 12, 3)
NAME, INITIALS = "Clodagh Rainsford", "C.R."


@pytest.fixture
def her(demo: None) -> Client:
    """With a sign, a condition and a letter out beside what the demo has of her."""
    client = Client.objects.get(name=NAME)
    assert client.quiet
    record_warning_sign(by=SYSTEM, client=client, code="dizzy", happened_on=TODAY)
    name_condition(
        by=SYSTEM, client=client, code="anaemia", named_on=TODAY, clinician="Dr Lorcan Haye"
    )
    letter_out(client)
    return client


@pytest.fixture
def form(her: Client) -> Intake:
    made = make_link(by=SYSTEM, client=her)
    keep_age(by=SYSTEM, intake=made, born=date(1991, 5, 2))
    return made


def hers(client: Client, form: Intake, invoice: Invoice) -> defaultdict[str, Any]:
    """Values for every address that is about her; the others are left out."""
    note, sign = client.entries.get(), client.signs.get()
    letter, out = client.clearances.get(), client.letters_out.get()
    by_name = {
        "withdraw_clearance": letter, "sign": sign, "follow_up": sign, "withdraw_sign": sign,
        "change_note": note, "add_to_note": note, "end_condition": client.conditions.get(),
        "letter_sent": out, "letter_chased": out, "letter_answered": out,
        "edit_pregnancy": client.pregnancies.get(),
    }  # fmt: skip
    return defaultdict(
        lambda: None,
        {
            **{f"clients:{name}:which": row.pk for name, row in by_name.items()},
            "clients:pk": client.pk,
            "diary:pk": client.pk,
            "accounts:pk": client.pk,
            "accounts:edit_package:pk": None,
            "accounts:reverse:pk": None,
            "accounts:invoice:uid": invoice.uid,
            "clients:form": form.pk,
            "clients:intake_document:form": None,
            "form:token": token_of(form),
            "form:step": "signs",
            "uploads:month": Month(2027, 1),
            "uploads:code": "sound-checked",
            "uploads:number": None,
            "uploads:away_back:pk": None,
        },
    )


def found_in(texts: Iterable[str]) -> list[str]:
    """The words of the list that stand in texts."""
    said = " ".join(texts).casefold()
    return [word for word in NEVER_IF_QUIET if word in said]


def test_no_page_about_her_says_it_to_anybody(her: Client, form: Intake) -> None:
    invoice = Invoice.objects.filter(client=her, number__isnull=False).latest("pk")
    own = (f"/clients/{her.pk}/", "/form/", f"/clients/forms/{form.pk}/")
    wrong = {}
    for role in Role:
        pages = walk(sign_in(User.objects.get(role=role)), hers(her, form, invoice))
        assert f"/clients/{her.pk}/" in pages
        for address, page in pages.items():
            texts = [main_of(page)] if address.startswith(own) else lines_about(page, NAME)
            if words := found_in(texts):
                wrong[role, address] = words
    assert wrong == {}


@pytest.mark.poppler
def test_no_paper_says_it(her: Client, form: Intake) -> None:
    browser = sign_in(User.objects.get(role=Role.OWNER))
    invoice = Invoice.objects.filter(client=her, number__isnull=False).latest("pk")
    papers = [
        reverse("clients:letter_out", args=[her.pk, her.letters_out.get().pk]),
        reverse("accounts:pdf", args=[invoice.uid]),
    ]
    answers = [browser.get(address) for address in papers]
    assert [answer["Content-Type"] for answer in answers] == ["application/pdf"] * 2
    texts = [pdf_text(b"".join(answer)) for answer in answers]
    assert [NAME in text for text in texts] == [True, True]
    assert found_in(texts) == []


def test_no_mail_no_feed_and_no_command_says_it(her: Client, form: Intake) -> None:
    owner = User.objects.get(role=Role.OWNER)
    sign_in(owner).post(reverse("clients:intake_mail", args=[form.pk]), {"email": her.email})
    assert [one.to for one in mail.outbox] == [[her.email]]
    texts = [f"{one.subject} {one.body}" for one in mail.outbox]
    for kind in Kind:
        token = give_address(by=SYSTEM, person=owner, kind=kind)
        text = b"".join(Browser().get(f"/feeds/{token}.ics")).decode()
        texts += [one for one in text.split("BEGIN:VEVENT") if INITIALS in one or NAME in one]
    rows = json.loads(printed("may_train", "--json"))
    about = [json.dumps(row) for row in rows if row["client"]["name"] == NAME]
    assert len(about) == 1
    due = [line for line in printed("due").splitlines() if NAME in line]
    assert found_in([*texts, *about, *due]) == []
