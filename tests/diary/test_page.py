"""The page of who is to be reassessed."""

from __future__ import annotations

import re
from datetime import date
from html import unescape
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from clients.actions import record_warning_sign, snooze
from clients.models import MeasuringPolicy
from clients.rules.words import NEVER_IF_QUIET
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry, User
from tests import factories_diary as made


def text(browser: Browser) -> str:
    """What the page prints, without its tags."""
    page = browser.get(reverse("diary:index")).content.decode()
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", page)).split())


def test_the_page_is_for_those_who_see_health(people: dict[str, Any], signed_in: Any) -> None:
    """Who was measured when is a health fact: nobody but the owner sees the list."""
    answers = {
        name: signed_in(person).get(reverse("diary:index")).status_code
        for name, person in people.items()
    }
    assert answers == {
        "owner": 200,
        "covering coach": 403,
        "assistant": 403,
        "bookkeeper": 403,
        "leaver": 302,
        "nobody": 302,
    }


def test_the_section_is_shown_to_those_who_may_open_it(
    people: dict[str, Any], signed_in: Any
) -> None:
    link = f'href="{reverse("diary:index")}"'
    shown = {
        name: link in signed_in(people[name]).get("/").content.decode()
        for name in ("owner", "covering coach", "assistant", "bookkeeper")
    }
    assert shown == {
        "owner": True,
        "covering coach": False,
        "assistant": False,
        "bookkeeper": False,
    }


def test_a_line_tells_how_late_it_is_and_why_and_leads_to_the_form(browser: Browser) -> None:
    client = made.afterwards("Łucja Brzoza", date(2026, 9, 1))
    made.assessed(client, date(2026, 11, 3))
    page = browser.get(reverse("diary:index")).content.decode()
    (line,) = re.findall(r"<li>\s*<span class=\"when.*?</li>", page, re.S)
    assert '<span class="when late">late 9&nbsp;d</span>' in line
    assert 'Łucja Brzoza</a></b> <span class="quiet">by 24 November</span>' in line
    assert f'<a class="do" href="{reverse("clients:assess", args=[client.pk])}">start' in line
    assert re.findall(r'<span class="note">(.*?)</span>', line)[:2] == [
        "Passed 12 weeks on 24 November; last measured at 9 weeks",
        "Every 4 weeks (common practice); last measured on 3 November",
    ]


def test_a_first_one_is_not_called_another(browser: Browser) -> None:
    made.afterwards("Ines Prado", date(2026, 7, 1))
    assert (
        "late 17 d Assess Ines Prado by 16 November start : Ines Prado No assessment on file yet; "
        "within 14 days of 2 November, the day she came (common practice)"
    ) in text(browser)


def test_one_to_come_names_its_day(browser: Browser) -> None:
    made.assessed(made.pregnant("Orla Kinsale", date(2027, 1, 21)), date(2026, 11, 12))
    assert (
        "In the next two weeks 1 10 Dec Reassess Orla Kinsale start : Orla Kinsale "
        "Every 4 weeks (common practice); last measured on 12 November"
    ) in text(browser)


def test_nobody_to_be_reassessed_is_said(browser: Browser) -> None:
    page = text(browser)
    assert "Nobody is to be reassessed now." in page
    assert "Nobody in the next two weeks." in page


def test_whoever_is_past_her_date_is_listed_apart_and_leads_to_her_page(browser: Browser) -> None:
    client = made.pregnant("Orla Kinsale", date(2026, 12, 1))
    page = browser.get(reverse("diary:index")).content.decode()
    assert f'<a class="do" href="{reverse("clients:client", args=[client.pk])}">open' in page
    assert "Ask how she is first 1 Orla Kinsale open" in text(browser)


@pytest.mark.parametrize(
    "due", [date(2026, 12, 1), date(2026, 12, 20), date(2027, 3, 1), date(2027, 7, 1)]
)
def test_a_quiet_client_is_told_in_weeks_alone(browser: Browser, due: date) -> None:
    made.assessed(made.pregnant("Orla Kinsale", due, quiet=True), date(2026, 10, 1))
    made.assessed(
        made.afterwards("Ines Prado", due.replace(year=2025), quiet=True), date(2026, 9, 1)
    )
    # A form's token is 64 random letters and now and then spells a word.
    source = re.sub(
        r"\b[A-Za-z0-9]{64}\b", "", browser.get(reverse("diary:index")).content.decode()
    )
    page = source.lower()
    assert "orla kinsale" in page
    assert "ines prado" in page
    assert [word for word in NEVER_IF_QUIET if word in page] == []


def test_after_a_loss_the_list_says_weeks_and_no_more(browser: Browser) -> None:
    made.assessed(made.afterwards("Ines Prado", date(2026, 10, 20), "loss"), date(2026, 10, 1))
    page = text(browser)
    assert "by 1 December" in page
    assert "Passed 6 weeks on 1 December; last measured on 1 October" in page
    assert "loss" not in page.lower()


def test_looking_is_recorded_once_and_without_values(browser: Browser, owner: User) -> None:
    made.afterwards("Ines Prado", date(2026, 7, 1))
    text(browser)
    entry = AuditEntry.objects.get()
    assert (entry.actor, entry.verb, entry.fields, entry.reason) == (
        owner,
        "looked at",
        ["assessments", "pregnancies"],
        "who is to be reassessed",
    )


def test_a_name_is_printed_as_typed_and_never_read_as_markup(browser: Browser) -> None:
    made.afterwards("<b>Ines</b> & co", date(2026, 7, 1))
    page = browser.get(reverse("diary:index")).content.decode()
    assert "&lt;b&gt;Ines&lt;/b&gt; &amp; co" in page


def test_what_asks_soon_after_is_told_with_its_day(browser: Browser) -> None:
    client = made.pregnant("Orla Kinsale", date(2027, 1, 21))
    made.assessed(client, date(2026, 11, 12), leaking="yes", doming="yes")
    assert (
        "Leaking, last said on 12 November; within 7 days (common practice) "
        "Doming, found on 12 November; again after 2 weeks (common practice) "
        "Also by 10 December: Every 4 weeks (common practice); last measured on 12 November"
    ) in text(browser)


def test_on_hold_the_line_leads_to_writing_and_offers_no_snooze(browser: Browser) -> None:
    client = made.afterwards("Ines Prado", date(2026, 7, 1), email="ines@example.org")
    record_warning_sign(by=SYSTEM, client=client, code="dizzy", happened_on=date(2026, 12, 1))
    page = browser.get(reverse("diary:index")).content.decode()
    (line,) = re.findall(r"<li>\s*<span class=\"when.*?</li>", page, re.S)
    assert '<a class="do" href="mailto:ines@example.org">write to her' in line
    assert (reverse("clients:assess", args=[client.pk]) in line, "snooze" in line) == (False, False)
    assert "on hold On hold: nothing is measured before a clinician has answered" in (
        " ".join(re.sub(r"<[^>]+>", " ", line).split()).replace("write to her : Ines Prado ", "")
    )


def test_snoozed_clients_lie_folded_with_day_and_reason(browser: Browser) -> None:
    client = made.afterwards("Ines Prado", date(2026, 7, 1))
    snooze(by=SYSTEM, client=client, until=date(2026, 12, 20), reason="On holiday")
    assert (
        "Snoozed: 1 20 Dec Ines Prado wanted by 16 November ask now : Ines Prado On holiday"
    ) in text(browser)


def test_a_reason_that_says_too_much_is_not_shown_while_she_is_quiet(browser: Browser) -> None:
    client = made.afterwards("Ines Prado", date(2026, 7, 1), quiet=True)
    snooze(by=SYSTEM, client=client, until=date(2026, 12, 20), reason="With her mother")
    page = text(browser)
    assert ("mother" in page, "A note is kept that is not shown" in page) == (False, True)


def test_whoever_waits_after_a_loss_stands_apart_with_one_tap_to_resume(browser: Browser) -> None:
    client = made.afterwards("Ines Prado", date(2026, 10, 10), "loss", quiet=True)
    assert "Waits until you resume it 1 Ines Prado resume" in text(browser)
    answer = browser.post(reverse("diary:resume", args=[client.pk]))
    assert answer.headers["Location"] == reverse("diary:index")
    assert "Assess Ines Prado" in text(browser)


def test_the_weeks_ahead_are_a_table(browser: Browser) -> None:
    made.assessed(made.afterwards("Ines Prado", date(2026, 7, 1)), date(2026, 11, 20))
    assert (
        "In each of the next 12 weeks 1 Week of How many Beside the others "
        "now 0 7 Dec 0 14 Dec 0 21 Dec 0 28 Dec 1 4 Jan 2027 0"
    ) in text(browser)


def test_the_numbers_in_force_stand_on_the_page_with_their_source(browser: Browser) -> None:
    assert ("7 A symptom she told: again within so many days (common practice, no source)") in text(
        browser
    )
    values = {"reassessment": {"symptom_days": 3}}
    MeasuringPolicy.objects.create(begins=date(2026, 12, 1), values=values)
    assert ("3 A symptom she told: again within so many days (policy of the practice)") in text(
        browser
    )


def test_thirty_lines_cost_the_queries_of_one(browser: Browser) -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as captured:
            browser.get(reverse("diary:index"))
        return len(captured)

    def add(n: int) -> None:
        made.assessed(made.afterwards(f"Late {n}", date(2026, 7, 1)), date(2026, 9, 1))
        made.assessed(made.afterwards(f"Soon {n}", date(2026, 7, 1)), date(2026, 11, 1))
        made.pregnant(f"Ask {n}", date(2026, 12, 1))

    add(0)
    one = queries()
    for n in range(1, 30):
        add(n)
    assert queries() == one
