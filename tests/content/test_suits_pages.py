"""Whom classes suit, on pages: by stage, for one client; and handing them out."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.core import mail
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from clients import actions
from clients.models import Client, Consent
from clients.rules.words import NEVER_IF_QUIET
from coach import clock
from coach.practice.audit import SYSTEM
from content.actions.design import change_design
from content.models import FitnessClass, SentClass
from content.rules.design import Block, Design, Item, Pattern
from tests import factories
from tests.clients.everywhere import main_of
from tests.clients.pages import read
from tests.factories_clearance import assessment, clearance, screening

TODAY = date(2026, 12, 3)
NO = {code: "no" for code in ("doming", "leaking", "heaviness", "pain", "urgency", "girdle")}


def a_class(title: str, *items: Item, state: str = "published", **values: Any) -> FitnessClass:
    made = factories.fitness_class(title, state=state, **values)
    design = Design((Block(patterns=(Pattern(items),)),))
    change_design(by=SYSTEM, item=made, step=lambda _: design, what="x")
    return made


@pytest.fixture
def classes(practice: Any) -> dict[str, FitnessClass]:
    return {
        "side": a_class("On the side", Item("clam"), Item("side-lying-leg-lift")),
        "back": a_class("On the back", Item("bridge")),
        "option": a_class("With its option", Item("bridge", shows=("side-lying-leg-lift",))),
        "idea": a_class("Not out yet", Item("clam"), state="edited"),
    }


@pytest.fixture
def honora(practice: Any) -> Client:
    """28 weeks, cleared, everything asked a week ago."""
    client = factories.client("Honora Finch", email="honora@example.org")
    factories.pregnancy(client, due=date(2027, 2, 21))
    screening(client, date(2026, 11, 20))
    clearance(client, date(2026, 11, 20))
    assessment(client, date(2026, 11, 26), **NO)
    return client


def hers(client: Client) -> str:
    return reverse("classes:for_client", args=[client.pk])


def test_the_table_has_every_designed_class_at_every_stage(
    browser: Browser, classes: dict[str, FitnessClass]
) -> None:
    factories.fitness_class("Never designed", state="outlined")
    text = read(browser.get(reverse("classes:table")))
    assert "On the back fits not not not fits fits fits fits" in text
    assert "Never designed" not in text
    assert "the person is checked" in text


def test_the_table_may_suppose_a_finding_beside_the_stage(
    browser: Browser, classes: dict[str, FitnessClass]
) -> None:
    a_class("Squats", Item("squat"))
    assert "leave out" not in read(browser.get(reverse("classes:table")))
    answer = browser.get(reverse("classes:table"), {"with": "heaviness"})
    assert "As it is for somebody with heaviness" in read(answer)
    cells = {item.title: [word for _, word in row] for item, row in answer.context["rows"]}
    assert (cells["Squats"][-1], cells["On the side"][-1]) == ("not", "fits")
    odd = browser.get(reverse("classes:table"), {"with": "<x>"})
    assert (odd.status_code, odd.context["supposed"]) == (200, "")


def test_one_class_says_what_stands_in_the_way_with_its_source(
    browser: Browser, classes: dict[str, FitnessClass]
) -> None:
    text = read(browser.get(reverse("classes:suits", args=[classes["back"].pk])))
    assert "Lying flat from 20 weeks on (ACOG CO 804 (2020)" in text
    assert "or side-lying leg lift, which is not shown in it" in text


def test_a_stage_has_what_it_does_not_exclude(
    browser: Browser, classes: dict[str, FitnessClass]
) -> None:
    text = read(browser.get(reverse("classes:for_stage", args=["t3"])))
    assert [title in text for title in ("On the side", "On the back", "With its option")] == [
        True, False, True,
    ]  # fmt: skip
    assert browser.get(reverse("classes:for_stage", args=["t9"])).status_code == 404


def test_a_client_is_offered_what_has_nothing_against_it_and_told_why_not_the_rest(
    browser: Browser, classes: dict[str, FitnessClass], honora: Client
) -> None:
    text = read(browser.get(hers(honora)))
    assert "Nothing against it in what is recorded 1 On the side" in text
    assert "With the easier option shown in it 1 With its option" in text
    assert (
        "Left out for her 1 On the back a version for her Bridge: Lying flat from 20 weeks on"
        in text
    )
    assert "Not out yet" not in text


def test_who_is_not_cleared_is_offered_none_and_sent_none(
    browser: Browser, classes: dict[str, FitnessClass], honora: Client
) -> None:
    actions.record_warning_sign(by=SYSTEM, client=honora, code="dizzy", happened_on=TODAY)
    text = read(browser.get(hers(honora)))
    assert "no class is offered until that is mended" in text
    assert "On the side" not in text
    answer = browser.post(f"{hers(honora)}send/", {"classes": classes["side"].pk, "how": "copied"})
    assert (answer.status_code, SentClass.objects.count()) == (422, 0)


def test_no_assessment_on_file_is_not_known_never_nothing_against_it(
    browser: Browser, practice: Any
) -> None:
    her = factories.client("Meret Solberg")
    factories.pregnancy(her, ended=date(2025, 5, 20), ending="birth", birth_mode="vaginal")
    screening(her, date(2026, 11, 20), phase="after")
    a_class("Squats", Item("squat"))
    text = read(browser.get(hers(her)))
    assert "Nothing against it in what is recorded 0" in text
    assert "Not known: heaviness was never asked" in text


def test_sent_by_mail_only_with_her_consent_and_noted(
    browser: Browser, classes: dict[str, FitnessClass], honora: Client
) -> None:
    sent = {"classes": classes["side"].pk, "how": "mail"}
    answer = browser.post(f"{hers(honora)}send/", sent)
    assert "She has not agreed to e-mail" in read(answer)
    Consent.objects.create(client=honora, purpose="email", version="1", given_at=clock.now())
    browser.post(f"{hers(honora)}send/", sent)
    (one,) = mail.outbox
    assert (one.to, "· On the side" in one.body) == (["honora@example.org"], True)
    row = SentClass.objects.get()
    assert (row.item, row.client, row.how) == (classes["side"], honora, "mail")
    assert "· sent" in read(browser.get(hers(honora)))


def test_what_is_not_offered_is_not_sent(
    browser: Browser, classes: dict[str, FitnessClass], honora: Client
) -> None:
    for chosen in ([], [classes["back"].pk], [classes["idea"].pk], ["x"]):
        answer = browser.post(f"{hers(honora)}send/", {"classes": chosen, "how": "copied"})
        assert answer.status_code == 422
    assert SentClass.objects.count() == 0


def test_a_quiet_client_is_offered_only_what_is_said_to_be_right_for_her(
    browser: Browser, practice: Any
) -> None:
    her = factories.client("Honora Finch", quiet=True)
    factories.pregnancy(her, ended=date(2025, 6, 1), ending="loss")
    screening(her, date(2026, 11, 20), phase="after")
    assessment(her, date(2026, 11, 26), **NO)
    a_class("Breathing room", Item("seated-rib-breath"), for_quiet="yes")
    a_class("Room for the bump", Item("seated-rib-breath"), for_quiet="no")
    a_class("Not told", Item("seated-rib-breath"))
    a_class("Bump and breath", Item("seated-rib-breath"), for_quiet="yes")
    source = browser.get(hers(her)).content.decode()
    assert ("Breathing room" in source, "Room for the bump" in source, "Not told" in source) == (
        True, False, False,
    )  # fmt: skip
    assert [word for word in NEVER_IF_QUIET if word in main_of(source).casefold()] == []


def test_a_caesarean_then_an_early_loss_and_a_letter_silent_on_the_scar(
    browser: Browser, practice: Any
) -> None:
    """No jumping by the scar (HSE: high effort waits 3 to 4 months), no titles about a baby."""
    her = factories.client("Honora Finch", quiet=True)
    factories.pregnancy(her, ended=date(2026, 8, 27), ending="birth", birth_mode="caesarean")
    factories.pregnancy(her, ended=date(2026, 11, 12), ending="loss", surgical="no")
    screening(her, date(2026, 11, 20), phase="after")
    clearance(her, date(2026, 11, 20), examined="yes", names_more=True)
    assessment(her, date(2026, 11, 26), **NO)
    a_class("Breathing room", Item("seated-rib-breath"), for_quiet="yes")
    a_class("Jump about", Item("jumping-jack"), for_quiet="yes")
    a_class("Carrying baby", Item("seated-rib-breath"), for_quiet="yes")
    answer = browser.get(hers(her))
    found = answer.context["found"]
    assert found.not_cleared == ""
    assert [one.item.title for one in found.offered] == ["Breathing room"]
    assert [one.item.title for one in found.others] == ["Jump about"]
    told = read(answer)
    assert "Jumping jack" in told
    assert "jumping or heavy weights in the first 18 weeks after an operation" in told
    assert "baby" not in main_of(answer.content.decode()).casefold()


def test_only_who_sees_health_sees_what_suits_her(
    people: Any, signed_in: Any, honora: Client
) -> None:
    got = [signed_in(person).get(hers(honora)).status_code for person in people.values()]
    assert got == [200, 403, 403, 403, 302, 302]


def test_as_many_queries_for_thirty_classes_as_for_one(browser: Browser, honora: Client) -> None:
    def count(address: str) -> int:
        with CaptureQueriesContext(connection) as caught:
            assert browser.get(address).status_code == 200
        return len(caught)

    pages = [hers(honora), reverse("classes:table"), reverse("classes:for_stage", args=["t3"])]
    a_class("First", Item("clam"))
    first = [count(one) for one in pages]
    for n in range(30):
        a_class(f"Class {n}", Item("clam"), Item("bridge"))
    assert [count(one) for one in pages] == first
