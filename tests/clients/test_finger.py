"""How wide a finger is: of somebody of the practice, of a client; fingers stay fingers without."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.test import Client as Browser

from clients import actions
from clients.models import Client, FingerWidth
from clients.queries.measuring import finger_of
from clients.rules.assessment import Measured
from clients.rules.measuring import CLINICIAN, COACH, FINGERS, HERSELF, MM
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry, Practice, User
from tests.clients.pages import read, too_much
from tests.clients.readying import TODAY, a_client, d


@pytest.fixture
def orla(practice: Practice) -> Client:
    return a_client()


def keep(mm: int = 16, on: date = TODAY, **of: Any) -> FingerWidth:
    return actions.set_finger(by=SYSTEM, mm=mm, measured_on=on, **of)


def trail() -> list[tuple[str, str, list[str]]]:
    rows = AuditEntry.objects.exclude(verb="looked at").order_by("pk")
    return [(one.verb, one.subject_kind, one.fields) for one in rows]


def test_two_and_a_half_fingers_of_16_mm_are_40_mm_and_without_a_width_stay_fingers() -> None:
    """No standard says how wide a finger is (it varies by person), so hers is needed."""
    one = Measured(1, TODAY, {"width-navel-rest": 2.5}, method="fingers", finger_mm=16)
    assert (one.shown("navel"), one.shown_in) == (40, MM)
    other = Measured(1, TODAY, {"width-navel-rest": 2.5}, method="fingers")
    assert (other.shown("navel"), other.shown_in) == (2.5, FINGERS)


def test_each_person_has_her_own(orla: Client, owner: User) -> None:
    keep(16, user=owner)
    keep(14, client=orla)
    found = {who: finger_of(who, user=owner, client=orla) for who in (COACH, HERSELF, CLINICIAN)}
    assert found == {COACH: 16, HERSELF: 14, CLINICIAN: None}


def test_a_second_width_takes_the_place_of_the_first(orla: Client) -> None:
    keep(14, d(-30), client=orla)
    keep(15, client=orla)
    keep(15, client=orla)
    row = FingerWidth.objects.get()
    assert (row.mm, row.measured_on) == (15, TODAY)
    assert trail() == [
        ("recorded", "clients.fingerwidth", ["measured_on", "mm"]),
        ("changed", "clients.fingerwidth", ["measured_on", "mm"]),
    ]


@pytest.mark.parametrize(
    ("mm", "on", "fields"),
    [
        (8, d(0), []),
        (30, d(0), []),
        (7, d(0), ["mm"]),
        (31, d(0), ["mm"]),
        (16, d(1), ["measured_on"]),
        (16, date(1966, 1, 1), ["measured_on"]),
        (2, d(1), ["mm", "measured_on"]),
    ],
)
def test_a_width_that_no_finger_has_and_a_day_to_come_are_refused(
    orla: Client, mm: int, on: date, fields: list[str]
) -> None:
    found: list[str] = []
    try:
        keep(mm, on, client=orla)
    except actions.Refused as refused:
        found = [one.field for one in refused.problems]
    assert (found, FingerWidth.objects.count()) == (fields, 0 if fields else 1)


def test_it_is_the_finger_of_one_person(orla: Client, owner: User) -> None:
    for of in ({}, {"user": owner, "client": orla}):
        with pytest.raises(ValueError, match="one person"):
            keep(**of)


# The pages


def test_a_client_s_is_kept_on_her_page(browser: Browser, orla: Client) -> None:
    page = f"/clients/{orla.pk}/finger/"
    form = browser.get(page).context["form"]
    assert (form["mm"].value(), form["measured_on"].value()) == (None, TODAY)
    answer = browser.post(page, {"mm": "15", "measured_on": "2026-12-01"})
    assert (answer.status_code, answer["Location"]) == (302, f"/clients/{orla.pk}/")
    assert finger_of(HERSELF, client=orla) == 15
    text = read(browser.get(page))
    assert "Known: 15 mm, measured on 1 December 2026." in text


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"mm": ""}, "mm", "Write how wide it is."),
        ({"mm": "wide"}, "mm", "Write a whole number of millimetres."),
        ({"mm": "7"}, "mm", "From 8 to 30 mm."),
        ({"measured_on": ""}, "measured_on", "Write when it was measured."),
        ({"measured_on": "2026-12-04"}, "measured_on", "A day that has been, up to 40 years ago."),
    ],
)
def test_what_cannot_be_stands_beside_its_field(
    browser: Browser, orla: Client, typed: dict[str, str], field: str, words: str
) -> None:
    sent = {"mm": "15", "measured_on": "2026-12-01", **typed}
    answer = browser.post(f"/clients/{orla.pk}/finger/", sent)
    assert (answer.status_code, dict(answer.context["form"].errors)) == (422, {field: [words]})
    assert FingerWidth.objects.count() == 0


def test_the_coach_s_own_is_kept_with_the_settings(browser: Browser, owner: User) -> None:
    page = "/clients/measuring/"
    answer = browser.post(page, {"mm": "17", "measured_on": "2026-12-01"})
    assert (answer.status_code, finger_of(COACH, user=owner)) == (302, 17)
    wrong = browser.post(page, {"mm": "40", "measured_on": "2026-12-01"})
    assert (wrong.status_code, dict(wrong.context["finger"].errors)) == (
        422, {"mm": ["From 8 to 30 mm."]},
    )  # fmt: skip
    assert dict(wrong.context["form"].errors) == {}


def test_a_quiet_client_s_page_holds_no_word_of_it(browser: Browser, orla: Client) -> None:
    actions.set_quiet(by=SYSTEM, client=orla, quiet=True)
    assert too_much(browser.get(f"/clients/{orla.pk}/finger/")) == []


def test_the_look_is_noted(browser: Browser, orla: Client) -> None:
    browser.get(f"/clients/{orla.pk}/finger/")
    entry = AuditEntry.objects.get(verb="looked at")
    assert (entry.subject_id, entry.fields) == (str(orla.pk), ["finger"])
