"""The form by link as its client meets it: screens, keeping, coming back, sending once."""

from __future__ import annotations

import re

import pytest
from django.test import Client as Browser

from clients.actions.intake import make_link
from clients.models import Client, Intake
from clients.rules.intake import Step, steps_for
from clients.rules.words import NEVER_IF_QUIET
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry, Practice
from tests import factories
from tests.clients.everywhere import main_of
from tests.clients.intakes import (
    CARRYING,
    PLACE,
    YOU,
    all_no,
    answers,
    at,
    begin,
    fill,
    keep,
    send,
)
from tests.clients.pages import read


@pytest.fixture
def intake(practice: Practice) -> Intake:
    """A form for somebody new."""
    return make_link(by=SYSTEM, name="Aveline", email="aveline@example.org")


def typed(intake: Intake, step: str) -> dict[str, str]:
    intake.refresh_from_db()
    found: dict[str, str] = intake.answers["steps"][step]
    return found


def test_it_asks_first_how_old_she_is_and_then_leads_on(intake: Intake) -> None:
    browser = Browser()
    assert "Before you begin" in read(browser.get(at(intake)))
    assert browser.get(at(intake, "you"))["Location"] == at(intake)
    begin(intake, browser=browser)
    assert browser.get(at(intake))["Location"] == at(intake, "you")


@pytest.mark.parametrize("day", ["", "2027-01-01", "2026-12-03", "1900-01-01", "31/02/1994"])
def test_a_day_that_cannot_be_is_said_and_nothing_is_kept(intake: Intake, day: str) -> None:
    answer = Browser().post(at(intake), {"age_from": day})
    intake.refresh_from_db()
    assert (answer.status_code, intake.answers) == (422, {})


def test_a_screen_for_each_step_in_their_order(intake: Intake) -> None:
    browser, seen = begin(intake), []
    for step, values in answers().items():
        seen.append(step)
        answer = browser.post(at(intake, step), {**values, "go": "next"})
        assert answer.status_code == 302, (step, read(answer))
    assert seen == [str(step) for step in Step if step != Step.LETTER]
    assert answer["Location"] == at(intake, "letter")
    assert browser.post(at(intake, "letter"), {"go": "next"})["Location"] == at(intake, "send")


def test_whoever_is_not_carrying_is_not_asked_for_dates(intake: Intake) -> None:
    browser = begin(intake)
    answer = browser.post(at(intake, "now"), {"situation": "delivered", "go": "next"})
    assert answer["Location"] == at(intake, "before")
    assert browser.get(at(intake, "dates"))["Location"] == at(intake)


def test_every_change_is_kept_half_done_or_wrong(intake: Intake) -> None:
    browser = begin(intake)
    assert "Kept" in read(keep(browser, intake, "you", {"name": "Av", "email": "aveline@"}))
    assert typed(intake, "you") == {"name": "Av", "email": "aveline@"}
    page = browser.get(at(intake, "you")).content.decode()
    assert 'value="aveline@"' in page
    assert "aria-invalid" not in page


def test_next_says_what_is_wrong_beside_the_field_and_keeps_what_was_typed(
    intake: Intake,
) -> None:
    browser = begin(intake)
    answer = browser.post(at(intake, "you"), {**YOU, "email": "aveline@", "go": "next"})
    assert answer.status_code == 422
    assert "Write an address like una@example.org." in read(answer)
    assert typed(intake, "you")["phone"] == YOU["phone"]


def test_back_keeps_what_is_there_unjudged(intake: Intake) -> None:
    browser = begin(intake)
    answer = browser.post(at(intake, "place"), {"emergency_number": "one one two", "go": "back"})
    assert answer["Location"] == at(intake, "you")
    assert typed(intake, "place") == {"emergency_number": "one one two"}


def test_the_same_link_goes_on_where_she_was_on_another_device(intake: Intake) -> None:
    browser = begin(intake)
    browser.post(at(intake, "you"), {**YOU, "go": "next"})
    keep(browser, intake, "place", {"trains_at": "Flat 3"})
    other = Browser()
    assert other.get(at(intake))["Location"] == at(intake, "place")
    assert "Flat 3" in other.get(at(intake, "place")).content.decode()


def test_without_the_script_keeping_leads_back_to_the_screen(intake: Intake) -> None:
    browser = begin(intake)
    answer = browser.post(at(intake, "place", "keep"), PLACE)
    assert answer["Location"] == at(intake, "place")
    assert typed(intake, "place") == PLACE


def test_what_is_no_field_of_the_screen_is_not_kept(intake: Intake) -> None:
    browser = begin(intake)
    keep(browser, intake, "you", {"name": "Aveline", "is_admin": "1", "born": "1990-01-01"})
    assert typed(intake, "you") == {"name": "Aveline"}
    keep(browser, intake, "place", {"trains_at": "x" * 9000})
    assert len(typed(intake, "place")["trains_at"]) == 4000


def test_no_answer_of_a_symptom_is_chosen_beforehand(intake: Intake) -> None:
    browser = begin(intake)
    browser.post(at(intake, "now"), {**CARRYING, "go": "next"})
    for step in ("now", "signs", "health", "consent"):
        page = browser.get(at(intake, step)).content.decode()
        assert ("checked" in page) == (step == "now")


def test_open_questions_are_pointed_out_once_and_may_stay_open(intake: Intake) -> None:
    browser = begin(intake)
    browser.post(at(intake, "now"), {**CARRYING, "go": "next"})
    some = dict(list(all_no("signs").items())[1:])
    answer = browser.post(at(intake, "signs"), {**some, "go": "next"})
    assert answer.status_code == 422
    assert "Go on with open questions" in read(answer)
    answer = browser.post(at(intake, "signs"), {**some, "go": "open"})
    assert answer["Location"] == at(intake, "health")


def test_births_are_told_in_blocks_and_nothing_is_pressed_for(intake: Intake) -> None:
    browser = begin(intake)
    browser.post(at(intake, "now"), {"situation": "delivered", "go": "next"})
    first = {"e0-ended": "2026-08-01", "e0-mode": "caesarean", "e0-tear": "tell", "blocks": "1"}
    answer = browser.post(at(intake, "before"), {**first, "go": "more"})
    assert answer["Location"] == at(intake, "before")
    assert 'name="e1-kind"' in browser.get(at(intake, "before")).content.decode()
    second = {"e1-kind": "tell", "blocks": "2"}
    answer = browser.post(at(intake, "before"), {**first, **second, "go": "next"})
    assert answer["Location"] == at(intake, "signs")


def test_a_day_ahead_is_no_end(intake: Intake) -> None:
    browser = begin(intake)
    browser.post(at(intake, "now"), {"situation": "delivered", "go": "next"})
    answer = browser.post(at(intake, "before"), {"e0-ended": "2027-08-01", "go": "next"})
    assert answer.status_code == 422
    assert "That day has not come yet." in read(answer)


def test_the_day_of_forty_weeks_is_counted_from_the_period_where_only_that_is_known(
    intake: Intake,
) -> None:
    """280 days: ACOG Committee Opinion 700 (2017)."""
    form = answers(dates={"day": "", "dated_by": "", "period_day": "2026-07-06"})
    send(fill(intake, form), intake)
    assert intake.answers["told"]["dates"]["day"] == "2027-04-12"
    assert intake.answers["told"]["dates"]["dated_by"] == "last-period"


def test_sent_it_is_received_and_shows_no_answer_any_more(intake: Intake) -> None:
    browser = fill(intake)
    answer = send(browser, intake)
    assert (answer.status_code, intake.sent_at is not None) == (200, True)
    assert "Received" in read(answer)
    assert YOU["name"] not in read(answer)
    for part in ((), ("you",), ("send",)):
        again = browser.get(at(intake, *part))
        assert (again.status_code, YOU["name"] in again.content.decode()) == (404, False)


def test_sent_twice_with_one_key_is_sent_once(intake: Intake) -> None:
    browser = fill(intake)
    send(browser, intake)
    when, entries = intake.sent_at, AuditEntry.objects.count()
    again = send(browser, intake)
    assert (again.status_code, intake.sent_at) == (200, when)
    assert AuditEntry.objects.count() == entries
    assert send(browser, intake, key="b" * 32).status_code == 404


def test_without_consent_to_keep_it_nothing_is_sent(intake: Intake) -> None:
    form = answers()
    form["consent"] = {"email": "on"}
    answer = send(fill(intake, form), intake)
    assert (answer.status_code, intake.sent_at) == (422, None)
    assert "Without your consent" in read(answer)


def test_a_screen_that_does_not_hold_is_named_before_sending(intake: Intake) -> None:
    browser = fill(intake)
    keep(browser, intake, "you", {**YOU, "time_zone": ""})
    answer = send(browser, intake)
    assert (answer.status_code, intake.sent_at) == (422, None)
    assert at(intake, "you") in answer.content.decode()


def test_each_consent_is_kept_with_version_and_time_and_can_be_taken_back(
    intake: Intake,
) -> None:
    browser = begin(intake)
    keep(browser, intake, "consent", {"health": "on", "recording": "on"})
    keep(browser, intake, "consent", {"health": "on"})
    intake.refresh_from_db()
    assert intake.answers["ticked"] == {
        "health": {"version": "1", "at": "2026-12-03T09:00:00+00:00"}
    }


def test_a_quiet_client_is_asked_in_neutral_words(practice: Practice) -> None:
    client = factories.client("Clodagh", quiet=True)
    intake = make_link(by=SYSTEM, client=client)
    browser = Browser()
    pages = [browser.get(at(intake)).content.decode()]
    begin(intake, browser=browser)
    for situation in ("carrying", "delivered", "lost"):
        browser.post(at(intake, "now"), {"situation": situation, "go": "next"})
        intake.refresh_from_db()
        pages += [
            browser.get(at(intake, step)).content.decode() for step in steps_for(intake.answers)
        ]
        pages.append(browser.get(at(intake, "send")).content.decode())
    assert too_much(pages) == []


def test_after_a_loss_the_form_goes_quiet_for_somebody_new_as_well(intake: Intake) -> None:
    browser = begin(intake)
    browser.post(at(intake, "now"), {"situation": "lost", "go": "next"})
    pages = [browser.get(at(intake, s)).content.decode() for s in ("before", "signs", "health")]
    assert too_much(pages) == []


def too_much(pages: list[str]) -> list[str]:
    """The forbidden words in the pages; random tokens are no words."""
    bodies = [re.sub(r"/form/[^/]+/", "/form/", main_of(page)).casefold() for page in pages]
    return [word for word in NEVER_IF_QUIET for body in bodies if word in body]


def test_a_known_client_sees_nothing_of_her_record(practice: Practice) -> None:
    client = factories.client("Meret A.", phone="+353 86 999 8877", email="meret@example.org")
    intake = make_link(by=SYSTEM, client=client)
    browser = begin(intake)
    pages = [browser.get(at(intake, step)).content.decode() for step in ("you", "place")]
    assert [client.phone in page for page in pages] == [False, False]
    assert Client.objects.count() == 1
