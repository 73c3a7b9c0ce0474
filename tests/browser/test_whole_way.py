"""From an empty practice to the calendar, as a coach goes: nothing made behind her back.

`start` serves a fresh practice; all that follows is typed and pressed in a browser, and the feed
is read back by recurring-ical-events (an independent reader of RFC 5545).
"""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import icalendar
import pytest
import recurring_ical_events
from django.conf import settings
from playwright.sync_api import Browser, Page, expect

pytestmark = [pytest.mark.browser, pytest.mark.endurance]

PASSWORD = "the tide is out at noon"
CLIENTS = [
    ("Aisling Tarrow", "pregnant", "2027-02-20"),
    ("Bríd Quillane", "pregnant", "2027-05-11"),
    ("Maeve Ashgrove", "after a birth", "2026-10-01"),
]
# title, focus, minutes, how far it is, hours still needed, effort, series and part
CLASSES = [
    ("Hips and back", "mobility", "20", "edited", "", "3", None),
    ("Seated strength", "upper body", "18", "edited", "", "4", None),
    ("Breath and ribs", "breath", "10", "edited", "", "2", None),
    ("Legs without jumping", "legs", "24", "edited", "", "5", None),
    ("Standing core: one", "core", "20", "edited", "", "4", ("Standing core", "1")),
    ("Standing core: two", "core", "22", "filmed", "1.5", "4", ("Standing core", "2")),
    ("Standing core: three", "core", "24", "outlined", "4", "5", ("Standing core", "3")),
    ("Full body, no jumping", "full body", "28", "edited", "", "6", None),
    ("Pelvic floor, lying", "pelvic floor", "12", "filmed", "2", "2", None),
    ("Shoulders and neck", "upper body", "14", "outlined", "3:30", "3", None),
    ("An evening stretch", "mobility", "16", "idea", "6", "2", None),
    ("Lift and carry", "full body", "26", "idea", "7", "6", None),
]


@pytest.fixture
def started(tmp_path: Path) -> Iterator[tuple[str, str]]:
    """An empty practice served by `start`: its address and the one-time code."""
    kept = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    process = subprocess.Popen(
        [sys.executable, "manage.py", "start", "--port", str(port)],
        cwd=settings.BASE_DIR,
        env={**kept, "COACH_VAR": str(tmp_path / "var"), "PYTHONUNBUFFERED": "1"},
        stdout=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    assert process.stdout is not None
    said = "".join(iter(process.stdout.readline, "Press Ctrl-C to stop.\n"))
    address, code = re.search(r"(http://\S+)begin/\s+Code\s+(\S+)", said).groups()  # type: ignore[union-attr]  # a miss fails the test
    yield address, code
    os.killpg(process.pid, signal.SIGTERM)
    process.communicate(timeout=20)


@pytest.fixture
def page(chromium: Browser, started: tuple[str, str]) -> Iterator[Page]:
    """Her browser, whose complaints fail the test."""
    complaints: list[str] = []
    context = chromium.new_context(
        base_url=started[0], viewport={"width": 1280, "height": 900}, locale="en-IE"
    )
    made = context.new_page()
    made.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
    made.on("pageerror", lambda error: complaints.append(str(error)))
    yield made
    context.close()
    assert complaints == []


def test_an_empty_practice_ends_up_in_the_calendar(page: Page, started: tuple[str, str]) -> None:
    begin(page, started[1])
    for client in CLIENTS:
        add_client(page, *client)
    page.goto("/clients/")
    expect(page.locator("main .lines").first.locator("> li")).to_have_count(len(CLIENTS))
    add_classes(page)
    wish(page)
    planned = plan_and_accept(page)
    assert len(planned) == 9
    assert read_feed(feed_address(page)) == planned


def begin(page: Page, code: str) -> None:
    page.goto("/")
    expect(page).to_have_url(re.compile("/begin/$"))
    page.get_by_label("Code").fill(code.upper())
    page.get_by_label("Your name").fill("Nuala Keane-Moor")
    page.get_by_label("Your e-mail").fill("nuala@example.org")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_label("Name of the business").fill("Strand Row Movement")
    page.get_by_label("Country").select_option("IE")
    page.get_by_label("Time zone").select_option("Europe/Dublin")
    page.get_by_label("Currency").select_option("EUR")
    page.get_by_role("button", name="Begin").click()
    expect(page.get_by_role("heading", name="To begin with")).to_be_visible()


def add_client(page: Page, name: str, situation: str, day: str) -> None:
    page.goto("/clients/add/")
    page.get_by_label("Name").fill(name)
    # The fields that an answer calls for come from the server; htmx binds them a moment later.
    page.get_by_label(situation).check()
    if situation == "pregnant":
        known_from = page.get_by_label("Due date known from")
        expect(known_from).to_be_visible()
        page.wait_for_timeout(300)
        known_from.select_option("what her clinician told her")
    field = page.locator("#dating input[type=date]").first
    expect(field).to_be_visible()
    page.wait_for_timeout(300)
    field.fill(day)
    page.get_by_role("button", name="Add her").click()
    expect(page.get_by_role("heading", name=name)).to_be_visible()


def add_classes(page: Page) -> None:
    page.goto("/classes/add/")
    for title, focus, minutes, state, hours, effort, series in CLASSES:
        page.get_by_label("Title").fill(title)
        page.get_by_role("radio", name=state).check()
        page.get_by_label("Focus").select_option(label=focus)
        page.get_by_label("Length in minutes").fill(minutes)
        page.get_by_label("Hours still needed").fill(hours)
        page.get_by_label("no stage excluded").check()
        page.get_by_label("Effort").select_option(effort)
        page.get_by_label("Series").fill(series[0] if series else "")
        page.get_by_label("Part").fill(series[1] if series else "")
        page.get_by_role("button", name="Keep and add another").click()
        expect(page.get_by_label("Title")).to_have_value("")
    page.goto("/classes/")
    expect(page.locator("main .lines > li")).to_have_count(len(CLASSES))


def wish(page: Page) -> None:
    page.goto("/uploads/wishes/")
    days = page.get_by_role("group", name="On these weekdays")
    days.get_by_label("Tuesday").check()
    days.get_by_label("Saturday").check()
    page.get_by_label("Hours a week").fill("8")
    page.get_by_role("button", name="Keep").click()
    expect(page).to_have_url(re.compile(r"/uploads/2026-12/$"))


def plan_and_accept(page: Page) -> list[tuple[date, str]]:
    """Next month planned and accepted; what the page then shows, by day."""
    page.get_by_role("link", name="January 2027").click()
    page.get_by_role("button", name="Plan this month").click()
    expect(page.get_by_text("a proposal: nine uploads, the best for your wishes")).to_be_visible()
    page.get_by_role("button", name="Accept all nine").click()
    expect(page.get_by_text("nine uploads planned")).to_be_visible()
    shown: list[tuple[date, str]] = []
    for cell in page.locator(".month td:has(.up)").all():
        day = int(cell.locator(".day").inner_text().split()[-1])
        shown.append((date(2027, 1, day), cell.locator(".up > a").inner_text()))
    return shown


def feed_address(page: Page) -> str:
    page.goto("/feeds/")
    page.get_by_role("button").filter(has_text=re.compile("address", re.I)).first.click()
    return page.get_by_text(re.compile(r"^https?://\S+\.ics$")).first.inner_text().strip()


def read_feed(address: str) -> list[tuple[date, str]]:
    with urllib.request.urlopen(address) as answer:
        calendar: Any = icalendar.Calendar.from_ical(answer.read())
    events = recurring_ical_events.of(calendar).between(date(2027, 1, 1), date(2027, 2, 1))
    found = ((event["DTSTART"].dt, str(event["SUMMARY"])) for event in events)
    out = "Publish: "  # beside them stand the days for making each
    return sorted((day, words.removeprefix(out)) for day, words in found if words.startswith(out))
