"""What was wrong with a class that is out, whom it was sent to, and what a warning sign names."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.test import Client as Browser
from django.urls import reverse

from clients import actions as client_actions
from clients.models import Client
from clients.rules.happened import HIDDEN
from coach.practice.audit import SYSTEM
from content.actions import classes as actions
from content.actions.uploads import Refused
from content.models import ClassCorrection, FitnessClass, SentClass
from tests import factories
from tests.clients.pages import read

pytestmark = pytest.mark.django_db
TODAY = date(2026, 12, 3)


@pytest.fixture
def out(practice: Any) -> FitnessClass:
    return factories.fitness_class("On the side", state="published")


@pytest.fixture
def her(practice: Any) -> Client:
    return factories.client("Honora Finch")


def page_of(item: FitnessClass) -> str:
    return reverse("classes:detail", args=[item.pk])


def test_what_was_put_right_stands_with_its_reason_and_whom_to_tell(
    browser: Browser, out: FitnessClass, her: Client
) -> None:
    for _ in range(2):
        SentClass.objects.create(item=out, client=her, how="mail")
    sent = {"put_right": "The option is not shown.", "note": "Cut anew."}
    text = read(browser.post(reverse("classes:correct", args=[out.pk]), sent, follow=True))
    assert "Put right 1" in text
    assert "Corrected: The option is not shown. Cut anew." in text
    assert "Sent to 1" in text
    assert "tell them" in text
    assert text.count("Honora Finch") == 1


def test_withdrawing_what_is_out_is_kept_with_its_reason(
    browser: Browser, out: FitnessClass
) -> None:
    actions.withdraw(by=SYSTEM, item=out, reason="A wrong cue.")
    row = ClassCorrection.objects.get()
    assert (row.kind, row.reason) == ("withdrawn", "A wrong cue.")
    assert "Withdrawn: A wrong cue." in read(browser.get(page_of(out)))


def test_what_is_not_out_is_not_put_right(browser: Browser, practice: Any) -> None:
    idea = factories.fitness_class("Idea", state="outlined")
    with pytest.raises(Refused, match="only what is out"):
        actions.correct(by=SYSTEM, item=idea, put_right="x")
    assert "Put something right" not in read(browser.get(page_of(idea)))
    actions.withdraw(by=SYSTEM, item=idea, reason="Never filmed.")
    assert not ClassCorrection.objects.exists()


def test_without_a_word_nothing_is_noted_and_the_note_stays(
    browser: Browser, out: FitnessClass
) -> None:
    sent = {"put_right": "", "note": "Cut anew."}
    answer = browser.post(reverse("classes:correct", args=[out.pk]), sent)
    assert answer.status_code == 422
    assert "Say what was wrong" in read(answer)
    assert "Cut anew." in read(answer)
    assert not ClassCorrection.objects.exists()


def test_a_warning_sign_names_the_classes_she_has_each_once(
    browser: Browser, out: FitnessClass, her: Client
) -> None:
    for _ in range(2):
        SentClass.objects.create(item=out, client=her, how="mail")
    text = read(browser.get(sign_page(her)))
    assert "Classes she has 1" in text
    assert "On the side" in text
    assert "Tell her to leave them until a clinician has answered." in text


def test_without_classes_sent_the_sign_says_nothing_of_them(browser: Browser, her: Client) -> None:
    assert "Classes she has" not in read(browser.get(sign_page(her)))


def test_for_a_quiet_client_a_title_about_a_baby_is_not_written(
    browser: Browser, practice: Any
) -> None:
    her = factories.client("Nell Over", quiet=True)
    SentClass.objects.create(
        item=factories.fitness_class("Carry your baby", state="published"), client=her, how="mail"
    )
    text = read(browser.get(sign_page(her)))
    assert "Carry your baby" not in text
    assert HIDDEN in text


def test_whether_it_shows_a_baby_is_said_in_the_form(browser: Browser, out: FitnessClass) -> None:
    assert out.for_quiet == ""
    edit = reverse("classes:edit", args=[out.pk])
    form = browser.get(edit).context["form"]
    values = {**form.initial, "for_quiet": "yes"}
    sent = {key: "" if value is None else value for key, value in values.items()}
    browser.post(edit, sent)
    out.refresh_from_db()
    assert out.for_quiet == "yes"


def sign_page(her: Client) -> str:
    sign = client_actions.record_warning_sign(
        by=SYSTEM, client=her, code="chest", happened_on=TODAY, known_on=TODAY
    )
    return reverse("clients:sign", args=[her.pk, sign.pk])
