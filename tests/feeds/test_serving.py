"""What a calendar program gets over HTTP.

Sources: RFC 9110 (HTTP semantics), RFC 5545 section 8.1 (the media type), RFC 6266 (disposition).
"""

from __future__ import annotations

import io
import logging
import re
from datetime import UTC, date, datetime, timedelta
from typing import Any

import icalendar
import pytest
from django.db import connection
from django.http import HttpResponse
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from coach import clock
from coach.feeds import actions
from coach.feeds.ical import etag
from coach.feeds.models import FeedAddress
from coach.practice.audit import Actor
from coach.practice.models import User
from tests import factories

NINE = datetime(2026, 12, 3, 9, tzinfo=UTC)
SAME_IN_BOTH = (
    "Cache-Control",
    "Content-Length",
    "Content-Disposition",
    "Content-Type",
    "ETag",
    "Last-Modified",
    "Referrer-Policy",
    "Vary",
)


@pytest.fixture
def address(owner: User) -> str:
    """The path of her feed, with one upload in it."""
    factories.upload(date(2026, 12, 8), factories.fitness_class("Core and calm"))
    token = actions.give_address(by=Actor(owner), person=owner)
    return reverse("feeds:calendar", args=[token])


def get(path: str, **headers: str) -> HttpResponse:
    """As a calendar program asks: no cookie, no token, no Accept."""
    asked = {name.replace("_", "-"): value for name, value in headers.items()}
    return Browser(enforce_csrf_checks=True).get(path, headers=asked)


def test_the_feed_is_a_calendar_and_says_so(address: str) -> None:
    answer = get(address)
    assert answer.status_code == 200
    assert answer.headers["Content-Type"] == "text/calendar; charset=utf-8"  # RFC 5545 8.1
    assert answer.headers["Content-Disposition"] == 'inline; filename="uploads.ics"'  # RFC 6266
    assert answer.headers["Cache-Control"] == "private, max-age=0, must-revalidate"
    assert answer.headers["Referrer-Policy"] == "no-referrer"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    found = icalendar.Calendar.from_ical(answer.content).events
    assert [str(event["SUMMARY"]) for event in found] == [
        "Caption: Core and calm",
        "Schedule: Core and calm",
        "Publish: Core and calm",
    ]
    assert all(re.fullmatch(r"http://testserver/classes/\d+/", str(one["URL"])) for one in found)


@pytest.mark.parametrize("accept", ["text/calendar", "text/html", "application/json", ""])
def test_it_is_served_whatever_is_accepted(address: str, accept: str) -> None:
    answer = get(address, Accept=accept)
    assert answer.content == get(address).content


def test_the_validators_are_strong_and_come_from_the_rows(address: str) -> None:
    """RFC 9110 sections 8.8.2 and 8.8.3."""
    answer = get(address)
    assert answer.headers["ETag"] == etag(answer.content)
    assert answer.headers["Last-Modified"] == "Thu, 03 Dec 2026 09:00:00 GMT"


def test_two_fetches_an_hour_and_a_day_apart_are_equal(
    address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = get(address)
    monkeypatch.setattr(clock, "now", lambda: NINE + timedelta(hours=1))
    second = get(address)
    monkeypatch.setenv("COACH_TODAY", "2026-12-04")
    third = get(address)
    assert first.content == second.content == third.content
    for name in ("ETag", "Last-Modified"):
        assert len({answer.headers[name] for answer in (first, second, third)}) == 1


@pytest.mark.parametrize("form", ["{}", "W/{}", '"other", {}', "*", '"other", W/{}'])
def test_a_matching_tag_is_answered_with_304_and_the_same_headers(address: str, form: str) -> None:
    """RFC 9110 sections 13.1.2, 8.8.3.2 (weak comparison) and 15.4.5."""
    full = get(address)
    answer = get(address, If_None_Match=form.format(full.headers["ETag"]))
    assert (answer.status_code, answer.content) == (304, b"")
    for name in ("ETag", "Last-Modified", "Cache-Control", "Vary", "Referrer-Policy"):
        assert answer.headers[name] == full.headers[name]


@pytest.mark.parametrize(
    ("since", "status"),
    [
        ("Thu, 03 Dec 2026 09:00:00 GMT", 304),
        ("Thu, 03 Dec 2026 10:00:00 GMT", 304),
        ("Thu, 03 Dec 2026 08:59:59 GMT", 200),
        ("Thu, 01 Jan 1970 00:00:00 GMT", 200),
        ("yesterday", 200),
    ],
)
def test_a_date_is_compared_with_the_last_change(address: str, since: str, status: int) -> None:
    """RFC 9110 section 13.1.3."""
    assert get(address, If_Modified_Since=since).status_code == status


def test_the_tag_wins_over_the_date(address: str) -> None:
    """RFC 9110 section 13.1.3: with If-None-Match the date is not looked at."""
    full = get(address)
    since = full.headers["Last-Modified"]
    answer = get(address, If_None_Match='"other"', If_Modified_Since=since)
    assert (answer.status_code, answer.content) == (200, full.content)


def test_head_has_the_headers_of_get_and_no_body(address: str) -> None:
    """RFC 9110 section 9.3.2."""
    full, head = get(address), Browser().head(address)
    assert (head.status_code, head.content) == (200, b"")
    assert {name: head.headers[name] for name in SAME_IN_BOTH} == {
        name: full.headers[name] for name in SAME_IN_BOTH
    }
    again = Browser().head(address, headers={"If-None-Match": full.headers["ETag"]})
    assert again.status_code == 304


@pytest.mark.parametrize("method", ["post", "put", "patch", "delete", "options"])
def test_other_methods_are_not_allowed(address: str, method: str) -> None:
    """RFC 9110 section 15.5.6."""
    answer = getattr(Browser(enforce_csrf_checks=True), method)(address)
    assert (answer.status_code, answer.headers["Allow"]) == (405, "GET, HEAD")
    assert not answer.cookies


def test_no_cookie_is_set_and_none_is_looked_at(address: str, browser: Browser) -> None:
    for answer in (get(address), browser.get(address), browser.get("/feeds/unknown.ics")):
        assert not answer.cookies
        assert answer.headers["Vary"] == "HX-Request, HX-Target"
    assert browser.get(address).content == get(address).content


def dead(token_path: str, change: str, owner: User) -> str:
    """A path that leads nowhere, and why."""
    if change == "withdrawn":
        actions.withdraw_address(by=Actor(owner), person=owner)
    elif change == "renewed":
        actions.give_address(by=Actor(owner), person=owner)
    elif change == "left":
        User.objects.filter(pk=owner.pk).update(is_active=False)
    return "/feeds/" + "x" * 43 + ".ics" if change == "unknown" else token_path


@pytest.mark.parametrize("change", ["unknown", "withdrawn", "renewed", "left"])
def test_a_dead_address_is_404_at_once(address: str, owner: User, change: str) -> None:
    tag = get(address).headers["ETag"]
    path = dead(address, change, owner)
    answer = get(path, If_None_Match=tag)
    assert (answer.status_code, answer.content) == (404, b"There is no such feed.\n")
    assert answer.headers["Content-Type"] == "text/plain"
    assert answer.headers["Cache-Control"] == "no-store"
    assert answer.headers["Referrer-Policy"] == "no-referrer"


@pytest.mark.parametrize("token", ["%00", "%F0%9F%98%80", "a" * 5000, "..%2f", "%ED%A0%80"])
def test_strange_addresses_are_404(address: str, token: str) -> None:
    assert get(f"/feeds/{token}.ics").status_code == 404


def test_a_reading_is_noted_at_most_once_an_hour(
    address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    noted = []
    for minutes in (0, 1, 59, 60, 61, 120):
        monkeypatch.setattr(clock, "now", lambda at=NINE + timedelta(minutes=minutes): at)
        get(address)
        noted.append(FeedAddress.objects.get().last_read_at)
    hours = [NINE, NINE + timedelta(hours=1), NINE + timedelta(hours=2)]
    assert noted == [hours[0], hours[0], hours[0], hours[1], hours[1], hours[2]]


def queries_of(path: str, **headers: str) -> list[str]:
    with CaptureQueriesContext(
        connection,
    ) as captured:
        get(path, **headers)
    return [query["sql"].split()[0] for query in captured.captured_queries]


def test_polling_takes_the_same_few_reads_and_no_write_however_many_uploads(address: str) -> None:
    first = get(address)
    one = queries_of(address)
    for n in range(29):
        series = factories.series()
        item = factories.fitness_class(series=series, part=1)
        factories.upload(date(2026, 12, 9) + timedelta(days=n), item)
    thirty = queries_of(address)
    not_modified = queries_of(address, If_None_Match=get(address).headers["ETag"])
    assert get(address).content != first.content
    assert one == thirty == not_modified == ["SELECT"] * 12


def test_the_secret_part_is_in_no_log(address: str, monkeypatch: pytest.MonkeyPatch) -> None:
    written = io.StringIO()
    handlers = logging.getLogger("django").handlers
    (terminal,) = (handler for handler in handlers if type(handler) is logging.StreamHandler)
    monkeypatch.setattr(terminal, "stream", written)
    get(f"/feeds/{'k' * 43}.ics")
    Browser().post(address)
    assert written.getvalue() == (
        "Not Found: /feeds/….ics\nMethod Not Allowed (POST): /feeds/….ics\n"
    )


def test_a_calendar_program_never_lands_on_the_sign_in_page(address: str) -> None:
    answer: Any = Browser().get(address, follow=True)
    assert answer.redirect_chain == []
    assert answer.content.startswith(b"BEGIN:VCALENDAR\r\n")
