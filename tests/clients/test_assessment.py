"""Writes of assessments: kept from the first value on, never twice, finished once, put right."""

from __future__ import annotations

from datetime import date
from typing import Any
from uuid import UUID, uuid4

import pytest

from clients import actions
from clients.actions.fingers import set_finger
from clients.actions.measuring import Saved, save_and_finish
from clients.models import Assessment, Client
from clients.queries.measuring import summaries
from coach.practice.audit import SYSTEM, Actor
from coach.practice.models import AuditEntry
from coach.practice.permissions import Role
from tests import factories
from tests.factories_clearance import assessment, clearance, screening

TODAY = date(2026, 12, 3)
HOW = {"method": "calliper", "position": "crook", "who": "clinician", "by": "Dr Roe"}
ALL_PASSED = {"test-hop-left": "10", "test-hop-right": "10", "test-hop-symptom": "no"}


@pytest.fixture
def meret(practice: Any) -> Client:
    """Half a year after a birth, cleared: everything may be measured."""
    client = factories.client("Meret Solberg")
    factories.pregnancy(client, ended=date(2026, 5, 20), ending="birth", birth_mode="vaginal")
    screening(client, date(2026, 11, 20), phase="after")
    clearance(client, date(2026, 11, 20), examined="yes")
    return client


def save(client: Client, key: UUID, actor: Actor = SYSTEM, **typed: str) -> Saved:
    sent = {code.replace("_", "-") if "-" not in code else code: text
            for code, text in typed.items()}  # fmt: skip
    return actions.save_assessment(by=actor, client=client, key=key, typed=sent)


def test_the_first_value_makes_it_and_the_next_ones_join(meret: Client) -> None:
    key = uuid4()
    save(meret, key, width_navel_rest="28")
    save(meret, key, doming="yes", method="calliper")
    (row,) = Assessment.objects.all()
    assert (row.measures, row.method, row.finished_at) == (
        {"width-navel-rest": 28, "doming": "yes"}, "calliper", None,
    )  # fmt: skip


def test_a_part_sent_twice_or_late_changes_nothing_else(meret: Client) -> None:
    key = uuid4()
    for _ in range(2):
        save(meret, key, width_navel_rest="28")
        save(meret, key, leaking="no")
    entries = AuditEntry.objects.filter(subject_kind="clients.assessment").count()
    save(meret, key, width_navel_rest="28")
    assert Assessment.objects.count() == 1
    assert AuditEntry.objects.filter(subject_kind="clients.assessment").count() == entries


def test_an_empty_text_takes_an_answer_back_to_not_asked(meret: Client) -> None:
    key = uuid4()
    save(meret, key, heaviness="no", leaking="no")
    save(meret, key, heaviness="")
    assert Assessment.objects.get().measures == {"leaking": "no"}
    assert summaries()[meret.pk].answer("heaviness") is None


def test_nothing_is_kept_before_a_value(meret: Client) -> None:
    saved = save(meret, uuid4(), method="calliper", leaking="")
    assert (saved, Assessment.objects.count()) == (Saved(None, []), 0)


@pytest.mark.parametrize(
    ("code", "text", "words"),
    [
        ("width-navel-rest", "wide", "Write a number."),
        ("width-navel-rest", "151", "Write −10 to 150."),
        ("width-navel-rest", "NaN", "Write a number."),
        ("leaking", "perhaps", "Choose one of these."),
        ("effort", "11", "Write a whole number from 0 to 10."),
        ("effort", "4.5", "Write a whole number from 0 to 10."),
        ("total-iciq", "22", "A total from 0 to 21."),
        ("total-severity3", "5", "No answers come to that: 0, 1, 2, 3, 4, 6, 8."),
        ("own-99", "4", "There is no such measure."),
        ("width-elbow-rest", "4", "There is no such measure."),
        ("test-hop-symptom", "maybe", "Choose one of these."),
        ("tension", "hard", "Choose one of these."),
        ("day", "2026-12-09", "That day has not come yet."),
        ("note", "x" * 2001, "Write at most 2000 letters."),
    ],
)
def test_what_cannot_be_is_told_beside_its_field_and_the_rest_is_kept(
    meret: Client, code: str, text: str, words: str
) -> None:
    saved = actions.save_assessment(
        by=SYSTEM, client=meret, key=uuid4(), typed={code: text, "girdle": "no"}
    )
    assert [(one.field, one.sentence) for one in saved.problems] == [(code, words)]
    assert Assessment.objects.get().measures == {"girdle": "no"}


@pytest.mark.parametrize(
    ("text", "kept"), [("−5", -5), ("-5", -5), ("14,5", 14.5), (" 28 ", 28), ("0", 0)]
)
def test_numbers_as_people_type_them(meret: Client, text: str, kept: float) -> None:
    save(meret, uuid4(), width_navel_rest=text)
    assert Assessment.objects.get().measures == {"width-navel-rest": kept}


def test_on_hold_none_is_begun_and_one_begun_before_is_finished(meret: Client) -> None:
    key = uuid4()
    save(meret, key, leaking="yes", **HOW)
    actions.record_warning_sign(by=SYSTEM, client=meret, code="dizzy", happened_on=TODAY)
    with pytest.raises(actions.Refused, match="on hold"):
        save(meret, uuid4(), leaking="no")
    save(meret, key, heaviness="yes")
    row = Assessment.objects.get()
    assert actions.finish_assessment(by=SYSTEM, assessment=row) == []
    assert row.measures == {"leaking": "yes", "heaviness": "yes"}


def test_tests_that_are_not_offered_are_not_kept(meret: Client) -> None:
    factories.pregnancy(meret, due=date(2027, 6, 1))
    saved = actions.save_assessment(
        by=SYSTEM, client=meret, key=uuid4(), typed={**ALL_PASSED, "leaking": "no"}
    )
    assert {one.field for one in saved.problems} == set(ALL_PASSED)
    assert Assessment.objects.get().measures == {"leaking": "no"}


def test_tests_that_are_offered_are_kept(meret: Client) -> None:
    saved = actions.save_assessment(by=SYSTEM, client=meret, key=uuid4(), typed=ALL_PASSED)
    assert (saved.problems, Assessment.objects.get().measures) == (
        [], {"test-hop-left": 10, "test-hop-right": 10, "test-hop-symptom": "no"},
    )  # fmt: skip


def test_another_client_s_key_is_refused(meret: Client) -> None:
    key = uuid4()
    save(meret, key, leaking="no")
    with pytest.raises(actions.Refused, match="not taken any more"):
        save(factories.client("Ottilie Brandt"), key, leaking="yes")


def test_finishing_asks_for_what_is_missing_and_the_second_time_does_nothing(
    meret: Client,
) -> None:
    key = uuid4()
    save(meret, key, width_navel_rest="28", method="", position="")
    row = Assessment.objects.get()
    with pytest.raises(actions.Refused) as refused:
        actions.finish_assessment(by=SYSTEM, assessment=row)
    assert [one.field for one in refused.value.problems] == ["method", "position", "by"]
    save(meret, key, **HOW)
    assert actions.finish_assessment(by=SYSTEM, assessment=row) == []
    row.refresh_from_db()
    finished = row.finished_at
    assert actions.finish_assessment(by=SYSTEM, assessment=row) == []
    row.refresh_from_db()
    assert (row.finished_at, summaries()[meret.pk].last) == (finished, TODAY)


def test_half_fingers_alone(meret: Client) -> None:
    key = uuid4()
    save(meret, key, width_navel_rest="2.3", **{**HOW, "method": "fingers"})
    with pytest.raises(actions.Refused, match="Half fingers"):
        actions.finish_assessment(by=SYSTEM, assessment=Assessment.objects.get())


def test_an_unlikely_value_is_asked_about_once(meret: Client) -> None:
    key = uuid4()
    save(meret, key, width_navel_rest="93", **HOW)
    row = Assessment.objects.get()
    (asked,) = actions.finish_assessment(by=SYSTEM, assessment=row)
    assert (asked.field, asked.token) == ("width-navel-rest", "width-navel-rest=93")
    row.refresh_from_db()
    assert row.finished_at is None
    assert actions.finish_assessment(by=SYSTEM, assessment=row, sure=[asked.token]) == []
    row.refresh_from_db()
    assert (row.finished_at is None, row.sure) == (False, [asked.token])


def test_saying_yes_to_one_value_says_nothing_of_another(meret: Client) -> None:
    key = uuid4()
    save(meret, key, width_navel_rest="93", **HOW)
    row = Assessment.objects.get()
    save(meret, key, width_navel_rest="94")
    (asked,) = actions.finish_assessment(by=SYSTEM, assessment=row, sure=["width-navel-rest=93"])
    assert asked.token == "width-navel-rest=94"


def test_a_jump_is_asked_about_only_beside_one_taken_in_the_same_way(meret: Client) -> None:
    assessment(meret, date(2026, 11, 1), method="tape", width_navel_rest=20)
    whole = {"width-navel-rest": "45", **HOW}
    saved = save_and_finish(by=SYSTEM, client=meret, key=uuid4(), typed=whole)
    assert saved.asked == []
    other = {**whole, "method": "calliper", "width-navel-rest": "20"}
    saved = save_and_finish(by=SYSTEM, client=meret, key=uuid4(), typed=other)
    assert [one.words for one in saved.asked] == ["20 mm, and 45 last time: right?"]


def test_a_finished_one_is_put_right_whole_or_not_at_all(meret: Client) -> None:
    row = assessment(meret, TODAY, width_navel_rest=28, leaking="yes")
    with pytest.raises(actions.Refused):
        save(meret, row.key, leaking="no", effort="11")
    row.refresh_from_db()
    assert row.measures == {"width-navel-rest": 28, "leaking": "yes"}
    save(meret, row.key, leaking="no")
    row.refresh_from_db()
    assert row.measures == {"width-navel-rest": 28, "leaking": "no"}


def test_an_unlikely_value_put_into_a_finished_one_is_asked_about_first(meret: Client) -> None:
    row = assessment(meret, TODAY, width_navel_rest=28)
    saved = save(meret, row.key, width_navel_rest="128")
    row.refresh_from_db()
    assert ([one.field for one in saved.asked], row.measures) == (
        ["width-navel-rest"], {"width-navel-rest": 28},
    )  # fmt: skip


def test_fingers_are_kept_with_the_width_of_whoever_measured(meret: Client) -> None:
    una = factories.person(Role.OWNER, email="una@example.org", name="Una")
    set_finger(by=SYSTEM, user=una, mm=16, measured_on=TODAY)
    key = uuid4()
    save(meret, key, Actor(una), width_navel_rest="2.5", method="fingers", position="crook")
    row = Assessment.objects.get()
    assert (row.who, row.by, row.finger_mm) == ("coach", "Una", 16)
    save(meret, key, Actor(una), who="client")
    row.refresh_from_db()
    assert (row.who, row.by, row.finger_mm) == ("client", "Meret Solberg", None)


def test_withdrawn_with_its_reason_it_counts_for_nothing(meret: Client) -> None:
    row = assessment(meret, TODAY, heaviness="yes")
    with pytest.raises(actions.Refused, match="Say why"):
        actions.withdraw_assessment(by=SYSTEM, assessment=row, reason=" ")
    actions.withdraw_assessment(by=SYSTEM, assessment=row, reason="not hers")
    assert summaries()[meret.pk].open == ()
    with pytest.raises(actions.Refused, match="not taken any more"):
        actions.finish_assessment(by=SYSTEM, assessment=row)


def test_one_that_holds_nothing_is_dropped_without_a_reason(meret: Client) -> None:
    key = uuid4()
    save(meret, key, leaking="no")
    save(meret, key, leaking="")
    actions.withdraw_assessment(by=SYSTEM, assessment=Assessment.objects.get())
    assert Assessment.objects.count() == 0


def test_a_whole_form_that_cannot_be_finished_yet_stays_kept(meret: Client) -> None:
    saved = save_and_finish(by=SYSTEM, client=meret, key=uuid4(), typed={"width-navel-rest": "20"})
    assert [one.field for one in saved.problems] == ["method", "position", "by"]
    assert Assessment.objects.get().measures == {"width-navel-rest": 20}
    nothing = save_and_finish(by=SYSTEM, client=meret, key=uuid4(), typed={"leaking": ""})
    assert [one.sentence for one in nothing.problems] == [
        "Nothing is measured: fill in at least one value or answer."
    ]
