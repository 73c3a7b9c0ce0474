"""A loss entered at noon: in the afternoon nothing speaks of what the morning spoke of.

Every page is opened in the morning and again afterwards, by the owner and by each helper, and
with them the feeds, the plan, an invoice as a PDF and what commands print.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from django.test import Client as Browser
from icalendar import Calendar

from clients.actions import resume, withdraw_clearance
from clients.models import Client
from clients.queries import go_ahead_of
from clients.rules.conditions import babies_key
from clients.rules.words import NEVER_IF_QUIET
from coach import clock
from coach.billing.models import Invoice
from coach.feeds.actions import give_address
from coach.feeds.models import Kind
from coach.practice.audit import SYSTEM
from coach.practice.models import Practice, User
from coach.practice.permissions import Role
from coach.scheduling.values import GoAheadWord
from tests import factories
from tests import factories_clearance as health
from tests.clients.everywhere import lines_about, main_of, pdf_text, printed, walk, world

TODAY = date(2026, 12, 3)
NAME, INITIALS = "Ines Portwood", "I.P."
# Not "due" alone: beside her name a bill may be overdue.
TOLD = re.compile(
    r"bab(?:y|ies)|\bbump|birth|\bborn\b|due date|pregnan|trimester|gestation|newborn|\bmum\b"
    r"|mother|cancelled",
    re.IGNORECASE,
)
MONTH = "2027-01"


@pytest.fixture
def her(practice: Practice) -> Client:
    """28 weeks and 4 days, her second; letters, a sign answered, an assessment that is late."""
    client = factories.client(NAME)
    twins = factories.pregnancy(client, due=date(2027, 2, 21), dated_by="scan", expected=2)
    first = {"ended": date(2024, 5, 3), "ending": "birth", "birth_mode": "caesarean", "born": 1}
    factories.pregnancy(client, due=date(2024, 5, 1), **first)
    sign = health.sign(client, date(2026, 11, 10), code="movement")
    health.screening(client, date(2026, 11, 5))
    health.clearance(client, date(2026, 11, 5), until_birth=True)
    health.clearance(
        client, date(2026, 11, 12), answers=(sign.pk,), until=date(2026, 12, 14),
        answers_conditions=(babies_key(twins.pk),),
    )  # fmt: skip
    for title in ("Slow flow", "Long hold", "Evening reach"):
        factories.fitness_class(title)
    return client


@pytest.fixture
def values(her: Client) -> dict[str, Any]:
    return world(her)


def enter_the_loss(browser: Browser, her: Client) -> None:
    """As the form sends it, three hours after all that the morning holds."""
    pregnancy = her.pregnancies.order_by("pk").first()
    assert pregnancy
    sent = {"situation": "lost", "ended": TODAY.isoformat()}
    with pytest.MonkeyPatch.context() as clocks:
        clocks.setattr(clock, "PRETENDED_HOUR", 12)
        answer = browser.post(f"/clients/{her.pk}/dates/{pregnancy.pk}/end/", sent)
    assert answer.status_code == 302


def told(texts: Iterable[str]) -> list[str]:
    """The words found in texts, each once."""
    return sorted({word.lower() for text in texts for word in TOLD.findall(text)})


def said(pages: dict[str, str], her: Client) -> dict[str, list[str]]:
    """What must not be said, by page: on her own in all its source, on others where she is named.

    The form that cancels a sale of hers says so, and is about no event.
    """
    own = f"/clients/{her.pk}/"
    found = {}
    for address, page in pages.items():
        if address.startswith(own):
            source = main_of(page).lower()
            found[address] = [word for word in NEVER_IF_QUIET if word in source]
        elif "/cancel/" not in address:
            found[address] = told(lines_about(page, NAME, INITIALS))
    return {address: words for address, words in found.items() if words}


def test_no_page_says_it_to_anybody(
    people: dict[str, User | None], signed_in: Any, her: Client, values: dict[str, Any]
) -> None:
    browsers = {role: signed_in(people[str(role)]) for role in Role}
    morning = {role: said(walk(one, values), her) for role, one in browsers.items()}
    assert f"/clients/{her.pk}/" in morning[Role.OWNER]
    assert "/clients/" in morning[Role.OWNER]
    enter_the_loss(browsers[Role.OWNER], her)
    afternoon = {role: said(walk(one, values), her) for role, one in browsers.items()}
    assert afternoon == {role: {} for role in Role}


def test_the_pages_are_there_for_who_may_see_them(
    browser: Browser, her: Client, values: dict[str, Any]
) -> None:
    """None is clean because it could not be opened: all but the form that was sent."""
    morning = set(walk(browser, values))
    enter_the_loss(browser, her)
    afternoon = set(walk(browser, values))
    which = values["clients:record_end:which"]
    assert afternoon == morning - {f"/clients/{her.pk}/dates/{which}/end/"}
    assert {"/", "/clients/", "/clients/clearance/", "/diary/", "/accounts/"} < afternoon


def test_her_letters_count_no_more(browser: Browser, her: Client) -> None:
    assert go_ahead_of(her, on=TODAY).word is GoAheadWord.YES
    enter_the_loss(browser, her)
    her.refresh_from_db()
    assert (her.quiet, go_ahead_of(her, on=TODAY).word) == (True, GoAheadWord.WAITING)


def feed(owner: User, kind: Kind) -> bytes:
    token = give_address(by=SYSTEM, person=owner, kind=kind)
    answer = Browser().get(f"/feeds/{token}.ics")
    assert answer.status_code == 200
    return b"".join(answer)  # type: ignore[arg-type]  # a response iterates its bytes


def test_the_to_do_feed_has_no_cancelled_event_and_no_word(
    browser: Browser, owner: User, her: Client, values: dict[str, Any]
) -> None:
    """Her letter until 14 December is the one that ends last, once the other is withdrawn."""
    first = her.clearances.order_by("pk").first()
    assert first
    withdraw_clearance(by=SYSTEM, clearance=first, reason="of somebody else")
    morning = feed(owner, Kind.TODO).decode()
    assert len(re.findall(rf"SUMMARY:.*{INITIALS}", morning)) == 2
    enter_the_loss(browser, her)
    afternoon = feed(owner, Kind.TODO).decode()
    assert told([afternoon]) == []
    days = re.findall(r"DTSTART;VALUE=DATE:(\d+)", afternoon)
    assert [day for day in days if day < "20270114"] == []  # six weeks on: WHO (2022), 42 days


def test_an_event_of_the_to_do_feed_that_moves_has_a_higher_sequence(
    browser: Browser, owner: User, her: Client, values: dict[str, Any]
) -> None:
    """RFC 5546, 2.1.4: once resumed it is six weeks after the end, and was before on 12 October."""
    morning = {str(one["UID"]): one for one in Calendar.from_ical(feed(owner, Kind.TODO)).events}
    enter_the_loss(browser, her)
    assert Calendar.from_ical(feed(owner, Kind.TODO)).events == []
    resume(by=SYSTEM, client=Client.objects.get(pk=her.pk))
    afternoon = Calendar.from_ical(feed(owner, Kind.TODO)).events
    kept = [(one, morning[str(one["UID"])]) for one in afternoon if str(one["UID"]) in morning]
    moved = [(new, old) for new, old in kept if new.start != old.start]
    assert [new for new, old in moved if int(new["SEQUENCE"]) <= int(old["SEQUENCE"])] == []
    assert len(afternoon) == 1


def test_the_uploads_feed_does_not_change(
    browser: Browser, owner: User, her: Client, values: dict[str, Any]
) -> None:
    browser.post(f"/uploads/{MONTH}/propose/")
    browser.post(f"/uploads/{MONTH}/accept/")
    morning = feed(owner, Kind.UPLOADS)
    assert morning.count(b"BEGIN:VEVENT") > 1
    enter_the_loss(browser, her)
    assert feed(owner, Kind.UPLOADS) == morning
    assert b"CANCELLED" not in morning


@pytest.mark.parametrize("kept", ["proposed", "accepted"])
def test_a_plan_made_in_the_morning_does_not_speak_of_her_stage(
    browser: Browser, her: Client, values: dict[str, Any], kept: str
) -> None:
    """She is the only one that any class was planned for."""
    browser.post(f"/uploads/{MONTH}/propose/")
    reason = "One client will be in trimester 3"
    assert reason in browser.get(f"/uploads/{MONTH}/").content.decode()
    if kept == "accepted":
        browser.post(f"/uploads/{MONTH}/accept/")
    enter_the_loss(browser, her)
    pages = walk(browser, values)
    assert [address for address, page in pages.items() if reason in page] == []


def test_a_plan_made_in_the_afternoon_does_not_either(
    browser: Browser, her: Client, values: dict[str, Any]
) -> None:
    assert "trimester 3" in printed("plan", MONTH)
    enter_the_loss(browser, her)
    assert told([printed("plan", MONTH), printed("plan", MONTH, "--json")]) == []


def test_commands_do_not_say_it(browser: Browser, her: Client, values: dict[str, Any]) -> None:
    enter_the_loss(browser, her)
    for command in (("due",), ("due", "--json"), ("feed", "todo")):
        text = printed(*command)
        assert (command, told([text])) == (command, [])
        named = NAME in text or INITIALS in text
        assert (command, named) == (command, command[0] == "due")


@pytest.mark.poppler
def test_her_invoice_does_not_say_it(
    browser: Browser, her: Client, values: dict[str, Any], tmp_path: Path
) -> None:
    enter_the_loss(browser, her)
    answer = browser.get(f"/accounts/invoices/{values['accounts:uid']}/pdf/")
    opened = b"".join(answer)  # type: ignore[arg-type]  # a response iterates its bytes
    number = Invoice.objects.get(uid=values["accounts:uid"]).number
    assert number
    printed("invoice", number, "--pdf", str(tmp_path / "paper.pdf"))
    texts = [pdf_text(opened), pdf_text((tmp_path / "paper.pdf").read_bytes())]
    assert [NAME in text for text in texts] == [True, True]
    assert told(texts) == []
