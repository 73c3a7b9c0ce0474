"""The first page: what is next, what needs her, and what each role sees of it."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from clients.actions import record_clearance, record_screening, record_warning_sign, snooze
from clients.rules.facts import ClearanceFact
from clients.rules.screening import questions_for
from coach.billing.actions.invoices import draft_invoice, issue
from coach.billing.rules.values import Line
from coach.practice.audit import SYSTEM
from coach.practice.permissions import Role
from coach.today.queries import TodayPage
from tests import factories
from tests import factories_diary as made
from tests.conftest import sign_in


def page(browser: Browser) -> TodayPage:
    found: TodayPage = browser.get("/").context["page"]
    return found


def said(items: Any) -> list[str]:
    return [item.what for item in items]


def test_an_empty_practice_is_told_where_to_begin(browser: Browser) -> None:
    found = page(browser)
    assert said(found.first_steps) == ["Add your clients", "Add your classes", "Say your wishes"]
    assert found.needs == ()


def test_each_first_step_goes_once_it_is_done(browser: Browser) -> None:
    factories.client()
    factories.fitness_class()
    factories.wishes(weekdays=[])
    assert said(page(browser).first_steps) == ["Say your wishes"]


def test_safety_comes_before_work_and_work_before_money(browser: Browser, today: date) -> None:
    factories.client("Nobody Knows")
    factories.upload(today - timedelta(days=3), factories.fitness_class("Late one"))
    late = factories.client("Laoise Penhale")
    factories.pregnancy(late, due=today - timedelta(days=10))
    held = factories.client("Ines Paredes")
    record_warning_sign(by=SYSTEM, client=held, code="dizzy", happened_on=today)
    bill = draft_invoice(by=SYSTEM, client=held, lines=[Line("A class", 1, 5000, 0)])
    issue(by=SYSTEM, invoice=bill, today=today - timedelta(days=30))
    assert said(page(browser).needs) == [
        "Ines Paredes is on hold",
        "Ask how Laoise Penhale is",
        "Nobody Knows has no go-ahead now",
        "Ask Ines Paredes for her dates",
        "Ask Nobody Knows for her dates",
        "Late one",
        "Invoice 2026-00001, €50.00 open",
    ]


def test_the_most_overdue_is_reassessed_first_and_nobody_on_hold_is_started(
    browser: Browser, today: date
) -> None:
    for n in range(4):
        her = made.afterwards(f"Client {n}", today - timedelta(weeks=40))
        made.assessed(her, today - timedelta(weeks=13, days=n))
    held = made.afterwards("Ines Paredes", today - timedelta(weeks=40), email="ines@example.org")
    made.assessed(held, today - timedelta(weeks=12, days=9))
    record_warning_sign(by=SYSTEM, client=held, code="dizzy", happened_on=today)
    needs = page(browser).needs
    found = [item for item in needs if item.action in {"start", "write to her"}]
    assert [(item.what, item.action, item.late) for item in found] == [
        ("Reassess Client 3", "start", True),
        ("Reassess Client 2", "start", True),
        ("Write to Ines Paredes", "write to her", True),
        ("Reassess Client 1", "start", True),
    ]
    assert found[2].url == "mailto:ines@example.org"
    assert found[2].note.startswith("On hold: nothing is measured before a clinician has answered.")
    assert "One more to reassess" in said(needs)


def test_whoever_is_wanted_within_a_week_is_told_and_who_is_snoozed_is_not(
    browser: Browser, today: date
) -> None:
    for name, days in (("In a week", 7), ("Later", 8), ("Snoozed", 1)):
        her = made.afterwards(name, today - timedelta(weeks=80))
        made.assessed(her, today - timedelta(weeks=12) + timedelta(days=days))
    snooze(by=SYSTEM, client=her, until=today + timedelta(days=30), reason="On holiday")
    found = [item for item in page(browser).needs if item.action == "start"]
    assert [(item.what, item.late) for item in found] == [("Reassess In a week", False)]


def test_letters_about_to_run_out_are_told_with_their_last_day(
    browser: Browser, today: date
) -> None:
    her = factories.client("Tal Rowan")
    factories.pregnancy(her, due=today + timedelta(days=100))
    last = today + timedelta(days=5)
    facts = ClearanceFact(said_on=today, until=last, clinician="Dr Maura Tansey")
    record_clearance(by=SYSTEM, client=her, facts=facts)
    found = [item for item in page(browser).needs if "letter" in item.what]
    assert [(item.what, item.day) for item in found] == [("The letter of Tal Rowan runs out", last)]


def test_many_without_a_letter_are_one_line_that_leads_to_all(
    browser: Browser, today: date
) -> None:
    for _ in range(3):
        factories.pregnancy(factories.client(), due=today + timedelta(days=100))
    found = next(item for item in page(browser).needs if "go-ahead" in item.what)
    assert (found.what, found.url) == (
        "Three clients have no go-ahead now",
        "/clients/clearance/",
    )


def test_an_upload_whose_day_has_passed_is_late(browser: Browser, today: date) -> None:
    factories.upload(today - timedelta(days=1), factories.fitness_class("Late one"))
    factories.upload(today - timedelta(days=1), factories.fitness_class("Out", state="published"))
    assert [(item.what, item.late) for item in page(browser).needs] == [("Late one", True)]


def test_the_next_three_uploads_are_shown_today_included(browser: Browser, today: date) -> None:
    for days in (4, 0, 9, 2):
        factories.upload(today + timedelta(days=days), factories.fitness_class(f"In {days}"))
    assert said(page(browser).uploads) == ["In 0", "In 2", "In 4"]


def test_a_month_with_free_days_asks_to_be_planned(browser: Browser, today: date) -> None:
    factories.wishes(weekdays=[1])
    factories.fitness_class()
    found = page(browser).needs[-1]
    assert (found.what, found.url) == ("Plan December", "/uploads/2026-12/")
    assert found.note == "Four publish days free, the first in 5 days."


def test_weeks_in_hand_are_told(browser: Browser, today: date) -> None:
    factories.wishes(weekdays=[1])
    factories.upload(today - timedelta(days=2), factories.fitness_class(state="published"))
    factories.fitness_class()
    assert page(browser).in_hand.startswith("1 week of finished classes.")


def test_who_may_not_see_stages_is_not_told_of_them(browser: Browser, today: date) -> None:
    late = factories.client("Laoise Penhale")
    factories.pregnancy(late, due=today - timedelta(days=10))
    factories.upload(today, factories.fitness_class("Hips and back"))
    for role, uploads in ((Role.ASSISTANT, True), (Role.BOOKKEEPER, False)):
        text = sign_in(factories.person(role)).get("/").content.decode()
        assert ("Ask how" in text, "past" in text, "Hips and back" in text) == (
            False,
            False,
            uploads,
        )


def test_an_assistant_reads_the_word_and_a_bookkeeper_the_bills(
    browser: Browser, today: date
) -> None:
    her = factories.client("Ines Paredes")
    record_warning_sign(by=SYSTEM, client=her, code="dizzy", happened_on=today)
    bill = draft_invoice(by=SYSTEM, client=her, lines=[Line("A class", 1, 5000, 0)])
    issue(by=SYSTEM, invoice=bill, today=today - timedelta(days=30))
    shown = {
        role: said(page(sign_in(factories.person(role))).needs)
        for role in (Role.ASSISTANT, Role.BOOKKEEPER)
    }
    assert shown == {
        Role.ASSISTANT: ["Ines Paredes is on hold"],
        Role.BOOKKEEPER: ["Invoice 2026-00001, €50.00 open"],
    }


def test_it_costs_the_same_for_one_and_for_thirty(browser: Browser, today: date) -> None:
    factories.wishes()

    def cost() -> int:
        with CaptureQueriesContext(connection) as queries:
            browser.get("/")
        return len(queries)

    factories.upload(today - timedelta(days=1))
    factories.upload(today)
    factories.pregnancy(factories.client(), due=today - timedelta(days=10))
    one = cost()
    for _ in range(29):
        factories.upload(today - timedelta(days=1))
        factories.upload(today)
        factories.pregnancy(factories.client(), due=today - timedelta(days=10))
    assert cost() == one


def test_an_answer_that_waits_for_a_clinician_is_told_once_by_name(
    browser: Browser, today: date
) -> None:
    her = factories.client("Ines Paredes")
    factories.pregnancy(her, due=today + timedelta(days=100))
    answers = {one.code: "no" for one in questions_for("pregnant")}
    record_screening(
        by=SYSTEM, client=her, phase="pregnant", answered_on=today, how="call",
        answers={**answers, "anaemia": "yes", "rhythm": "unsure"},
    )  # fmt: skip
    found = [item for item in page(browser).needs if "answered" in item.what]
    assert [(item.what, item.url) for item in found] == [
        ("Ines Paredes answered something that wants a clinician", f"/clients/{her.pk}/")
    ]
