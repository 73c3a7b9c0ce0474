"""An enquiry added in a moment, changed, followed, closed, and made a client: the pages of it."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.test import Client as Browser

from clients.models import Client, Enquiry, Intake
from coach.practice.models import AuditEntry, Practice
from content.models import State
from tests import factories
from tests.clients.enquiring import TODAY, d, enquiry
from tests.clients.pages import read

PAGE, ADD = "/clients/enquiries/", "/clients/enquiries/add/"
# What the form sends when nothing but a name and a way is written: the rest as it stands.
QUICK = {
    "name": "Sunniva", "reach": "@sunniva.moves", "next_step": "Write back", "when": "1",
    "where": "", "where_else": "", "class_key": "",
}  # fmt: skip


def kept() -> Enquiry:
    return Enquiry.objects.get()


def test_a_name_and_a_way_to_reach_her_are_enough(browser: Browser, practice: Practice) -> None:
    answer = browser.post(ADD, QUICK, follow=True)
    assert answer.redirect_chain == [(PAGE, 302)]
    row = kept()
    assert (row.name, row.handle, row.state, row.came_on, row.next_step, row.next_on) == (
        "Sunniva", "@sunniva.moves", "open", TODAY, "Write back", d(1),
    )  # fmt: skip
    assert "Sunniva is kept." in read(answer)


def test_the_form_stands_at_writing_back_tomorrow(browser: Browser, practice: Practice) -> None:
    source = browser.get(ADD).content.decode()
    assert 'value="Write back"' in source
    assert 'value="1" autocomplete' not in source
    assert source.count("checked") == 2
    assert browser.get(ADD).context["form"].initial == {
        "next_step": "Write back", "when": "1", "where": "",
    }  # fmt: skip


def test_everything_that_is_known_is_kept(browser: Browser, practice: Practice) -> None:
    item = factories.fitness_class("Core reset", state=State.PUBLISHED)
    browser.post(ADD, {
        **QUICK, "reach": "sunniva@example.org", "where_else": "the pool", "class_key": item.uid,
        "told": "about 20 weeks", "told_due": "2027-04-20", "note": "a friend of Hanne’s",
        "next_step": "Call her", "when": "7", "next_on": "2026-12-24",
    })  # fmt: skip
    row = kept()
    assert (row.email, row.handle, row.where_from, row.class_uid, row.class_title) == (
        "sunniva@example.org", "", "the pool", item.uid, "Core reset",
    )  # fmt: skip
    assert (row.told, row.told_due, row.note, row.next_step, row.next_on) == (
        "about 20 weeks", date(2027, 4, 20), "a friend of Hanne’s", "Call her", d(21),
    )  # fmt: skip
    entry = AuditEntry.objects.get(verb="added")
    assert ("told" in entry.fields, "20 weeks" in str(entry.__dict__)) == (True, False)


def test_where_from_is_learned_from_former_ones(browser: Browser, practice: Practice) -> None:
    for place in ("the pool", "the pool", "a comment"):
        enquiry(where_from=place)
    choices = [value for value, _ in browser.get(ADD).context["form"].fields["where"].choices]
    assert choices == ["the pool", "a comment", "a message", "recommended", ""]
    browser.post(ADD, {**QUICK, "where": "the pool"})
    assert Enquiry.objects.get(name="Sunniva").where_from == "the pool"


REFUSED = [
    ({"name": " "}, "name", "Write her name, or what you call her."),
    ({"name": "42"}, "name", "Write her name, or what you call her."),
    ({"reach": ""}, "reach", "Write one way to reach her."),
    ({"reach": "sunniva@example"}, "reach",
     "That looks like an e-mail address, and is not a whole one."),
    ({"when": "2"}, "when", "Select a valid choice. 2 is not one of the available choices."),
    ({"next_on": "soon"}, "next_on", "Write a day that there is, like 21/02/2027."),
    ({"next_on": "2026-12-02"}, "next_on", "That day is over."),
    ({"next_step": "", "next_on": "2026-12-05"}, "next_step",
     "Say what is to be done on that day."),
    ({"class_key": "0"}, "class_key", "Choose one of the classes."),
    ({"told_due": "2027-12-01"}, "told_due", "That is more than 40 weeks ahead: check it."),
    ({"told": "x" * 201}, "told",
     "Ensure this value has at most 200 characters (it has 201)."),
]  # fmt: skip


@pytest.mark.parametrize(("sent", "field", "sentence"), REFUSED)
def test_what_cannot_be_is_said_beside_it_and_what_was_typed_stays(
    browser: Browser, practice: Practice, sent: dict[str, str], field: str, sentence: str
) -> None:
    answer = browser.post(ADD, {**QUICK, "where_else": "the pool", **sent})
    assert answer.status_code == 422
    assert dict(answer.context["form"].errors) == {field: [sentence]}
    source = answer.content.decode()
    assert (f'id="id_{field}_error"' in source, 'value="the pool"' in source) == (True, True)
    assert (Enquiry.objects.count(), AuditEntry.objects.count()) == (0, 0)


def test_a_button_tapped_twice_says_that_she_is_there(browser: Browser, practice: Practice) -> None:
    browser.post(ADD, QUICK)
    answer = browser.post(ADD, QUICK)
    assert answer.context["form"].errors["name"] == ["Sunniva is among the enquiries already."]
    assert kept().name == "Sunniva"


def test_no_form_asks_about_health(browser: Browser, practice: Practice) -> None:
    row = enquiry()
    asked = set()
    for address in (ADD, f"{PAGE}{row.pk}/edit/"):
        asked |= set(browser.get(address).context["form"].fields)
    assert asked == {
        "name", "reach", "phone", "email", "handle", "came_on", "where", "where_else", "class_key",
        "told", "told_due", "note", "next_step", "when", "next_on",
    }  # fmt: skip


def test_who_may_not_see_the_stage_is_not_asked_for_it_and_cannot_change_it(
    people: Any, signed_in: Any
) -> None:
    row = enquiry("Sunniva", told="about 20 weeks", told_due=d(140), note="a friend")
    browser = signed_in(people["assistant"])
    sent = {"name": "Sunniva B.", "phone": "123456", "came_on": "2026-12-03", "told": "gone",
            "told_due": "", "note": "gone", "where_else": "the pool"}  # fmt: skip
    for address in (ADD, f"{PAGE}{row.pk}/edit/"):
        fields = browser.get(address).context["form"].fields
        assert not {"told", "told_due", "note"} & set(fields)
    assert browser.post(f"{PAGE}{row.pk}/edit/", sent).status_code == 302
    now = kept()
    assert (now.name, now.where_from, now.told, now.told_due, now.note) == (
        "Sunniva B.", "the pool", "about 20 weeks", d(140), "a friend",
    )  # fmt: skip


def test_the_change_form_shows_what_is_kept_and_sent_back_changes_nothing(
    browser: Browser, practice: Practice
) -> None:
    for place in 2 * "abcde":
        enquiry(where_from=place)
    row = enquiry(
        "Sunniva", email="s@example.org", handle="@s", where_from="an old place", told="20 weeks",
        class_uid="00000000-0000-0000-0000-000000000007", class_title="Gone since",
        told_due=d(140), note="a friend",
    )  # fmt: skip
    form = browser.get(f"{PAGE}{row.pk}/edit/").context["form"]
    sent = {name: form[name].value() for name in form.fields}
    assert ("Gone since" in str(form["class_key"]), sent["where_else"]) == (True, "an old place")
    sent = {name: "" if value is None else value for name, value in sent.items()}
    assert browser.post(f"{PAGE}{row.pk}/edit/", sent).status_code == 302
    assert list(AuditEntry.objects.get(verb="changed").fields) == []
    row.refresh_from_db()
    assert (row.class_title, row.where_from, row.told_due) == (
        "Gone since", "an old place", d(140),
    )  # fmt: skip


CHANGES = [
    ({"phone": "call me"}, "phone", "Write digits and spaces, such as +353 86 123 4567."),
    ({"phone": ""}, "phone", "Write one way to reach her."),
    ({"email": "s@"}, "email", "That is no whole e-mail address."),
    ({"came_on": "2026-12-04"}, "came_on", "That day has not come yet."),
    ({"came_on": ""}, "came_on", "Write that day."),
]


@pytest.mark.parametrize(("sent", "field", "sentence"), CHANGES)
def test_a_change_that_cannot_be_is_said_beside_its_field(
    browser: Browser, practice: Practice, sent: dict[str, str], field: str, sentence: str
) -> None:
    row = enquiry("Sunniva")
    whole = {"name": "Sunniva B.", "phone": "123456", "came_on": "2026-12-03", **sent}
    answer = browser.post(f"{PAGE}{row.pk}/edit/", whole)
    assert (answer.status_code, dict(answer.context["form"].errors)) == (422, {field: [sentence]})
    assert ('value="Sunniva B."' in answer.content.decode(), kept().name) == (True, "Sunniva")


def test_the_note_is_recorded_as_looked_at_and_nothing_else(
    browser: Browser, practice: Practice
) -> None:
    browser.get(f"{PAGE}{enquiry().pk}/")
    assert AuditEntry.objects.count() == 0
    browser.get(f"{PAGE}{enquiry(note='a friend').pk}/")
    assert [(entry.verb, entry.fields) for entry in AuditEntry.objects.all()] == [
        ("looked at", ["note"])
    ]


def test_a_step_done_is_followed_by_the_next(browser: Browser, practice: Practice) -> None:
    row = enquiry("Sunniva", next_step="Write back", next_on=d(-2))
    here = f"{PAGE}{row.pk}/"
    assert "Next 2 days late Write back Tuesday 1 December" in read(browser.get(here))
    browser.post(f"{here}next/", {"next_step": "Call her", "when": "3"})
    assert (kept().next_step, kept().next_on) == ("Call her", d(3))
    wrong = browser.post(f"{here}next/", {"next_step": "Ask", "next_on": "2026-01-01"})
    assert (wrong.status_code, "That day is over." in read(wrong), kept().next_step) == (
        422, True, "Call her",
    )  # fmt: skip
    assert 'value="Ask"' in wrong.content.decode()
    browser.post(f"{here}next/", {"next_step": "", "when": "3"})
    assert (kept().next_step, kept().next_on) == ("", None)


def test_closed_with_a_reason_and_opened_again(browser: Browser, practice: Practice) -> None:
    row = enquiry("Sunniva", next_on=d(-2), next_step="Write back")
    here = f"{PAGE}{row.pk}/"
    wrong = browser.post(f"{here}close/", {"why": " "})
    assert (wrong.status_code, wrong.context["close"].errors["why"]) == (422, ["Say why."])
    browser.post(f"{here}close/", {"why": "chose somebody else"})
    text = read(browser.get(here))
    assert ("Closed because chose somebody else" in text, "Send the form" in text) == (True, False)
    browser.post(f"{here}reopen/")
    assert (kept().state, kept().next_step, kept().next_on) == ("open", "Write back", TODAY)


def test_one_tap_makes_her_form_and_leads_to_its_address(
    browser: Browser, practice: Practice
) -> None:
    row = enquiry("Sunniva", email="s@example.org")
    answer = browser.post(f"{PAGE}{row.pk}/form/", follow=True)
    made = Intake.objects.get()
    assert answer.redirect_chain == [(f"/clients/forms/{made.pk}/", 302)]
    assert (made.enquiry, kept().state) == (row, "invited")


def test_no_form_goes_to_one_that_is_closed(browser: Browser, practice: Practice) -> None:
    row = enquiry(state="closed")
    answer = browser.post(f"{PAGE}{row.pk}/form/", follow=True)
    assert answer.redirect_chain == [(f"{PAGE}{row.pk}/", 302)]
    assert ("She is no open enquiry any more." in read(answer), Intake.objects.count()) == (True, 0)


CLIENT = {"name": "Sunniva B.", "phone": "+353 86 123 4567", "email": "",
          "time_zone": "Europe/Dublin", "situation": "", "note": ""}  # fmt: skip


def test_made_a_client_by_the_usual_form_with_what_is_known_filled_in(
    browser: Browser, practice: Practice
) -> None:
    row = enquiry("Sunniva", told="about 20 weeks", told_due=d(140), handle="@s")
    add = f"/clients/add/?enquiry={row.pk}"
    shown = browser.get(add)
    contact = shown.context["contact"]
    assert [contact[name].value() for name in ("name", "phone")] == ["Sunniva", "+353 86 123 4567"]
    assert "As she told it: about 20 weeks · due 22 April 2027." in read(shown)
    assert shown.context["form"]["situation"].value() in (None, "")
    browser.post(add, CLIENT)
    her = Client.objects.get()
    assert (her.name, her.pregnancies.count(), kept().client, kept().state) == (
        "Sunniva B.", 0, her, "client",
    )  # fmt: skip
    again = browser.post(add, CLIENT)
    assert (again["Location"], Client.objects.count()) == (f"/clients/{her.pk}/", 1)
    assert f"/clients/{her.pk}/" in browser.get(f"{PAGE}{row.pk}/").content.decode()


def test_a_client_that_cannot_be_leaves_the_enquiry_open(
    browser: Browser, practice: Practice
) -> None:
    row = enquiry("Sunniva")
    sent = {**CLIENT, "situation": "delivered", "ended": "2027-01-01"}
    answer = browser.post(f"/clients/add/?enquiry={row.pk}", sent)
    assert (answer.status_code, Client.objects.count(), kept().state) == (422, 0, "open")
    assert 'value="Sunniva B."' in answer.content.decode()


@pytest.mark.parametrize("asked", ["x", "-1", "999", "9" * 40, "²", ""])
def test_an_address_that_names_no_enquiry_is_the_usual_form(
    browser: Browser, practice: Practice, asked: str
) -> None:
    answer = browser.get(f"/clients/add/?enquiry={asked}")
    assert (answer.status_code, answer.context["enquiry"]) == (200, None)


def test_an_assistant_makes_a_client_without_reading_what_she_told(
    people: Any, signed_in: Any
) -> None:
    row = enquiry("Sunniva", told="about 20 weeks")
    browser = signed_in(people["assistant"])
    add = f"/clients/add/?enquiry={row.pk}"
    assert "20 weeks" not in read(browser.get(add))
    browser.post(add, CLIENT)
    assert kept().client == Client.objects.get()
