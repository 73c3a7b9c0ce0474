"""An answer that stops or holds acts when it is kept, sent or not, changed afterwards or not."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.test import Client as Browser

from clients.actions.intake import make_link, withdraw_link
from clients.models import Client, Condition, Intake, WarningSign
from clients.queries import go_ahead_of
from clients.queries.intake import alarms, to_review
from coach import clock
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry, Practice
from coach.practice.writing import change
from coach.scheduling.values import GoAheadWord
from tests import factories
from tests.clients.intakes import CARRYING, PLACE, all_no, at, begin, fill, keep, send
from tests.clients.pages import read

TODAY = date(2026, 12, 3)
BLEEDING = "blood"
EMERGENCY = "chest"


@pytest.fixture
def meret(practice: Practice) -> Client:
    client = factories.client("Meret A.", email="meret@example.org")
    factories.pregnancy(client, due=date(2027, 4, 12), dated_by="clinician")
    return client


@pytest.fixture
def intake(practice: Practice) -> Intake:
    """A form for somebody new."""
    return make_link(by=SYSTEM, name="Aveline")


def carrying(intake: Intake) -> Browser:
    """Her browser at the health questions."""
    browser = begin(intake)
    browser.post(at(intake, "now"), {**CARRYING, "go": "next"})
    return browser


def test_bleeding_typed_and_the_form_closed_unsent_puts_a_client_on_hold(meret: Client) -> None:
    intake = make_link(by=SYSTEM, client=meret)
    answer = keep(carrying(intake), intake, "signs", {BLEEDING: "yes"})
    assert "Stop training." in read(answer)
    assert [(one.code, one.happened_on) for one in WarningSign.objects.all()] == [(BLEEDING, TODAY)]
    assert go_ahead_of(meret, on=TODAY).word is GoAheadWord.ON_HOLD
    assert [one.word for one in alarms(TODAY)] == ["stop"]


def test_the_same_answer_kept_again_is_one_sign(meret: Client) -> None:
    intake = make_link(by=SYSTEM, client=meret)
    browser = carrying(intake)
    for _ in range(3):
        keep(browser, intake, "signs", {BLEEDING: "yes"})
    browser.post(at(intake, "signs"), {BLEEDING: "yes", "go": "open"})
    assert WarningSign.objects.count() == 1


def test_changed_to_no_it_stays_with_its_time(meret: Client) -> None:
    intake = make_link(by=SYSTEM, client=meret)
    browser = carrying(intake)
    keep(browser, intake, "signs", {BLEEDING: "yes"})
    answer = keep(browser, intake, "signs", {BLEEDING: "no"})
    intake.refresh_from_db()
    assert intake.alarm == "stop"
    assert intake.answers["was_yes"] == {
        BLEEDING: {
            "said_at": "2026-12-03T09:00:00+00:00",
            "changed_at": "2026-12-03T09:00:00+00:00",
        }
    }
    assert go_ahead_of(meret, on=TODAY).word is GoAheadWord.ON_HOLD
    assert "Stop training." in read(browser.get(at(intake, "signs")))
    assert answer.status_code == 200


def test_not_knowing_about_a_stop_holds(meret: Client) -> None:
    intake = make_link(by=SYSTEM, client=meret)
    answer = keep(carrying(intake), intake, "health", {"heart": "unsure"})
    intake.refresh_from_db()
    assert intake.alarm == "hold"
    assert "Don’t train until a clinician has answered this." in read(answer)
    assert [(one.code, one.answer) for one in Condition.objects.all()] == [("heart", "unsure")]


def test_three_expected_stop_her_at_once(meret: Client) -> None:
    """2019 Canadian guideline (Mottola et al. 2018), Table 2, absolute: triplets or more."""
    intake = make_link(by=SYSTEM, client=meret)
    answer = keep(carrying(intake), intake, "dates", {"day": "2027-04-12", "how_many": "3"})
    assert "Stop training." in read(answer)
    assert go_ahead_of(meret, on=TODAY).word is GoAheadWord.ON_HOLD


@pytest.mark.parametrize(("day", "alarm"), [("2027-02-26", ""), ("2027-02-25", "hold")])
def test_two_expected_hold_her_from_twenty_eight_weeks(meret: Client, day: str, alarm: str) -> None:
    """The same table, relative: twins after week 28; 27w6d and 28w0d."""
    intake = make_link(by=SYSTEM, client=meret)
    keep(carrying(intake), intake, "dates", {"day": day, "how_many": "2"})
    intake.refresh_from_db()
    assert intake.alarm == alarm
    assert meret.pregnancies.get().expected == 2


def test_an_emergency_names_the_number_of_the_place_where_she_is_first(intake: Intake) -> None:
    browser = carrying(intake)
    page = read(keep(browser, intake, "signs", {EMERGENCY: "yes"}))
    assert page.index("Ring the emergency number of the place") < page.index("Stop training.")
    keep(browser, intake, "place", {**PLACE, "emergency_number": "999"})
    page = read(browser.get(at(intake, "signs")))
    assert page.index("Ring 999 now.") < page.index("Stop training.")


def test_all_no_says_nothing(intake: Intake) -> None:
    answer = keep(carrying(intake), intake, "signs", all_no("signs"))
    intake.refresh_from_db()
    assert (intake.alarm, "Stop training" in read(answer), alarms(TODAY)) == ("", False, [])


def test_somebody_who_is_no_client_yet_rings_on_the_first_page_until_it_is_dealt_with(
    intake: Intake,
) -> None:
    keep(carrying(intake), intake, "signs", {BLEEDING: "yes"})
    assert [(one.name, one.client, one.on) for one in alarms(TODAY)] == [("Aveline", None, TODAY)]
    change(intake, expires_at=clock.now() - timedelta(days=1))
    assert len(alarms(TODAY)) == 1
    intake.refresh_from_db()
    withdraw_link(by=SYSTEM, intake=intake)
    assert [one.word for one in alarms(TODAY)] == ["stop"]


def test_withdrawing_erases_the_draft_but_not_what_stops_her(intake: Intake) -> None:
    browser = carrying(intake)
    keep(browser, intake, "signs", {BLEEDING: "yes"})
    intake.refresh_from_db()
    withdraw_link(by=SYSTEM, intake=intake)
    assert list(intake.answers) == ["said"]
    assert list(intake.answers["said"]) == [BLEEDING]


def test_the_trail_names_no_value(meret: Client) -> None:
    intake = make_link(by=SYSTEM, client=meret)
    keep(carrying(intake), intake, "signs", {BLEEDING: "yes"})
    entries = AuditEntry.objects.filter(verb="wrote").values_list("fields", flat=True)
    assert list(entries) == [["alarm", "signs"], ["now"]]
    assert BLEEDING not in repr(list(AuditEntry.objects.values("fields", "reason", "verb")))


def test_alarms_and_reviews_cost_one_query_each_whatever_their_number(
    practice: Practice, django_assert_num_queries: object
) -> None:
    for count in (1, 30):
        while Intake.objects.count() < count:
            made = make_link(by=SYSTEM, name=f"Woman {Intake.objects.count()}")
            change(made, alarm="stop", sent_at=clock.now())
        with django_assert_num_queries(1):  # type: ignore[operator]  # pytest-django's
            assert len(alarms(TODAY)) == count
        with django_assert_num_queries(1):  # type: ignore[operator]  # as above
            assert len(to_review(TODAY)) == count


def test_the_gravest_comes_first(practice: Practice) -> None:
    for word in ("minor", "hold", "stop"):
        change(make_link(by=SYSTEM, name=word), alarm=word)
    assert [one.word for one in alarms(TODAY)] == ["stop", "hold", "minor"]


def test_sent_with_a_stop_she_is_told_once_more(intake: Intake) -> None:
    browser = fill(intake)
    keep(browser, intake, "signs", {**all_no("signs"), BLEEDING: "yes"})
    answer = send(browser, intake)
    assert answer.status_code == 200
    assert "Stop training." in read(answer)
