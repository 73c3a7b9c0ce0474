"""Adding a client, and changing how to reach her."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.test import Client as Browser

from clients.models import Client
from coach.practice.models import AuditEntry
from tests import factories

NAMED = {"name": "Meret A.", "time_zone": "Asia/Tokyo"}
DATED = {"situation": "carrying", "dated_by": "scan", "day": "2026-09-01", "age": "12w3d"}


def errors(answer: Any) -> dict[str, list[str]]:
    forms = (answer.context.get(name) for name in ("contact", "form"))
    return {name: found for form in forms if form for name, found in form.errors.items()}


def test_a_name_and_a_time_zone_are_enough(browser: Browser, practice: Any) -> None:
    answer = browser.post("/clients/add/", NAMED, follow=True)
    added = Client.objects.get()
    assert (added.name, added.time_zone, added.pregnancies.count()) == ("Meret A.", "Asia/Tokyo", 0)
    assert answer.redirect_chain == [(f"/clients/{added.pk}/", 302)]
    assert "Meret A. is on the roster." in answer.content.decode()


def test_the_practices_zone_is_proposed(browser: Browser, practice: Any) -> None:
    text = browser.get("/clients/add/").content.decode()
    assert '<option value="Europe/Dublin" selected>Dublin</option>' in text


FIRST = [
    # sent                                                       then: due, ended, ending, quiet
    (DATED, (date(2027, 3, 13), None, "", False)),  # 12w3d on 1 September: 193 days are left
    ({"situation": "carrying", "dated_by": "not-known"}, (None, None, "", False)),
    ({"situation": "delivered", "ended": "2026-10-01", "mode": "assisted", "count": "1"},
     (None, date(2026, 10, 1), "birth", False)),
    ({"situation": "lost", "ended": "01/10/2026"}, (None, date(2026, 10, 1), "loss", True)),
]  # fmt: skip


@pytest.mark.parametrize(("sent", "then"), FIRST)
def test_her_dates_can_be_added_at_once(
    browser: Browser, practice: Any, sent: dict[str, str], then: tuple[Any, ...]
) -> None:
    browser.post("/clients/add/", {**NAMED, **sent})
    kept = Client.objects.get().pregnancies.get()
    assert (kept.due, kept.ended, kept.ending, kept.client.quiet) == then


WRONG = [
    # sent                                        the field, and words of the sentence beside it
    ({"name": "  "}, "name", "Write her name"),
    ({"name": "…"}, "name", "Write her name"),
    ({"time_zone": "Mars/Olympus"}, "time_zone", "not one of the available"),
    ({"phone": "call me"}, "phone", "Write digits"),
    ({"email": "meret"}, "email", "valid email"),
    ({"situation": "carrying"}, "dated_by", "Choose how it is known"),
    ({**DATED, "day": ""}, "day", "Write that day"),
    ({**DATED, "day": "31/02/2026"}, "day", "a day that there is"),
    ({**DATED, "age": "early"}, "age", "like this: 21w4d"),
    ({**DATED, "dated_by": "clinician", "day": "2030-01-01"}, "day", "more than 40 weeks ahead"),
    ({**DATED, "dated_by": "clinician", "day": "2025-01-01"}, "day", "over 300 days ago"),
    ({**DATED, "dated_by": "last-period", "day": "9999-12-01"}, "day", "check the year"),
    ({**DATED, "how_many": "0"}, "how_many", "greater than or equal to 1"),
    ({"situation": "lost"}, "ended", "Say on which day"),
    ({"situation": "lost", "ended": "2026-12-04"}, "ended", "not come yet"),
    ({"situation": "gone"}, "situation", "not one of the available"),
]


@pytest.mark.parametrize(("sent", "field", "words"), WRONG)
def test_what_is_wrong_is_said_beside_its_field_and_nothing_typed_is_lost(
    browser: Browser, practice: Any, sent: dict[str, str], field: str, words: str
) -> None:
    typed = {**NAMED, "phone": "086 1", "note": "prefers mornings", **sent}
    answer = browser.post("/clients/add/", typed)
    assert answer.status_code == 422
    assert list(errors(answer)) == [field]
    assert words in " ".join(errors(answer)[field])
    text = answer.content.decode()
    assert [value for value in ("Meret A.", "prefers mornings") if value not in text] == (
        ["Meret A."] if field == "name" else []
    )
    assert (Client.objects.count(), AuditEntry.objects.count()) == (0, 0)


def test_a_step_asks_for_the_rest_and_keeps_nothing(browser: Browser, practice: Any) -> None:
    whole = browser.post("/clients/add/", {**NAMED, **DATED, "step": "1"})
    assert (whole.status_code, errors(whole), Client.objects.count()) == (200, {}, 0)
    text = whole.content.decode()
    assert 'value="Meret A."' in text
    assert 'value="12w3d"' in text
    assert "Due date Saturday 13 March 2027: 25w5d today." in text


def test_htmx_gets_the_fields_alone_or_the_sentence_alone(browser: Browser, practice: Any) -> None:
    for target, begins in (("dating", '<div id="dating">'), ("worked-out", '<div id="worked-out"')):
        answer = browser.post(
            "/clients/add/",
            {**NAMED, **DATED, "step": "1"},
            headers={"HX-Request": "true", "HX-Target": target},
        )
        text = answer.content.decode().strip()
        assert (text.startswith(begins), "<html" in text) == (True, False)
        assert "Due date Saturday 13 March 2027: 25w5d today." in text


def test_what_was_typed_under_another_answer_comes_back_with_it(
    browser: Browser, practice: Any
) -> None:
    headers = {"HX-Request": "true", "HX-Target": "dating"}
    sent = {**DATED, "situation": "", "step": "1"}
    text = browser.post("/clients/add/", sent, headers=headers).content.decode()
    assert '<input type="hidden" name="age" value="12w3d">' in text
    assert '<input type="hidden" name="day" value="2026-09-01">' in text


def test_contact_is_changed_and_the_look_at_the_note_recorded(
    browser: Browser, practice: Any
) -> None:
    client = factories.client("Meret A.", note="prefers mornings")
    assert "prefers mornings" in browser.get(f"/clients/{client.pk}/edit/").content.decode()
    sent = {**NAMED, "phone": " +353  86 123 ", "note": "prefers evenings"}
    browser.post(f"/clients/{client.pk}/edit/", sent)
    kept = Client.objects.get()
    assert (kept.phone, kept.note, kept.time_zone) == (
        "+353 86 123", "prefers evenings", "Asia/Tokyo",
    )  # fmt: skip
    trail = AuditEntry.objects.order_by("pk").values_list("verb", "fields")
    assert list(trail) == [("looked at", ["note"]), ("changed", ["note", "phone", "time_zone"])]
