"""No page, feed, paper or command calls a client cleared whose letter isn't all that counts.

Every page is opened by its address, also those that are added later. The pages stand in an
autumn of 2026; today is 3 December.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from django.test import Client as Browser

from clients.actions import rewrite_spans
from clients.models import Client
from coach.practice.models import Practice
from coach.practice.permissions import Fact, Role, access
from coach.scheduling.values import GoAheadWord, Limits
from tests import factories
from tests import factories_clearance as health
from tests.clients.everywhere import lines, lines_about, printed, text_of, walk, world

NAME, INITIALS = "Nuala Ferriter", "N.F."
CLEARED = re.compile(r"\byes\b|\bcleared\b|may train\b|\bfit to\b|go ahead\b", re.IGNORECASE)
# What a clinician said is told as said, with who said it: that is no word about her.
QUOTED = re.compile(
    r"(Letter of [^:|]{5,60}|Her own word of [^:|]{5,60}|Clearance): go ahead"
    r"|go ahead(, with limits)?, said on \d",
    re.IGNORECASE,
)
Told = Callable[[Client], object]


def past_due(client: Client) -> None:
    """Three weeks past, a letter until the birth and one that names a day to come."""
    factories.pregnancy(client, due=date(2026, 11, 12))
    health.clearance(client, date(2026, 11, 2), until_birth=True)
    health.clearance(client, date(2026, 11, 20), until=date(2027, 3, 1))


def discharge_note(client: Client) -> None:
    """Born on 2 November; the letters are older, and one of that day."""
    ended = date(2026, 11, 2)
    factories.pregnancy(client, due=date(2026, 11, 5), ended=ended, ending="birth")
    health.clearance(client, date(2026, 10, 20), until=date(2027, 3, 1))
    health.clearance(client, ended)


def her_word(client: Client) -> None:
    """Pregnant; she says that her midwife agreed."""
    factories.pregnancy(client, due=date(2027, 4, 12))
    health.clearance(client, date(2026, 11, 20), known_by="client")


def sign(client: Client) -> None:
    """A letter in force, and dizzy yesterday."""
    factories.pregnancy(client, due=date(2027, 4, 12))
    health.clearance(client, date(2026, 11, 20))
    health.sign(client, date(2026, 12, 2))


def advised_against(client: Client) -> None:
    """A letter in force, then a clinician's no."""
    factories.pregnancy(client, due=date(2027, 4, 12))
    health.clearance(client, date(2026, 11, 20))
    health.clearance(client, date(2026, 11, 30), word="against")


def run_out(client: Client) -> None:
    """The letter ended the day before yesterday."""
    factories.pregnancy(client, due=date(2027, 4, 12))
    health.clearance(client, date(2026, 11, 3), until=date(2026, 12, 1))
    health.screening(client, date(2026, 11, 3))


def nothing(client: Client) -> None:
    """Nothing is known of her."""
    rewrite_spans(client)


def not_asked(client: Client) -> None:
    """A letter in force, with a limit; nobody has asked the health questions."""
    factories.pregnancy(client, due=date(2027, 4, 12))
    health.clearance(client, date(2026, 11, 20), word="limits", limits=Limits(no_impact=True))


def asked_long_ago(client: Client) -> None:
    """A letter in force; the health questions were answered 13 weeks ago."""
    factories.pregnancy(client, due=date(2027, 4, 12))
    health.clearance(client, date(2026, 11, 20))
    health.screening(client, date(2026, 9, 3))


def twins(client: Client) -> None:
    """28w5d with two, a letter in force that does not name it, every health question answered."""
    factories.pregnancy(client, due=date(2027, 2, 20), expected=2)
    health.clearance(client, date(2026, 11, 20))
    health.screening(client, date(2026, 11, 20))


def not_examined(client: Client) -> None:
    """Born in September, answered since; the letter does not say that she was examined."""
    ended = date(2026, 9, 14)
    factories.pregnancy(client, due=ended, ended=ended, ending="birth", birth_mode="vaginal")
    health.clearance(client, date(2026, 11, 2))
    health.screening(client, date(2026, 11, 2), phase="after")


GIVEN: dict[str, tuple[Told, GoAheadWord]] = {
    "three weeks past her due date": (past_due, GoAheadWord.WAITING),
    "a discharge note": (discharge_note, GoAheadWord.WAITING),
    "her word only": (her_word, GoAheadWord.WAITING),
    "a warning sign": (sign, GoAheadWord.ON_HOLD),
    "advised against": (advised_against, GoAheadWord.ON_HOLD),
    "run out": (run_out, GoAheadWord.RUN_OUT),
    "nothing known": (nothing, GoAheadWord.WAITING),
    "a letter and no questions answered": (not_asked, GoAheadWord.WAITING),
    "answers too old": (asked_long_ago, GoAheadWord.WAITING),
    "twins from 28 weeks": (twins, GoAheadWord.WAITING),
    "not examined after a birth": (not_examined, GoAheadWord.WAITING),
}


@pytest.fixture
def her(practice: Practice, request: pytest.FixtureRequest) -> Client:
    """One client, of whom the first of the row is told."""
    client = factories.client(NAME)
    GIVEN[request.param][0](client)
    return client


ALL = pytest.mark.parametrize(
    ("her", "given"), [(g, g) for g in GIVEN], indirect=["her"], ids=[*GIVEN]
)


def wrongly_cleared(text: str) -> list[str]:
    """The words that would read as a yes, but for what a clinician is quoted with."""
    return CLEARED.findall(QUOTED.sub("", text))


@ALL
def test_no_page_says_yes(browser: Browser, her: Client, given: str) -> None:
    own = f"/clients/{her.pk}/"
    for address, page in walk(browser, world(her)).items():
        about = [text_of(page)] if address.startswith(own) else lines_about(page, NAME, INITIALS)
        assert [(address, wrongly_cleared(text)) for text in about if wrongly_cleared(text)] == []


@ALL
def test_every_list_has_the_word(browser: Browser, her: Client, given: str) -> None:
    """Read from the roster, its filter, and her own page; other words aren't in her line."""
    word = GIVEN[given][1]
    others = {str(one) for one in GoAheadWord} - {str(word)}
    line = lines_about(browser.get("/clients/").content.decode(), NAME)[-1]
    assert word in line
    assert [one for one in others if one in line] == []
    found = browser.get("/clients/", {"word": str(word)}).content.decode()
    assert lines_about(found, NAME) != []
    heading = text_of(browser.get(f"/clients/{her.pk}/").content.decode())
    assert re.search(rf"\b{word}\b", heading, re.IGNORECASE)


@ALL
def test_the_register_has_her_under_her_word_alone(
    browser: Browser, her: Client, given: str
) -> None:
    page = text_of(browser.get("/clients/clearance/").content.decode())
    before = page.partition(NAME)[0].lower()
    headings = [one for one in GoAheadWord if f"{one} " in before.replace("go-ahead", "")]
    assert headings == [GIVEN[given][1]]


@ALL
def test_commands_say_the_word_and_no_yes(her: Client, given: str) -> None:
    word = GIVEN[given][1]
    found = json.loads(printed("due", "--json"))
    words = [one["go_ahead"] for one in found["clearances"] if one["client"]["name"] == NAME]
    assert words == [str(word)]
    for said in (printed("due"), printed("feed", "todo"), printed("feed", "uploads")):
        assert wrongly_cleared(said) == []


@pytest.mark.parametrize("role", [role for role in Role if role != Role.OWNER])
@pytest.mark.parametrize(("her", "given"), [("a warning sign",) * 2], indirect=["her"])
def test_other_roles_read_no_yes_and_no_reason(
    people: Any, signed_in: Any, her: Client, given: str, role: Role
) -> None:
    """Who may not see health facts does not read which sign it is; who may see nothing, no word."""
    pages = walk(signed_in(people[str(role)]), world(her))
    text = " ".join(" ".join([*lines_about(page, NAME), text_of(page)]) for page in pages.values())
    assert wrongly_cleared(text) == []
    assert ("Dizzy" in text) == (access(role, Fact.HEALTH) > 0)


def test_a_form_and_its_lines_are_told_apart() -> None:
    """What the checks of this file read: forms offer words, lines say them."""
    page = "<main><form><p>yes</p></form><ul><li>Nuala <b>no</b></li></ul></main>"
    assert text_of(page) == "Nuala no"
    assert lines(page) == ["yes", "Nuala no"]
    assert wrongly_cleared("Letter of 2 May 2026 from A B (GP): go ahead, until the birth.") == []
    assert wrongly_cleared("She may go ahead") == ["go ahead"]
