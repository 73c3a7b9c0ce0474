"""The to-do feed is off until asked for, and only for who may see what it rests on."""

from __future__ import annotations

import io
import re
from datetime import UTC, date, datetime
from typing import Any

import icalendar
import pytest
from django.core.management import call_command
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from coach.feeds import actions, queries
from coach.feeds.ical import etag
from coach.feeds.models import FeedAddress, Kind
from coach.practice.audit import SYSTEM, Actor
from coach.practice.models import AuditEntry, User
from coach.practice.permissions import Role
from tests import factories_diary as made

ROLES = ("owner", "covering coach", "assistant", "bookkeeper")


@pytest.fixture
def address(owner: User) -> str:
    """The path of her feed, with one reassessment in it."""
    made.assessed(made.pregnant("Orla Kinsale", date(2027, 1, 21)), date(2026, 11, 12))
    return path_of(give(owner))


def give(person: User, kind: Kind = Kind.TODO) -> str:
    return actions.give_address(by=Actor(person), person=person, kind=kind)


def path_of(token: str) -> str:
    return reverse("feeds:calendar", args=[token])


def test_nobody_has_it_until_she_asks_for_it(browser: Browser, owner: User) -> None:
    give(owner, Kind.UPLOADS)
    assert queries.live_address(owner, Kind.TODO) is None
    browser.post(reverse("feeds:make"), {"kind": "todo"})
    assert queries.live_address(owner, Kind.TODO) is not None


def test_each_kind_is_renewed_and_switched_off_by_itself(browser: Browser, owner: User) -> None:
    tokens = {kind: give(owner, kind) for kind in Kind}
    browser.post(reverse("feeds:make"), {"kind": "todo"})
    assert queries.address_behind(tokens[Kind.TODO]) is None
    assert queries.address_behind(tokens[Kind.UPLOADS]) is not None
    browser.post(reverse("feeds:switch_off"), {"kind": "uploads"})
    assert queries.address_behind(tokens[Kind.UPLOADS]) is None
    assert queries.live_address(owner, Kind.TODO) is not None


def test_a_form_that_names_another_kind_is_refused(browser: Browser) -> None:
    for name in ("make", "switch_off"):
        answer = browser.post(reverse(f"feeds:{name}"), {"kind": "clients"})
        assert (answer.status_code, answer.content) == (400, b"There is no such feed.\n")
    assert FeedAddress.objects.count() == 0


@pytest.mark.parametrize("name", ["make", "switch_off"])
def test_only_who_sees_health_may_ask_for_it(
    people: dict[str, Any], signed_in: Any, name: str
) -> None:
    answers = {
        role: signed_in(people[role]).post(reverse(f"feeds:{name}"), {"kind": "todo"}).status_code
        for role in ROLES
    }
    allowed = 200 if name == "make" else 302
    assert answers == {
        "owner": allowed,
        "covering coach": 403,
        "assistant": 403,
        "bookkeeper": 403,
    }
    assert AuditEntry.objects.filter(verb="refused").count() == 3


@pytest.mark.parametrize("role", [Role.COVERING_COACH, Role.ASSISTANT, Role.BOOKKEEPER])
def test_an_address_of_somebody_who_may_no_longer_see_it_is_404(
    address: str, owner: User, role: Role
) -> None:
    tag = Browser().get(address).headers["ETag"]
    User.objects.filter(pk=owner.pk).update(role=role)
    answer = Browser().get(address, headers={"If-None-Match": tag})
    assert (answer.status_code, answer.content) == (404, b"There is no such feed.\n")


def test_the_page_offers_each_role_what_it_may_have(people: dict[str, Any], signed_in: Any) -> None:
    offered = {
        role: re.findall(
            r'name="kind" value="(\w+)"',
            signed_in(people[role]).get(reverse("feeds:index")).content.decode(),
        )
        for role in ROLES
    }
    assert offered == {
        "owner": ["uploads", "todo"],
        "covering coach": ["uploads"],
        "assistant": ["uploads"],
        "bookkeeper": [],
    }


def test_the_page_says_which_are_on(browser: Browser, owner: User) -> None:
    give(owner, Kind.TODO)
    page = browser.get(reverse("feeds:index")).content.decode()
    uploads, todo = page.split("<h2>To do</h2>")
    assert "You have <b>no address</b> yet." in uploads
    assert "<b>switched on</b> since 3 December 2026." in todo
    assert "You have <b>no address</b> yet." not in todo


def test_the_feed_is_served_as_the_uploads_are(address: str) -> None:
    """RFC 5545 section 8.1, RFC 6266, RFC 9110 sections 8.8 and 13."""
    answer = Browser(enforce_csrf_checks=True).get(address)
    assert {name: answer.headers[name] for name in (
        "Content-Type", "Content-Disposition", "Cache-Control", "Referrer-Policy", "ETag",
        "Last-Modified",
    )} == {
        "Content-Type": "text/calendar; charset=utf-8",
        "Content-Disposition": 'inline; filename="todo.ics"',
        "Cache-Control": "private, max-age=0, must-revalidate",
        "Referrer-Policy": "no-referrer",
        "ETag": etag(answer.content),
        "Last-Modified": "Thu, 03 Dec 2026 09:00:00 GMT",
    }  # fmt: skip
    (event,) = icalendar.Calendar.from_ical(answer.content).events
    assert str(event["SUMMARY"]) == "Reassess O.K."
    assert not answer.cookies


def test_unchanged_it_is_not_sent_again(address: str) -> None:
    full = Browser().get(address)
    for headers in (
        {"If-None-Match": full.headers["ETag"]},
        {"If-Modified-Since": full.headers["Last-Modified"]},
    ):
        answer = Browser().get(address, headers=headers)
        assert (answer.status_code, answer.content) == (304, b"")


def test_polling_only_reads_and_thirty_clients_cost_the_reads_of_one(address: str) -> None:
    def reads() -> list[str]:
        with CaptureQueriesContext(connection) as captured:
            Browser().get(address)
        return [query["sql"].split()[0] for query in captured.captured_queries]

    def add(n: int) -> None:
        client = made.pregnant(f"Client {n}", date(2027, 1, 21))
        made.assessed(client, date(2026, 11, 12))
        made.letter(client, date(2026, 11, 20), until=date(2026, 12, 20))

    Browser().get(address)
    add(1)
    one = reads()
    for n in range(2, 31):
        add(n)
    assert reads() == one
    assert set(one) == {"SELECT"}


def test_the_command_prints_the_bytes_that_are_served(address: str) -> None:
    out = io.StringIO()
    call_command("feed", "todo", site="http://testserver", stdout=out)
    assert out.getvalue().encode() == Browser().get(address).content


def test_what_is_read_is_noted_for_its_own_kind(address: str, owner: User) -> None:
    actions.give_address(by=SYSTEM, person=owner)
    Browser().get(address)
    read = dict(FeedAddress.objects.values_list("kind", "last_read_at"))
    assert read == {"todo": datetime(2026, 12, 3, 9, tzinfo=UTC), "uploads": None}
