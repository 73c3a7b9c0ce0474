"""What becomes of a form that was sent: new and different side by side, taken in one go."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from clients.actions import Refused
from clients.actions.intake import make_link
from clients.actions.intake_review import accept, belongs_to, put_aside
from clients.models import Client, Condition, Consent, Enquiry, Intake, Screening, WarningSign
from clients.queries import go_ahead_of
from clients.queries.intake import alarms
from clients.queries.intake_review import review_of
from clients.rules.intake_review import KEEP, TAKE
from coach import clock
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry, Practice
from coach.practice.writing import change
from coach.scheduling.values import GoAheadWord
from tests import factories
from tests.clients.intakes import YOU, all_no, answers, begin, fill, keep, send, sent
from tests.clients.pages import read

TODAY = date(2026, 12, 3)


@pytest.fixture
def meret(practice: Practice) -> Client:
    client = factories.client(
        "Meret A.", email="meret@example.org", phone="+353 86 123 4567", birth_date=date(1994, 5, 2)
    )
    factories.pregnancy(client, due=date(2027, 4, 12), dated_by="clinician")
    return client


def same_as(client: Client, **changes: dict[str, str]) -> dict[str, dict[str, str]]:
    """A form that says what is on record of her."""
    you = {"name": client.name, "email": client.email, "phone": client.phone}
    return answers(**{"you": {**you, **changes.pop("you", {})}, **changes})


def page_of(intake: Intake) -> str:
    return f"/clients/forms/{intake.pk}/review/"


def test_one_tap_makes_a_client_of_a_form_of_somebody_new(browser: Browser) -> None:
    intake = sent()
    shown = read(browser.get(page_of(intake)))
    assert "Add her as a client" in shown
    assert "Different from what is on record" not in shown
    assert browser.post(page_of(intake)).status_code == 302
    client = Client.objects.get()
    assert (client.name, client.email, client.time_zone) == (
        YOU["name"], YOU["email"], "Europe/Dublin",
    )  # fmt: skip
    assert (client.birth_date, client.emergency_number) == (date(1994, 5, 2), "112")
    (pregnancy,) = client.pregnancies.all()
    assert (pregnancy.due, pregnancy.dated_by) == (date(2027, 4, 12), "clinician")


def test_the_screening_is_of_the_day_she_sent_it_and_complete(practice: Practice) -> None:
    intake = sent()
    accept(by=SYSTEM, intake=intake, choices={})
    (row,) = Screening.objects.all()
    assert (row.phase, row.answered_on, row.complete, row.how) == ("pregnant", TODAY, True, "form")
    assert row.intake == intake


def test_with_a_question_open_it_is_not_complete(practice: Practice) -> None:
    form = answers()
    form["health"] = {}
    accept(by=SYSTEM, intake=sent(form), choices={})
    assert [row.complete for row in Screening.objects.all()] == [False]


def test_consents_are_kept_each_with_version_and_time(practice: Practice) -> None:
    accept(by=SYSTEM, intake=sent(), choices={})
    rows = [(row.purpose, row.version, row.how, row.given_at) for row in Consent.objects.all()]
    now = clock.now()
    assert sorted(rows) == [("email", "1", "form", now), ("health", "1", "form", now)]


def test_afterwards_the_form_holds_no_answer(practice: Practice) -> None:
    intake = sent()
    accept(by=SYSTEM, intake=intake, choices={})
    intake.refresh_from_db()
    assert (intake.answers, intake.alarm, intake.client) == ({}, "", Client.objects.get())
    with pytest.raises(Refused):
        accept(by=SYSTEM, intake=intake, choices={})
    assert Client.objects.count() == 1


def test_a_stop_of_somebody_new_goes_in_on_its_own_day_whatever_is_chosen(
    practice: Practice, monkeypatch: pytest.MonkeyPatch
) -> None:
    intake = make_link(by=SYSTEM, name="Aveline")
    browser = fill(intake)
    keep(browser, intake, "signs", {**all_no("signs"), "blood": "yes"})
    monkeypatch.setenv("COACH_TODAY", "2026-12-05")
    keep(browser, intake, "signs", all_no("signs"))
    send(browser, intake)
    client = accept(by=SYSTEM, intake=intake, choices={})
    assert [(s.code, s.happened_on, s.known_on) for s in WarningSign.objects.all()] == [
        ("blood", date(2026, 12, 3), date(2026, 12, 5))
    ]
    assert go_ahead_of(client, on=date(2026, 12, 5)).word is GoAheadWord.ON_HOLD


def test_a_hold_that_stands_is_one_condition(practice: Practice) -> None:
    accept(by=SYSTEM, intake=sent(answers(health={"anaemia": "yes"})), choices={})
    assert [(one.code, one.answer) for one in Condition.objects.all()] == [("anaemia", "yes")]


def test_three_expected_are_kept_with_the_pregnancy_and_not_twice(practice: Practice) -> None:
    client = accept(by=SYSTEM, intake=sent(answers(dates={"how_many": "3"})), choices={})
    assert (client.pregnancies.get().expected, Condition.objects.count()) == (3, 0)
    assert go_ahead_of(client, on=TODAY).word is GoAheadWord.ON_HOLD


def test_three_told_stop_her_whatever_the_coach_chooses(meret: Client) -> None:
    intake = sent(same_as(meret, dates={"how_many": "3"}), client=meret)
    assert review_of(intake).asks == []
    accept(by=SYSTEM, intake=intake, choices={f"count:{meret.pregnancies.get().pk}": KEEP})
    assert meret.pregnancies.get().expected == 3
    assert go_ahead_of(meret, on=TODAY).word is GoAheadWord.ON_HOLD


def test_a_smaller_number_than_on_record_is_to_choose(meret: Client) -> None:
    change(meret.pregnancies.get(), expected=2)
    intake = sent(same_as(meret, dates={"how_many": "1"}), client=meret)
    assert [(point.told, point.stored, point.take) for point in review_of(intake).asks] == [
        ("1", "2", False)
    ]


def test_what_a_known_client_said_live_is_not_doubled(meret: Client) -> None:
    form = same_as(meret, signs={"blood": "yes"}, health={"anaemia": "unsure"})
    accept(by=SYSTEM, intake=sent(form, client=meret), choices={})
    assert [one.code for one in WarningSign.objects.all()] == ["blood"]
    assert [one.code for one in Condition.objects.all()] == ["anaemia"]


def test_nothing_to_choose_where_nothing_differs(browser: Browser, meret: Client) -> None:
    intake = sent(same_as(meret), client=meret)
    assert [point.key for point in review_of(intake).asks] == []
    assert "Nothing differs from what is on record." in read(browser.get(page_of(intake)))
    assert browser.post(page_of(intake)).status_code == 302
    assert Client.objects.count() == 1


def test_what_differs_is_taken_or_kept_one_by_one(browser: Browser, meret: Client) -> None:
    form = same_as(meret, you={"phone": "+353 85 000 1111", "email": "new@example.org"})
    intake = sent(form, client=meret)
    shown = read(browser.get(page_of(intake)))
    assert "+353 85 000 1111" in shown
    assert "keep: +353 86 123 4567" in shown
    browser.post(page_of(intake), {"phone": TAKE, "email": KEEP})
    meret.refresh_from_db()
    assert (meret.phone, meret.email) == ("+353 85 000 1111", "meret@example.org")


def test_a_choice_that_is_missing_keeps_nothing(browser: Browser, meret: Client) -> None:
    intake = sent(same_as(meret, you={"phone": "+353 85 000 1111"}), client=meret)
    answer = browser.post(page_of(intake), {})
    assert (answer.status_code, Screening.objects.count()) == (422, 0)
    meret.refresh_from_db()
    assert meret.phone == "+353 86 123 4567"


def test_a_record_that_changed_since_the_page_was_opened_is_asked_again(meret: Client) -> None:
    intake = sent(same_as(meret), client=meret)
    change(meret, phone="+353 86 999 9999")
    with pytest.raises(Refused) as refused:
        accept(by=SYSTEM, intake=intake, choices={})
    assert [problem.field for problem in refused.value.problems] == ["phone"]


def test_another_due_date_is_kept_off_unless_the_coach_takes_it(
    browser: Browser, meret: Client
) -> None:
    """ACOG Committee Opinion 700 (2017), table 1: at 9w0d more than 7 days apart."""
    change(meret.pregnancies.get(), dated_by="last-period")
    scan = {"day": "2027-04-21", "dated_by": "scan", "scan_day": "2026-09-07"}
    intake = sent(same_as(meret, dates=scan), client=meret)
    text = read(browser.get(page_of(intake)))
    assert "9 days apart, more than the allowed 7 days (at 9w0d by the last period; ACOG" in text
    assert "her clinician has set this date: 21 April 2027" in text
    (point,) = review_of(intake).asks
    assert (point.key.split(":")[0], point.take) == ("day", False)
    browser.post(page_of(intake), {point.key: KEEP})
    pregnancy = meret.pregnancies.get()
    assert (pregnancy.due, pregnancy.due_changes.count()) == (date(2027, 4, 12), 0)


def test_taken_the_earlier_date_stays_with_the_reason(meret: Client) -> None:
    scan = {"day": "2027-04-21", "dated_by": "scan", "scan_day": "2026-09-07"}
    intake = sent(same_as(meret, dates=scan), client=meret)
    accept(by=SYSTEM, intake=intake, choices={review_of(intake).asks[0].key: TAKE})
    pregnancy = meret.pregnancies.get()
    assert pregnancy.due == date(2027, 4, 21)
    assert [(c.old, c.reason) for c in pregnancy.due_changes.all()] == [
        (date(2027, 4, 12), "As she told it in her form of 3 December 2026.")
    ]


def test_a_birth_that_the_record_does_not_know_ends_the_pregnancy(meret: Client) -> None:
    before = {"e0-ended": "2026-12-01", "e0-mode": "caesarean", "blocks": "1"}
    form = same_as(meret, now={"situation": "delivered"}, before=before)
    form["signs"], form["health"] = all_no("signs", "after"), all_no("health", "after")
    intake = sent(form, client=meret)
    (point,) = review_of(intake).asks
    assert (point.told, point.take) == ("Birth, 1 December 2026, caesarean", True)
    accept(by=SYSTEM, intake=intake, choices={point.key: TAKE})
    pregnancy = meret.pregnancies.get()
    assert (pregnancy.ended, pregnancy.birth_mode, pregnancy.due) == (
        date(2026, 12, 1), "caesarean", date(2027, 4, 12),
    )  # fmt: skip


def test_earlier_births_are_added_and_those_without_a_day_go_into_the_note(
    practice: Practice,
) -> None:
    before = {
        "e0-kind": "delivered", "e0-ended": "2023-05-01", "e0-tear": "second",
        "e1-kind": "lost", "e1-about": "spring 2021", "e2-kind": "tell", "blocks": "3",
    }  # fmt: skip
    client = accept(by=SYSTEM, intake=sent(answers(before=before)), choices={})
    rows = [(row.ended, row.ending, row.tear) for row in client.pregnancies.order_by("pk")]
    assert rows == [(date(2023, 5, 1), "birth", "second"), (None, "", "")]
    assert client.note == (
        "From her form of 3 December 2026: Loss: spring 2021. "
        "What was before: she would rather tell you."
    )


def test_after_a_loss_she_is_quiet_from_the_first_moment(practice: Practice) -> None:
    form = answers(now={"situation": "lost"}, before={"e0-ended": "2026-11-20"})
    form["signs"], form["health"] = all_no("signs", "after"), all_no("health", "after")
    client = accept(by=SYSTEM, intake=sent(form), choices={})
    assert (bool(client.quiet), client.pregnancies.get().ending) == (True, "loss")


def test_dates_that_cannot_be_are_said_beside_them_and_can_be_left(
    browser: Browser, meret: Client
) -> None:
    before = {"e0-kind": "delivered", "e0-ended": "2026-10-01"}
    intake = sent(same_as(meret, before=before), client=meret)
    answer = browser.post(page_of(intake))
    assert (answer.status_code, Screening.objects.count()) == (422, 0)
    assert "before the earlier one ended" in read(answer)
    assert browser.post(page_of(intake), {"add:0": KEEP}).status_code == 302
    assert meret.pregnancies.count() == 1


def test_a_consent_not_given_again_is_offered_as_taken_back(meret: Client) -> None:
    accept(by=SYSTEM, intake=sent(same_as(meret), client=meret), choices={})
    form = same_as(meret)
    form["consent"] = {"health": "on"}
    intake = sent(form, client=meret)
    (point,) = review_of(intake).asks
    assert point.key == "consent:email"
    accept(by=SYSTEM, intake=intake, choices={point.key: TAKE})
    rows = Consent.objects.filter(withdrawn_at=None).values_list("purpose", flat=True)
    assert list(rows) == ["health"]


def test_an_enquiry_becomes_the_client_with_its_history(practice: Practice) -> None:
    asked = Enquiry.objects.create(name="Sunniva", came_on=TODAY)
    client = accept(by=SYSTEM, intake=sent(enquiry=asked), choices={})
    asked.refresh_from_db()
    assert (asked.client, asked.state) == (client, "client")


def test_what_an_unsent_form_of_the_same_enquiry_said_goes_in_as_well(practice: Practice) -> None:
    asked = Enquiry.objects.create(name="Sunniva", came_on=TODAY)
    first = make_link(by=SYSTEM, enquiry=asked)
    keep(begin(first), first, "signs", {"chest": "yes"})
    first.refresh_from_db()
    put_aside(by=SYSTEM, intake=first, reason="Rang her: she has seen her doctor.")
    accept(by=SYSTEM, intake=sent(enquiry=asked), choices={})
    assert [one.code for one in WarningSign.objects.all()] == ["chest"]


def test_a_form_of_somebody_new_can_be_given_to_the_client_she_is(
    browser: Browser, meret: Client
) -> None:
    intake = sent(same_as(meret, signs={"blood": "yes"}))
    assert f"It is {meret.name}" in read(browser.get(page_of(intake)))
    belongs_to(by=SYSTEM, intake=intake, client=meret)
    assert [(one.client, one.code) for one in WarningSign.objects.all()] == [(meret, "blood")]
    assert [point.key for point in review_of(intake).asks] == []


def test_put_aside_it_is_emptied_but_for_what_stops_her_and_rings_no_more(
    practice: Practice,
) -> None:
    intake = sent(answers(signs={"blood": "yes"}))
    assert len(alarms(TODAY)) == 1
    with pytest.raises(Refused):
        put_aside(by=SYSTEM, intake=intake, reason=" ")
    put_aside(by=SYSTEM, intake=intake, reason="Trains elsewhere; told to see her doctor.")
    assert (list(intake.answers), alarms(TODAY)) == (["said"], [])


def test_one_entry_says_that_it_was_taken_over_and_names_no_value(practice: Practice) -> None:
    accept(by=SYSTEM, intake=sent(), choices={})
    entries = AuditEntry.objects.filter(verb="accepted")
    assert [entry.subject_kind for entry in entries] == ["clients.intake"]
    assert YOU["phone"] not in repr(list(AuditEntry.objects.values()))


@pytest.mark.parametrize("path", ["review/", ""])
def test_a_page_costs_the_same_with_one_thing_told_and_with_many(
    browser: Browser, meret: Client, path: str
) -> None:
    before: dict[str, Any] = {"blocks": "8"}
    for at in range(8):
        before |= {f"e{at}-kind": "delivered", f"e{at}-ended": f"{2000 + at}-05-01"}
    many = sent(same_as(meret, before=before, health=dict.fromkeys(all_no("health"), "yes")))
    few = sent(same_as(meret, health={"anaemia": "yes"}))
    counts = []
    for intake in (few, many):
        with CaptureQueriesContext(connection) as found:
            assert browser.get(f"/clients/forms/{intake.pk}/{path}").status_code == 200
        counts.append(len(found))
    assert counts[0] == counts[1]
