"""What a clearance names on its page: conditions, earlier letters, more than gentle work."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client as Browser

from clients import actions, queries
from clients.models import Clearance, Client, Intake
from coach import clock
from coach.practice import files
from coach.practice.audit import SYSTEM
from coach.scheduling.values import Limits
from tests import factories
from tests.clients.answering import screen
from tests.clients.pages import PDF, read, too_much
from tests.factories_clearance import clearance, screening

SENT = {
    "word": "go-ahead",
    "said_on": "2026-12-03",
    "clinician_kind": "midwife",
    "clinician": "Maeve Lorne",
    "known_by": "letter",
    "examined": "yes",
    "until_kind": "open",
}
LATER = date(2026, 12, 2)


@pytest.fixture
def meret(practice: Any) -> Client:
    client = factories.client("Meret A.")
    factories.pregnancy(client, due=date(2027, 2, 21), dated_by="scan", known_on=date(2026, 9, 1))
    return client


def page(client: Client) -> str:
    return f"/clients/{client.pk}/clearance/add/"


def send(browser: Browser, client: Client, query: str = "", **changed: Any) -> Any:
    return browser.post(page(client) + query, {**SENT, **changed}, follow=True)


def word(client: Client) -> str:
    return str(queries.go_ahead_now(client).word)


def offered(browser: Browser, client: Client, name: str) -> dict[str, str]:
    fields = browser.get(page(client)).context["form"].fields
    return dict(fields[name].choices) if name in fields else {}


def test_what_waits_is_answered_only_when_it_is_ticked(browser: Browser, meret: Client) -> None:
    screen(meret, LATER, anaemia="yes", heart="unsure")
    wanted = offered(browser, meret, "answers_conditions")
    assert len(wanted) == 2
    first, second = wanted
    send(browser, meret, answers_conditions=[first])
    assert list(offered(browser, meret, "answers_conditions")) == [second]
    assert word(meret) == "waiting"
    send(browser, meret, answers_conditions=[second])
    assert offered(browser, meret, "answers_conditions") == {}
    assert word(meret) == "yes"


def test_the_number_expected_is_answered_by_name(browser: Browser, practice: Any) -> None:
    """Twins hold from 28w0d by the older ACOG/ACSM and the 2019 Canadian lists."""
    client = factories.client()
    factories.pregnancy(client, due=date(2027, 2, 21), expected=2, known_on=date(2026, 9, 1))
    screening(client, LATER)
    (key,) = offered(browser, client, "answers_conditions")
    assert word(client) == "waiting"
    send(browser, client, answers_conditions=[key])
    assert Clearance.objects.get().answers_conditions == [key]
    assert word(client) == "yes"


NAMING = [
    ({"known_by": "client"}, "Only a clinician’s own go-ahead answers this."),
    ({"word": "against"}, "Only a clinician’s own go-ahead answers this."),
    ({"said_on": "2026-12-01"}, "It was said before that was named, so it cannot answer it."),
]


@pytest.mark.parametrize(("changed", "sentence"), NAMING)
def test_what_cannot_answer_is_refused_beside_the_field_and_stays_ticked(
    browser: Browser, meret: Client, changed: dict[str, str], sentence: str
) -> None:
    screen(meret, LATER, heart="yes")
    (key,) = offered(browser, meret, "answers_conditions")
    answer = send(browser, meret, answers_conditions=[key], **changed)
    assert answer.status_code == 422
    assert dict(answer.context["form"].errors) == {"answers_conditions": [sentence]}
    assert answer.context["form"]["answers_conditions"].value() == [key]
    assert (Clearance.objects.count(), word(meret)) == (0, "on hold")


def test_another_s_condition_cannot_be_ticked(browser: Browser, meret: Client) -> None:
    screen(meret, LATER, heart="yes")
    other = factories.client()
    screen(other, LATER, heart="yes")
    (key,) = offered(browser, other, "answers_conditions")
    answer = send(browser, meret, answers_conditions=[key])
    assert list(answer.context["form"].errors) == ["answers_conditions"]


# Limits add up until one letter takes the place of another


def limited(client: Client) -> Clearance:
    return clearance(client, date(2026, 11, 20), word="limits", limits=Limits(no_impact=True))


def test_limits_add_up_until_one_takes_the_place_of_another(
    browser: Browser, meret: Client
) -> None:
    screening(meret, LATER)
    first = limited(meret)
    send(browser, meret, word="limits", effort_at_most="6")
    assert word(meret) == "yes, with limits"
    assert "No impact; effort up to 6 of 10" in read(browser.get(f"/clients/{meret.pk}/"))
    assert list(offered(browser, meret, "replaces")) == [
        str(row.pk) for row in Clearance.objects.order_by("-pk")
    ]
    second = Clearance.objects.latest("pk")
    send(browser, meret, replaces=[str(first.pk), str(second.pk)])
    assert Clearance.objects.latest("pk").replaces == [first.pk, second.pk]
    assert word(meret) == "yes"


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"known_by": "client"},
         "Only what comes from a clinician takes the place of another."),
        ({"said_on": "2026-11-19"},
         "It was said before that one, so it cannot take its place."),
    ],
)  # fmt: skip
def test_what_cannot_replace_is_refused(
    browser: Browser, meret: Client, changed: dict[str, str], sentence: str
) -> None:
    first = limited(meret)
    answer = send(browser, meret, replaces=[str(first.pk)], **changed)
    assert dict(answer.context["form"].errors) == {"replaces": [sentence]}
    assert Clearance.objects.get() == first


def test_what_was_withdrawn_is_not_offered(browser: Browser, meret: Client) -> None:
    first = limited(meret)
    actions.withdraw_clearance(by=SYSTEM, clearance=first, reason="another client’s")
    assert offered(browser, meret, "replaces") == {}


# More than gentle recovery in the first weeks


@pytest.mark.parametrize(
    ("sent", "limits"), [({}, "Gentle recovery work only"), ({"names_more": "on"}, "")]
)
def test_more_than_gentle_is_named_by_a_tick(
    browser: Browser, practice: Any, sent: dict[str, str], limits: str
) -> None:
    client = factories.client()
    factories.pregnancy(client, due=date(2026, 11, 8), ended=date(2026, 11, 5), ending="birth",
                        birth_mode="vaginal", known_on=date(2026, 9, 1))  # fmt: skip
    screening(client, LATER, phase="after")
    answer = send(browser, client, **sent)
    assert Clearance.objects.get().names_more is bool(sent)
    assert answer.context["standing"].limits == limits


def test_it_is_not_asked_while_weeks_run(browser: Browser, meret: Client) -> None:
    assert "names_more" not in browser.get(page(meret)).context["form"].fields
    send(browser, meret, names_more="on")
    assert Clearance.objects.get().names_more is False


# Where it comes from, and how long it counts


def test_a_letter_from_another_coach_is_marked_so(browser: Browser, meret: Client) -> None:
    text = read(send(browser, meret, origin="Ottilie Brandt"))
    assert Clearance.objects.get().origin == "Ottilie Brandt"
    assert "From another coach: Ottilie Brandt" in text


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({}, "no end was named: it counts 12 weeks"),
        ({"letter_counts_weeks": 8}, "no end was named: it counts 8 weeks"),
        ({"off": ["policy-end"]}, "no end was named"),
    ],
)
def test_how_long_it_counts_is_as_the_practice_has_it(
    browser: Browser, meret: Client, values: dict[str, Any], words: str
) -> None:
    if values:
        actions.change_policy(by=SYSTEM, values=values, reason="as agreed")
    assert offered(browser, meret, "until_kind")["open"] == words


# The letter that came with a form


@pytest.fixture
def came(meret: Client) -> Intake:
    """A form of hers that was taken over, with a letter."""
    with files.atomic():
        kept = files.store(name="from her form.pdf", content=PDF, content_type="application/pdf")
    return Intake.objects.create(
        client=meret, expires_at=clock.now(), reviewed_at=clock.now(), document=kept
    )


def test_the_letter_that_came_with_a_form_is_kept_with_the_clearance(
    browser: Browser, meret: Client, came: Intake
) -> None:
    query = f"?form={came.pk}"
    text = read(browser.get(page(meret) + query))
    assert "The letter came with her form: from her form.pdf." in text
    send(browser, meret, query)
    document = Clearance.objects.get().document
    assert document
    assert (document.name, files.read(document)) == ("from her form.pdf", PDF)


def test_another_letter_chosen_takes_its_place(
    browser: Browser, meret: Client, came: Intake
) -> None:
    other = SimpleUploadedFile("signed.pdf", PDF, "application/pdf")
    send(browser, meret, f"?form={came.pk}", document=other)
    document = Clearance.objects.get().document
    assert document
    assert document.name == "signed.pdf"


@pytest.mark.parametrize("form", ["x", "-1", "²", "999", "9" * 40])
def test_a_form_that_there_is_not_brings_no_letter(
    browser: Browser, meret: Client, form: str
) -> None:
    answer = browser.get(page(meret), {"form": form})
    assert (answer.status_code, answer.context["came"]) == (200, None)


def test_another_s_form_brings_no_letter(browser: Browser, meret: Client, came: Intake) -> None:
    other = factories.client()
    assert browser.get(f"{page(other)}?form={came.pk}").context["came"] is None


def test_a_quiet_client_s_page_names_weeks(browser: Browser, meret: Client) -> None:
    screen(meret, LATER, heart="yes", blood="yes", growth="yes")
    limited(meret)
    Client.objects.update(quiet=True)
    meret.refresh_from_db()
    assert too_much(browser.get(page(meret))) == []
    assert too_much(send(browser, meret, word="")) == []
