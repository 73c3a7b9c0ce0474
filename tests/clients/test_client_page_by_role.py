"""Who sees what on her page and in the parts of it: to the letter of the table."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

import pytest
from django.test import Client as Browser

from clients import actions
from clients.models import Client
from clients.rules.word_alone import bookable, to_do
from coach.practice.audit import SYSTEM, Actor
from coach.practice.models import AuditEntry, User
from coach.scheduling.values import GoAhead, GoAheadWord, Limits
from tests import factories
from tests.clients.pages import read
from tests.clients.told_everything import answers, d, known, tell
from tests.factories_clearance import clearance, sign

ROLES = ["owner", "covering coach", "assistant", "bookkeeper"]
HTMX = {"HX-Request": "true", "HX-Target": "happened"}
PLACE: dict[str, Any] = {
    "trains_at": "7 Orchard Row", "emergency_number": "112", "emergency_contact": "Colm",
    "away_at": "Pension Adler", "away_emergency_number": "144", "away_until": date(2026, 12, 9),
}  # fmt: skip


@pytest.fixture
def honora(practice: Any) -> Client:
    """A letter with a limit; every kind of row, each with a word of its own."""
    client = known(**PLACE, note="sickle trait", phone="+353 86 123 4567")
    tell(client, typed="orchid")
    return client


CONTACT = ("Honora Finch", "+353 86 123 4567", "Who may see what of her")
WORD = ("On hold", "not medical advice")
STAGE = ("28 weeks and 4 days, trimester 3", "Due date Sunday 21 February 2027")
LIMITS = ("Orchid", "Where she trains", "Pension Adler", "144", "Colm", "7 Orchard Row")
HEALTH = (
    "by scan", "sickle trait", "Babies expected", "What happened", "What mends it", "placenta",
    "Write a note", "Paste a message", "Assess", "Clearance", "Warning sign", "At the navel",
    "Quiet is off", "Trained by exception", "policy of the practice",
)  # fmt: skip
SEEN = {
    "owner": (*CONTACT, *WORD, *STAGE, *LIMITS, *HEALTH),
    "covering coach": (*CONTACT, *WORD, *STAGE, *LIMITS),
    "assistant": (*CONTACT, *WORD),
    "bookkeeper": CONTACT,
}
FOR_ONE = {
    "owner": (),
    "covering coach": ("What to do: Do not train her. She sees her own clinician first.",
                       "If she tells of anything new: stop, refer her"),
    "assistant": ("On hold not bookable",),
    "bookkeeper": (),
}  # fmt: skip


@pytest.fixture
def held(honora: Client) -> Client:
    sign(honora, d(-1))
    return honora


@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize("headers", [{}, HTMX])
def test_her_page_shows_each_role_its_facts_and_no_other(
    people: Any, signed_in: Any, held: Client, role: str, headers: dict[str, str]
) -> None:
    browser = signed_in(people[role])
    text = read(browser.get(f"/clients/{held.pk}/", headers=headers))
    if role == "owner" and headers:
        assert text.startswith("What happened")
        return
    assert tuple(words for words in SEEN["owner"] if words in text) == SEEN[role]
    assert [words for words in FOR_ONE[role] if words not in text] == []


@pytest.mark.parametrize("role", ROLES[1:])
@pytest.mark.parametrize("asked", ["?kind=note", "?kind=sign", "?page=2"])
def test_no_filter_tells_what_the_page_does_not(
    people: Any, signed_in: Any, held: Client, role: str, asked: str
) -> None:
    browser = signed_in(people[role])
    plain = browser.get(f"/clients/{held.pk}/").content.decode().partition("<main")[2]
    other = browser.get(f"/clients/{held.pk}/{asked}", headers=HTMX).content.decode()
    assert "What happened" not in other
    assert "orchid" not in other.replace("Orchid", "")
    assert read_main(plain) == read_main(other.partition("<main")[2])


def read_main(source: str) -> list[str]:
    """The words of a page without the token against forged requests."""
    return re.sub(r'value="[^"]{60,}"', "", source).split()


@pytest.mark.parametrize("role", ROLES)
def test_only_who_was_shown_health_leaves_a_look_in_the_trail(
    people: Any, signed_in: Any, honora: Client, role: str
) -> None:
    before = AuditEntry.objects.filter(verb="looked at").count()
    signed_in(people[role]).get(f"/clients/{honora.pk}/")
    assert AuditEntry.objects.filter(verb="looked at").count() - before == (role == "owner")


def limited(**limits: Any) -> Client:
    """Screened, with a letter in force, and limits if any are given."""
    client = known(**PLACE)
    Client.objects.filter(pk=client.pk).update(name="Tal R.")
    client.pregnancies.update(expected=1)
    actions.record_screening(by=SYSTEM, client=client, phase="pregnant", how="call",
                             answers=answers("pregnant"), answered_on=d(-7))  # fmt: skip
    word = "limits" if limits else "go-ahead"
    clearance(client, d(-5), word=word, limits=Limits(**limits), until_birth=True)
    return client


WORDS = [
    # limits                  owner                                        coach, assistant
    ({"not_lying_flat": True}, "Yes, with limits Not lying flat Since",
     "Train her within these limits and no further.", "Yes, with limits bookable"),
    ({}, "Yes Since", "Nothing in what is recorded is against training her.", "Yes bookable"),
]  # fmt: skip


@pytest.mark.parametrize(("limits", "hers", "coach", "helper"), WORDS)
def test_the_word_stands_with_its_limits_or_with_whether_to_book(
    people: Any, signed_in: Any, practice: Any,
    limits: dict[str, Any], hers: str, coach: str, helper: str,
) -> None:  # fmt: skip
    address = f"/clients/{limited(**limits).pk}/"
    texts = {role: read(signed_in(people[role]).get(address)) for role in ROLES}
    assert hers in texts["owner"]
    assert "until the birth" in texts["owner"]
    assert coach in texts["covering coach"]
    assert helper in texts["assistant"]
    assert "bookable" not in texts["bookkeeper"] + texts["covering coach"] + texts["owner"]


def test_until_the_birth_is_never_said_as_the_due_date(browser: Browser, practice: Any) -> None:
    text = read(browser.get(f"/clients/{limited().pk}/"))
    assert "until 21 February 2027" not in text


def test_a_rule_that_is_off_stands_beside_the_word_for_everybody_who_reads_it(
    people: Any, signed_in: Any, owner: User
) -> None:
    client = limited()
    actions.change_policy(by=SYSTEM, values={"off": ["policy-end", "caesarean"]}, reason="a trial")
    for role in ROLES:
        text = read(signed_in(people[role]).get(f"/clients/{client.pk}/"))
        assert ("Yes" in text and "Not checked: " in text) == (role != "bookkeeper")


@pytest.mark.parametrize("word", GoAheadWord)
def test_every_word_has_what_to_do_and_whether_to_book(word: GoAheadWord) -> None:
    found = GoAhead(date(2026, 12, 3), word)
    trains = not to_do(found).startswith(("No training", "Do not"))
    assert (trains, bookable(word) == "bookable") == (word.may_train, word.may_train)
    if word.may_train:
        limited_so = GoAhead(date(2026, 12, 3), word, limits=Limits(others=("no stairs",)))
        assert to_do(limited_so) == "Train her within these limits and no further."


PAGES = {
    # page, method:                           owner, coach, assistant, bookkeeper, leaver, nobody
    ("notes/add/", "get"): (200, 403, 403, 403, 302, 302),
    ("notes/add/", "post"): (422, 403, 403, 403, 302, 302),
    ("notes/{n}/", "get"): (200, 403, 403, 403, 302, 302),
    ("notes/{n}/", "post"): (422, 403, 403, 403, 302, 302),
    ("notes/{n}/add/", "get"): (200, 403, 403, 403, 302, 302),
    ("notes/{n}/add/", "post"): (422, 403, 403, 403, 302, 302),
    ("place/", "get"): (200, 403, 403, 403, 302, 302),
    ("place/", "post"): (302, 403, 403, 403, 302, 302),
    ("exception/", "get"): (200, 403, 403, 403, 302, 302),
    ("exception/", "post"): (422, 403, 403, 403, 302, 302),
    ("signs/{s}/follow-up/", "post"): (422, 403, 403, 403, 302, 302),
    ("signs/{s}/withdraw/", "get"): (200, 403, 403, 403, 302, 302),
    ("signs/{s}/withdraw/", "post"): (422, 403, 403, 403, 302, 302),
}


@pytest.mark.parametrize(("page", "method"), PAGES)
def test_each_page_lets_in_whom_the_table_lets(
    people: Any, signed_in: Any, owner: User, page: str, method: str
) -> None:
    client = factories.client("Tal R.")
    note = actions.write_entry(by=Actor(owner), client=client, kind="note", day=d(0), text="x")
    row = sign(client, d(0))
    path = f"/clients/{client.pk}/{page.format(n=note.pk, s=row.pk)}"
    sent = {"none of its fields": "1"} if method == "post" else {}
    got = tuple(
        getattr(signed_in(person), method)(path, sent).status_code for person in people.values()
    )
    assert got == PAGES[page, method]
