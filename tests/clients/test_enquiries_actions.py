"""What is written of an enquiry, from the first word to the client that she becomes."""

from __future__ import annotations

from typing import Any

import pytest

from clients.actions import Refused
from clients.actions.enquiries import (
    add_enquiry,
    became_client,
    change_enquiry,
    close_enquiry,
    reopen_enquiry,
    send_form,
    set_next_step,
)
from clients.actions.from_enquiry import make_client
from clients.actions.intake import keep_age, keep_step, make_link
from clients.models import Client, Enquiry, Intake
from clients.queries.enquiries import came_from, follow_ups
from clients.rules.intake import Step
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry, Practice
from tests import factories
from tests.clients.enquiring import TODAY, d, enquiry


def entries(row: Any) -> list[tuple[str, list[str]]]:
    """The trail of one row: verb and fields."""
    kind = row._meta.label_lower
    found = AuditEntry.objects.filter(subject_kind=kind, subject_id=str(row.pk)).order_by("pk")
    return [(entry.verb, entry.fields) for entry in found]


def said(refused: Any) -> list[tuple[str, str]]:
    return [(one.field, one.sentence) for one in refused.value.problems]


def test_a_name_and_one_way_are_enough_and_the_trail_names_the_fields(practice: Practice) -> None:
    row = add_enquiry(
        by=SYSTEM, name="Sunniva", handle="@sunniva", told="about 20 weeks",
        next_step="Write back", next_on=d(1),
    )  # fmt: skip
    kept = Enquiry.objects.get()
    assert (kept.state, kept.came_on, kept.handle, kept.told, kept.next_step, kept.next_on) == (
        "open", TODAY, "@sunniva", "about 20 weeks", "Write back", d(1),
    )  # fmt: skip
    assert entries(row) == [("added", ["handle", "name", "next_on", "next_step", "told"])]


def test_without_a_way_to_reach_her_nothing_is_kept(practice: Practice) -> None:
    with pytest.raises(Refused) as refused:
        add_enquiry(by=SYSTEM, name="Sunniva", next_step="", next_on=d(-1))
    assert said(refused) == [
        ("reach", "Write one way to reach her."),
        ("next_step", "Say what is to be done on that day."),
    ]
    assert (Enquiry.objects.count(), AuditEntry.objects.count()) == (0, 0)


def test_a_button_tapped_twice_keeps_her_once(practice: Practice) -> None:
    add_enquiry(by=SYSTEM, name="Sunniva", phone="+353 86 1")
    with pytest.raises(Refused) as refused:
        add_enquiry(by=SYSTEM, name="sunniva", phone="+353 86 1")
    assert said(refused) == [("name", "Sunniva is among the enquiries already.")]
    assert Enquiry.objects.count() == 1


@pytest.mark.parametrize("field", ["state", "client", "closed_why", "pk"])
def test_how_far_it_has_come_cannot_be_written(practice: Practice, field: str) -> None:
    with pytest.raises(TypeError, match=field):
        change_enquiry(by=SYSTEM, enquiry=enquiry(), **{field: "client"})


def test_what_is_not_given_stays(practice: Practice) -> None:
    row = enquiry(told="six weeks after", note="a friend of Hanne’s")
    change_enquiry(by=SYSTEM, enquiry=row, name="Sunniva B.", where_from="a comment")
    kept = Enquiry.objects.get()
    assert (kept.name, kept.where_from, kept.told, kept.note, kept.phone) == (
        "Sunniva B.", "a comment", "six weeks after", "a friend of Hanne’s", "+353 86 123 4567",
    )  # fmt: skip
    assert entries(row) == [("changed", ["name", "where_from"])]


def test_a_change_that_leaves_no_way_to_reach_her_is_refused(practice: Practice) -> None:
    row = enquiry()
    with pytest.raises(Refused):
        change_enquiry(by=SYSTEM, enquiry=row, phone="")
    assert (Enquiry.objects.get().phone, entries(row)) == ("+353 86 123 4567", [])


def test_a_step_done_makes_place_for_the_next_and_leaves_today(practice: Practice) -> None:
    row = enquiry("Sunniva", next_step="Write back", next_on=d(-2))
    assert [(one.name, one.step, one.day) for one in follow_ups(TODAY)] == [
        ("Sunniva", "Write back", d(-2))
    ]
    set_next_step(by=SYSTEM, enquiry=row, next_step="Call her", next_on=d(3))
    assert (Enquiry.objects.get().next_step, follow_ups(TODAY)) == ("Call her", [])
    assert entries(row) == [("took the next step of", ["next_on", "next_step"])]


def test_closed_with_its_reason_it_is_out_of_the_way_until_it_is_opened_again(
    practice: Practice,
) -> None:
    row = enquiry(next_step="Write back", next_on=d(-2))
    close_enquiry(by=SYSTEM, enquiry=row, why=" never answered ")
    assert (row.state, row.closed_why, follow_ups(TODAY)) == ("closed", "never answered", [])
    for act in (lambda: set_next_step(by=SYSTEM, enquiry=row, next_step="", next_on=None),
                lambda: send_form(by=SYSTEM, enquiry=row)):  # fmt: skip
        with pytest.raises(Refused):
            act()
    reopen_enquiry(by=SYSTEM, enquiry=row)
    assert (row.state, row.closed_why, [one.day for one in follow_ups(TODAY)]) == (
        "open", "", [TODAY],
    )  # fmt: skip
    assert [verb for verb, _ in entries(row)] == ["closed", "opened again"]


def test_it_is_not_closed_without_a_reason(practice: Practice) -> None:
    row = enquiry()
    with pytest.raises(Refused):
        close_enquiry(by=SYSTEM, enquiry=row, why="  ")
    assert Enquiry.objects.get().state == "open"


@pytest.mark.parametrize("state", ["open", "invited", "client"])
def test_only_a_closed_one_is_opened_again(practice: Practice, state: str) -> None:
    with pytest.raises(Refused):
        reopen_enquiry(by=SYSTEM, enquiry=enquiry(state=state))
    assert Enquiry.objects.get().state == state


def test_the_form_goes_out_and_the_step_that_was_due_gives_way(practice: Practice) -> None:
    row = enquiry("Sunniva", email="s@example.org", next_step="Write back", next_on=TODAY)
    made = send_form(by=SYSTEM, enquiry=row)
    assert (made.enquiry, made.name, made.email) == (row, "Sunniva", "s@example.org")
    assert (row.state, row.next_step, row.next_on) == (
        "invited", "Ask whether the form reached her", d(3),
    )  # fmt: skip
    assert [verb for verb, _ in entries(row)] == ["invited"]


def test_a_step_of_a_later_day_stays_and_the_form_is_the_same_while_it_is_open(
    practice: Practice,
) -> None:
    row = enquiry(next_step="Call her", next_on=d(1))
    forms = {send_form(by=SYSTEM, enquiry=row).pk, send_form(by=SYSTEM, enquiry=row).pk}
    assert (len(forms), row.next_step, row.next_on) == (1, "Call her", d(1))


def test_she_becomes_the_client_with_her_history(practice: Practice) -> None:
    row = enquiry(where_from="a comment", class_title="Core reset", next_on=d(-1), next_step="Call",
                  state="closed", closed_why="not now")  # fmt: skip
    her = factories.client("Sunniva B.")
    became_client(by=SYSTEM, enquiry=row, client=her)
    became_client(by=SYSTEM, enquiry=row, client=her)
    assert (row.state, row.client, row.closed_why, row.where_from) == (
        "client", her, "", "a comment",
    )  # fmt: skip
    assert entries(row) == [("became a client", ["client", "closed_why", "state"])]
    assert came_from(her) == "a comment, by the class “Core reset”, on 3 December 2026"
    assert follow_ups(TODAY) == []


def test_nobody_becomes_two_clients(practice: Practice) -> None:
    row = enquiry()
    became_client(by=SYSTEM, enquiry=row, client=factories.client())
    other = factories.client()
    with pytest.raises(Refused):
        became_client(by=SYSTEM, enquiry=row, client=other)
    with pytest.raises(Refused):
        make_client(by=SYSTEM, enquiry=row, name="Sunniva", time_zone="UTC")
    assert Client.objects.filter(enquiries=row).count() == 1


def test_made_a_client_by_hand_what_her_unsent_form_said_is_on_her_record(
    practice: Practice,
) -> None:
    """A warning sign answered on a form that she has not sent holds her from the first moment."""
    row = enquiry("Sunniva")
    form = make_link(by=SYSTEM, enquiry=row)
    keep_age(by=SYSTEM, intake=form, born=TODAY.replace(year=1994))
    keep_step(by=SYSTEM, intake=form, step=Step.DATES, values={"situation": "carrying"})
    keep_step(by=SYSTEM, intake=form, step=Step.SIGNS, values={"dizzy": "yes"})
    her = make_client(by=SYSTEM, enquiry=row, name="Sunniva", time_zone="Europe/Dublin")
    assert [sign.code for sign in her.signs.all()] == ["dizzy"]
    assert [span.word for span in her.spans.order_by("first")][-1] == "on hold"
    assert (Intake.objects.get().client, Enquiry.objects.get().client) == (her, her)


def test_nothing_of_a_client_that_cannot_be_is_kept(practice: Practice) -> None:
    from clients.rules.pregnancies import PregnancyFacts

    row = enquiry()
    with pytest.raises(Refused):
        make_client(
            by=SYSTEM, enquiry=row, name="Sunniva", time_zone="UTC",
            pregnancy=PregnancyFacts(due=d(400)),
        )  # fmt: skip
    assert (Client.objects.count(), Enquiry.objects.get().state) == (0, "open")
