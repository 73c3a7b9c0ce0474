"""Who sees and changes what of a client: every page, every role, to the letter of the table."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from clients.models import Client, Pregnancy
from coach.practice.models import AuditEntry
from tests import factories

ROLES = ["owner", "covering coach", "assistant", "bookkeeper"]


@pytest.fixture
def meret(practice: Any) -> Client:
    return factories.client("Meret A.", phone="+353 86 123", note="sickle trait")


@pytest.fixture
def running(meret: Client) -> Pregnancy:
    return factories.pregnancy(meret, due=date(2027, 2, 21), dated_by="scan", expected=2)


CONTACT = ("Meret A.", "+353 86 123")
STAGE = ("28 weeks and 4 days", "21 February 2027")
CAUTION = ("caution",)
HEALTH = ("sickle trait", "by scan", "Babies expected", "Quiet is off", "What happened")
CLIENT_PAGE = {
    "owner": (*CONTACT, *STAGE, *CAUTION, *HEALTH, "edit/", "pause", "turn on"),
    "covering coach": (*CONTACT, *STAGE, *CAUTION),
    "assistant": (*CONTACT, *CAUTION, "edit/", "pause"),
    "bookkeeper": CONTACT,
}
EVERYTHING = CLIENT_PAGE["owner"]


@pytest.mark.parametrize("role", ROLES)
def test_the_client_page_shows_each_role_its_facts_and_no_other(
    people: Any, signed_in: Any, meret: Client, running: Pregnancy, role: str
) -> None:
    text = signed_in(people[role]).get(f"/clients/{meret.pk}/").content.decode()
    assert tuple(words for words in EVERYTHING if words in text) == CLIENT_PAGE[role]
    assert AuditEntry.objects.filter(verb="looked at").count() == (role == "owner")


ROSTER = {
    "owner": (
        "Meret A.",
        "28w4d",
        "trimester 3 · due 21 February 2027",
        "By stage",
        "Add a client",
    ),
    "covering coach": ("Meret A.", "28w4d", "trimester 3 · due 21 February 2027", "By stage"),
    "assistant": ("Meret A.", "Add a client"),
    "bookkeeper": ("Meret A.",),
}


@pytest.mark.parametrize("role", ROLES)
def test_the_roster_shows_each_role_its_facts_and_no_other(
    people: Any, signed_in: Any, running: Pregnancy, role: str
) -> None:
    text = signed_in(people[role]).get("/clients/").content.decode()
    assert tuple(words for words in ROSTER["owner"] if words in text) == ROSTER[role]
    assert ("id_stage" in text, 'value="weeks"' in text) == ("28w4d" in text, "28w4d" in text)


@pytest.mark.parametrize("role", ["assistant", "bookkeeper"])
@pytest.mark.parametrize("asked", ["?stage=t1", "?stage=t3", "?sort=weeks", "?sort=stage"])
def test_no_filter_and_no_order_tells_a_stage_to_who_may_not_see_it(
    people: Any, signed_in: Any, running: Pregnancy, role: str, asked: str
) -> None:
    factories.pregnancy(factories.client("Aoife"), due=date(2027, 7, 1))
    answer = signed_in(people[role]).get(f"/clients/{asked}")
    assert [line.person.name for line in answer.context["page"]] == ["Aoife", "Meret A."]


def test_a_coach_without_health_cannot_tell_a_birth_from_a_loss(
    people: Any, signed_in: Any, practice: Any
) -> None:
    pages = []
    for ending in ("birth", "loss"):
        client = factories.client("Same", quiet=ending == "loss")
        factories.pregnancy(
            client, due=date(2026, 10, 1), ended=date(2026, 10, 1), ending=ending,
            birth_mode="vaginal" if ending == "birth" else "",
        )  # fmt: skip
        browser = signed_in(people["covering coach"])
        answers = [browser.get(path) for path in (f"/clients/{client.pk}/", "/clients/")]
        shown = [answer.content.decode().split("main>")[0].split("<main")[1] for answer in answers]
        pages.append([text.replace(f"/{client.pk}/", "/") for text in shown])
        Client.objects.all().delete()
    assert pages[0] == pages[1]
    assert "9 weeks since" in pages[0][0]


PAGES = {
    # page, method:                 owner, coach, assistant, bookkeeper, leaver, nobody
    ("", "get"): (200, 200, 200, 200, 302, 302),
    ("{c}/", "get"): (200, 200, 200, 200, 302, 302),
    ("add/", "get"): (200, 403, 200, 403, 302, 302),
    ("add/", "post"): (422, 403, 422, 403, 302, 302),
    ("{c}/edit/", "get"): (200, 403, 200, 403, 302, 302),
    ("{c}/edit/", "post"): (422, 403, 422, 403, 302, 302),
    ("{c}/standing/", "post"): (400, 403, 400, 403, 302, 302),
    ("{c}/quiet/", "post"): (400, 403, 403, 403, 302, 302),
    ("{c}/dates/add/", "get"): (200, 403, 403, 403, 302, 302),
    ("{c}/dates/add/", "post"): (422, 403, 403, 403, 302, 302),
    ("{c}/dates/{p}/", "get"): (200, 403, 403, 403, 302, 302),
    ("{c}/dates/{p}/", "post"): (422, 403, 403, 403, 302, 302),
    ("{c}/dates/{p}/end/", "get"): (200, 403, 403, 403, 302, 302),
    ("{c}/dates/{p}/end/", "post"): (422, 403, 403, 403, 302, 302),
}


@pytest.mark.parametrize(("page", "method"), PAGES)
def test_each_page_lets_in_whom_the_table_lets(
    people: Any, signed_in: Any, meret: Client, running: Pregnancy, page: str, method: str
) -> None:
    path = f"/clients/{page.format(c=meret.pk, p=running.pk)}"
    sent = {"none of its fields": "1"}
    got = tuple(
        getattr(signed_in(person), method)(path, sent if method == "post" else {}).status_code
        for person in people.values()
    )
    assert got == PAGES[page, method]


def test_an_assistant_changes_contact_and_cannot_smuggle_in_a_note_or_dates(
    people: Any, signed_in: Any, meret: Client
) -> None:
    browser = signed_in(people["assistant"])
    sent = {"name": "Meret B.", "time_zone": "Europe/Paris", "note": "x", "quiet": "on"}
    browser.post(f"/clients/{meret.pk}/edit/", sent)
    kept = Client.objects.get(pk=meret.pk)
    assert (kept.name, kept.time_zone, kept.note, kept.quiet) == (
        "Meret B.", "Europe/Paris", "sickle trait", False,
    )  # fmt: skip
    dates = {"situation": "carrying", "dated_by": "clinician", "day": "2027-02-21"}
    browser.post("/clients/add/", {"name": "Tal R.", "time_zone": "Europe/Paris", **dates})
    added = Client.objects.get(name="Tal R.")
    assert (added.pregnancies.count(), added.note) == (0, "")


def test_an_assistant_sees_no_note_on_the_form(people: Any, signed_in: Any, meret: Client) -> None:
    text = signed_in(people["assistant"]).get(f"/clients/{meret.pk}/edit/").content.decode()
    assert ("sickle" in text, "id_note" in text) == (False, False)
    assert AuditEntry.objects.filter(verb="looked at").count() == 0


def test_a_pregnancy_is_found_under_its_own_client_only(browser: Any, running: Pregnancy) -> None:
    other = factories.client("Tal R.")
    assert browser.get(f"/clients/{other.pk}/dates/{running.pk}/").status_code == 404
    assert browser.get(f"/clients/{other.pk}/dates/{running.pk}/end/").status_code == 404
