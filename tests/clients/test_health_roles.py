"""Who sees what of a client's clearance, limits, signs and assessments: every role."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from clients.models import Client
from coach.practice.models import AuditEntry
from coach.scheduling.values import Limits
from tests import factories
from tests.clients.pages import clearance_with_letter, read
from tests.factories_clearance import assessment, clearance, screening, sign

ROLES = ["owner", "covering coach", "assistant", "bookkeeper"]


@pytest.fixture
def meret(practice: Any) -> Client:
    """A letter in force with a limit, an answered sign, answers and an assessment."""
    client = factories.client("Meret A.")
    factories.pregnancy(client, due=date(2027, 2, 21))
    answered = sign(client, date(2026, 11, 2), code="headache", text="since Sunday")
    clearance(
        client, date(2026, 11, 20), answers=(answered.pk,), until=date(2026, 12, 20),
        word="limits", limits=Limits(not_lying_flat=True), clinician="Imelda Roe", note="by post",
    )  # fmt: skip
    screening(client, date(2026, 11, 20))
    assessment(client, date(2026, 11, 24), width_navel_rest=34)
    return client


WORD = ("Yes, with limits", "not medical advice")
LIMITS = ("Not lying flat", "until 20 December 2026")
HEALTH = ("Imelda Roe", "headache", "since Sunday", "By post", "34 mm", "At the navel",
          "What happened", "Next:", "Warning sign", "Assess", "withdraw")  # fmt: skip
SEEN = {
    "owner": (*WORD, *LIMITS, *HEALTH),
    "covering coach": (*WORD, *LIMITS),
    "assistant": WORD,
    "bookkeeper": (),
}


@pytest.mark.parametrize("role", ROLES)
def test_her_page_shows_each_role_its_facts_and_no_other(
    people: Any, signed_in: Any, meret: Client, role: str
) -> None:
    text = read(signed_in(people[role]).get(f"/clients/{meret.pk}/"))
    assert tuple(words for words in SEEN["owner"] if words in text) == SEEN[role]


@pytest.mark.parametrize("role", ROLES)
def test_a_hold_tells_who_may_not_know_why_nothing_but_the_word(
    people: Any, signed_in: Any, meret: Client, role: str
) -> None:
    sign(meret, date(2026, 12, 2), code="breath")
    text = read(signed_in(people[role]).get(f"/clients/{meret.pk}/"))
    told = tuple(words for words in ("On hold", "breath", "What mends it") if words in text)
    wanted = {"owner": ("On hold", "breath", "What mends it"), "bookkeeper": ()}
    assert told == wanted.get(role, ("On hold",))


@pytest.mark.parametrize("role", ROLES)
def test_the_register_shows_each_role_its_facts_and_no_other(
    people: Any, signed_in: Any, meret: Client, role: str
) -> None:
    answer = signed_in(people[role]).get("/clients/clearance/")
    words = ("Yes, with limits", "28w4d", "Letters that run out", "20 Dec")
    wanted = {"owner": words, "covering coach": words, "assistant": words[:1]}
    assert tuple(word for word in words if word in read(answer)) == wanted.get(role, ())
    assert answer.status_code == (403 if role == "bookkeeper" else 200)


@pytest.mark.parametrize("role", ROLES)
def test_the_roster_tells_the_word_to_whom_the_table_lets(
    people: Any, signed_in: Any, meret: Client, role: str
) -> None:
    text = read(signed_in(people[role]).get("/clients/?find=meret"))
    knows = role != "bookkeeper"
    assert (text.count("Meret A. yes, with limits"), "Go-ahead" in text) == (knows, knows)


PAGES = {
    # page, method:                        owner, coach, assistant, bookkeeper, leaver, nobody
    ("clearance/", "get"): (200, 200, 200, 403, 302, 302),
    ("{c}/clearance/add/", "get"): (200, 403, 403, 403, 302, 302),
    ("{c}/clearance/add/", "post"): (422, 403, 403, 403, 302, 302),
    ("{c}/clearance/{l}/withdraw/", "get"): (200, 403, 403, 403, 302, 302),
    ("{c}/clearance/{l}/withdraw/", "post"): (422, 403, 403, 403, 302, 302),
    ("{c}/letters/{l}/", "get"): (200, 403, 403, 403, 302, 302),
    ("{c}/signs/add/", "get"): (200, 403, 403, 403, 302, 302),
    ("{c}/signs/add/", "post"): (422, 403, 403, 403, 302, 302),
    ("{c}/signs/{s}/", "get"): (200, 403, 403, 403, 302, 302),
    ("{c}/assess/", "get"): (200, 403, 403, 403, 302, 302),
    ("{c}/assess/", "post"): (405, 405, 405, 405, 302, 302),
}


@pytest.mark.parametrize(("page", "method"), PAGES)
def test_each_page_lets_in_whom_the_table_lets(
    people: Any, signed_in: Any, meret: Client, page: str, method: str
) -> None:
    rows = {"l": clearance_with_letter(meret).pk, "s": meret.signs.get().pk}
    path = f"/clients/{page.format(c=meret.pk, **rows)}"
    sent = {"none of its fields": "1"} if method == "post" else {}
    got = tuple(
        getattr(signed_in(person), method)(path, sent).status_code for person in people.values()
    )
    assert got == PAGES[page, method]


@pytest.mark.parametrize("page", ["{c}/", "{c}/clearance/add/", "{c}/signs/add/", "{c}/signs/{s}/",
                                  "{c}/clearance/{l}/withdraw/"])  # fmt: skip
def test_every_page_of_her_health_leaves_one_look_in_the_trail(
    browser: Any, owner: Any, meret: Client, page: str
) -> None:
    rows = {"l": clearance_with_letter(meret).pk, "s": meret.signs.get().pk}
    before = AuditEntry.objects.count()
    browser.get(f"/clients/{page.format(c=meret.pk, **rows)}")
    assert AuditEntry.objects.count() == before + 1
    assert (AuditEntry.objects.latest("pk").verb, AuditEntry.objects.latest("pk").actor) == (
        "looked at", owner,
    )  # fmt: skip


@pytest.mark.parametrize("page", ["", "signs/add/", "assess/", "clearance/add/"])
def test_no_page_ever_says_yes_or_cleared(browser: Any, meret: Client, page: str) -> None:
    text = read(browser.get(f"/clients/{meret.pk}/{page}")).casefold()
    found = [word for word in ("cleared", "good to go", "safe to", "may train") if word in text]
    assert (found, text.count("not medical advice")) == ([], 1)
