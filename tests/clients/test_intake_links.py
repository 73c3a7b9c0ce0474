"""The link: made once, mailed in neutral words, withdrawn, run out; what a stranger is told."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import Any

import pytest
from django.core import mail
from django.core.cache import cache
from django.core.signing import Signer
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from clients.actions import Refused
from clients.actions.intake import make_link, withdraw_link
from clients.models import Enquiry, EnquiryState, Intake
from clients.queries.intake import forms, token_of
from clients.views import intake_throttle
from coach import clock
from coach.practice.audit import SYSTEM
from coach.practice.models import Practice, User
from coach.practice.permissions import Role
from coach.practice.writing import change
from tests import factories
from tests.clients.intakes import at, begin, fill, keep, send
from tests.clients.pages import read
from tests.conftest import sign_in

MAKE = "/clients/forms/make/"


@pytest.fixture(autouse=True)
def _fresh_counts(db: None) -> None:
    cache.clear()


@pytest.fixture
def intake(practice: Practice) -> Intake:
    return make_link(by=SYSTEM, name="Aveline", email="aveline@example.org")


def enquiry(**values: Any) -> Enquiry:
    return Enquiry.objects.create(
        name="Sunniva Ashdown", email="sunniva@example.org", came_on=clock.now().date(), **values
    )


def test_it_is_open_for_fourteen_days_and_not_a_moment_longer(intake: Intake) -> None:
    assert intake.expires_at == clock.now() + timedelta(days=14)
    change(intake, expires_at=clock.now() + timedelta(seconds=1))
    assert Browser().get(at(intake)).status_code == 200
    change(intake, expires_at=clock.now())
    assert Browser().get(at(intake)).status_code == 404


def test_the_token_holds_the_forms_own_random_key_and_a_signature_and_nothing_else(
    intake: Intake,
) -> None:
    key, _, signature = token_of(intake).partition(".")
    assert (key, len(signature)) == (intake.uid.hex, 43)


def dead_links(intake: Intake) -> dict[str, str]:
    """Links that open nothing, for each reason."""
    token = token_of(intake)
    run_out, withdrawn, used = (make_link(by=SYSTEM, name=n) for n in ("a", "b", "c"))
    change(run_out, expires_at=clock.now())
    withdraw_link(by=SYSTEM, intake=withdrawn)
    send(fill(used), used)
    other_salt = Signer(salt="other", sep=".").sign(intake.uid.hex)
    return {
        "wrong": at(intake).replace(token, "0" * 32 + "." + "A" * 43),
        "no signature": at(intake).replace(token, intake.uid.hex),
        "cut short": at(intake).replace(token, token[:-1]),
        "signed for something else": at(intake).replace(token, other_salt),
        "run out": at(run_out),
        "withdrawn": at(withdrawn),
        "used": at(used),
    }


def test_every_link_that_opens_nothing_gives_the_same_page(intake: Intake) -> None:
    answers = {why: Browser().get(path) for why, path in dead_links(intake).items()}
    assert {answer.status_code for answer in answers.values()} == {404}
    # Every page carries a token against forged requests, which is another each time.
    bodies = {
        re.sub(r'"X-CSRFToken": "\w+"', "", answer.content.decode()) for answer in answers.values()
    }
    assert len(bodies) == 1
    assert "Aveline" not in bodies.pop()


def test_and_costs_the_same_queries(
    intake: Intake, django_assert_num_queries: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("clients.views.intake_public.too_many", lambda *_: False)
    for path in dead_links(intake).values():
        with django_assert_num_queries(2):  # the practice, and the form
            Browser().get(path)


@pytest.mark.parametrize("part", [(), ("you",), ("you", "keep"), ("send",)])
def test_a_dead_link_takes_nothing_either(intake: Intake, part: tuple[str, ...]) -> None:
    withdraw_link(by=SYSTEM, intake=intake)
    answer = Browser().post(at(intake, *part), {"name": "x", "key": "y", "age_from": "1994-05-02"})
    intake.refresh_from_db()
    assert (answer.status_code, intake.answers) == (404, {})


def test_nobody_keeps_a_copy_and_no_other_site_hears_of_it(intake: Intake) -> None:
    browser = begin(intake)
    for path in (at(intake), at(intake, "you"), "/form/wrong/"):
        answer = browser.get(path)
        assert answer["Cache-Control"] == "no-store"
        assert answer["Referrer-Policy"] == "same-origin"
        assert "default-src 'none'" in answer["Content-Security-Policy"]


def test_a_page_holds_nothing_of_the_practice_but_its_name(
    intake: Intake, practice: Practice
) -> None:
    change(practice, address="9 Hidden Lane", tax_number="IE1234567T")
    page = begin(intake).get(at(intake, "you")).content.decode()
    assert practice.name in page
    assert [
        word for word in ("Hidden", "IE1234567T", "/clients/", "sign out") if word in page
    ] == []


def test_too_many_from_one_address_wait(intake: Intake, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(intake_throttle, "MOST_BY_ADDRESS", 3)
    found = [Browser().get(f"/form/guess-{n}/").status_code for n in range(5)]
    assert found == [404, 404, 404, 429, 429]
    answer = Browser().get(at(intake))
    assert (answer.status_code, answer["Retry-After"]) == (429, "600")
    assert "Wait ten minutes" in read(answer)
    assert Browser(REMOTE_ADDR="192.0.2.7").get(at(intake)).status_code == 200


def test_too_many_with_one_link_wait_from_wherever_they_come(
    intake: Intake, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(intake_throttle, "MOST_BY_LINK", 2)
    found = [Browser(REMOTE_ADDR=f"192.0.2.{n}").get(at(intake)).status_code for n in range(4)]
    assert found == [200, 200, 429, 429]


def test_one_tap_on_a_client_makes_her_form_and_a_second_finds_it_again(browser: Browser) -> None:
    client = factories.client("Meret A.", email="meret@example.org")
    pages = [browser.post(MAKE, {"client": client.pk})["Location"] for _ in range(2)]
    assert Intake.objects.count() == 1
    assert len(set(pages)) == 1
    assert Intake.objects.get().email == "meret@example.org"


def test_from_an_enquiry_it_is_invited(browser: Browser) -> None:
    asked = enquiry()
    browser.post(reverse("clients:send_form", args=[asked.pk]))
    asked.refresh_from_db()
    made = Intake.objects.get()
    assert (made.enquiry, made.name, asked.state) == (asked, asked.name, EnquiryState.INVITED)


def test_an_enquiry_that_is_a_client_gets_the_clients_form(practice: Practice) -> None:
    client = factories.client()
    made = make_link(by=SYSTEM, enquiry=enquiry(client=client))
    assert made.client == client


def test_somebody_new_needs_a_name(browser: Browser) -> None:
    answer = browser.post("/clients/forms/", {"name": " "})
    assert (answer.status_code, Intake.objects.count()) == (422, 0)
    with pytest.raises(Refused):
        make_link(by=SYSTEM)


def test_it_is_mailed_in_words_that_tell_nothing(browser: Browser, intake: Intake) -> None:
    browser.post(f"/clients/forms/{intake.pk}/mail/", {"email": "aveline@example.org"})
    (message,) = mail.outbox
    assert message.to == ["aveline@example.org"]
    assert at(intake) in message.body
    assert "17 December" in message.body
    words = f"{message.subject} {message.body}".replace(at(intake), "").casefold()
    assert [w for w in ("pregnan", "birth", "health", "baby", "due date") if w in words] == []


def test_mail_that_cannot_be_sent_is_said_and_not_noted(
    browser: Browser, intake: Intake, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: Any, **__: Any) -> None:
        raise OSError("no route")

    monkeypatch.setattr("clients.actions.intake.send_mail", fail)
    answer = browser.post(f"/clients/forms/{intake.pk}/mail/", {"email": "aveline@example.org"})
    intake.refresh_from_db()
    assert (answer.status_code, intake.mailed_at) == (422, None)
    assert "could not be sent" in read(answer)


def test_its_page_shows_the_address_while_it_is_open(browser: Browser, intake: Intake) -> None:
    page = f"/clients/forms/{intake.pk}/"
    assert at(intake) in browser.get(page).content.decode()
    browser.post(f"{page}withdraw/")
    answer = browser.get(page)
    assert at(intake) not in answer.content.decode()
    assert "withdrawn" in read(answer)


def test_its_state_is_told_as_it_goes_on(intake: Intake) -> None:
    def state() -> str:
        return str(forms(clock.now())[0].state)

    found = [state()]
    change(intake, mailed_at=clock.now())
    found.append(state())
    browser = Browser()
    browser.get(at(intake))
    found.append(state())
    begin(intake, browser=browser)
    found.append(state())
    fill(intake)
    send(browser, intake)
    found.append(state())
    assert found == ["made", "mailed", "opened", "started", "sent"]


def test_the_list_costs_the_same_with_one_form_and_with_thirty(browser: Browser) -> None:
    counts = []
    for wanted in (1, 30):
        while Intake.objects.count() < wanted:
            made = make_link(by=SYSTEM, client=factories.client())
            change(made, sent_at=clock.now())
        with CaptureQueriesContext(connection) as found:
            assert browser.get("/clients/forms/").status_code == 200
        counts.append(len(found))
    assert counts[0] == counts[1]


@pytest.mark.parametrize("role", [Role.COVERING_COACH, Role.BOOKKEEPER])
def test_only_who_may_change_contact_makes_links(
    people: dict[str, User], intake: Intake, role: Role
) -> None:
    browser = sign_in(people[role])
    paths = [MAKE, f"/clients/forms/{intake.pk}/withdraw/", f"/clients/forms/{intake.pk}/mail/"]
    assert [browser.post(path).status_code for path in paths] == [403, 403, 403]
    assert browser.get("/clients/forms/").status_code == 403


def test_an_assistant_sends_links_and_sees_no_answer(
    people: dict[str, User], intake: Intake
) -> None:
    browser = fill(intake)
    keep(browser, intake, "signs", {"blood": "yes"})
    send(browser, intake)
    helper = sign_in(people[Role.ASSISTANT])
    pages = [helper.get(p) for p in ("/clients/forms/", f"/clients/forms/{intake.pk}/")]
    assert [page.status_code for page in pages] == [200, 200]
    for page in pages:
        assert "stops her" not in page.content.decode()
    for part in ("review", "letter"):
        assert helper.get(f"/clients/forms/{intake.pk}/{part}/").status_code == 403
    assert reverse("clients:intake_review", args=[intake.pk]) not in pages[0].content.decode()
