"""The page of the pace: its figures in words, its table of stages, and who sees which."""

from __future__ import annotations

import re
from datetime import date, timedelta
from fractions import Fraction
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from clients.models import Enquiry
from coach.practice.permissions import Role
from coach.scheduling.cadence import Gaps, InHand
from content.models import ClassCheck, FitnessClass, State
from content.queries.making import checklist
from content.queries.pace import pace_page
from content.rules import pace
from tests import factories
from tests.clients.pages import read
from tests.clients.test_needs_of_the_roster import cleared
from tests.factories_clearance import sign

URL = reverse("uploads:pace")
TODAY = date(2026, 12, 3)
T3 = ["t3"]


def published(day: date, *, focus: str = "core", stages: list[str] | None = None) -> FitnessClass:
    item = factories.fitness_class(state=State.PUBLISHED, focus=focus, stages=stages or T3)
    factories.upload(day, item)
    return item


@pytest.fixture
def told(practice: Any) -> None:
    """Two a week wanted, four came out, three wait, one is being made."""
    factories.wishes(weekdays=[1, 5])
    for n in (30, 16, 9, 2):
        published(TODAY - timedelta(days=n), focus="legs" if n == 9 else "core")
    for _ in range(3):
        factories.fitness_class(stages=["w6-12"])
    factories.fitness_class(state=State.OUTLINED, stages=T3)


def test_the_figures_are_said_in_words(browser: Browser, told: None) -> None:
    text = read(browser.get(URL))
    assert "2 a week wanted: met in 0 of the last 4 weeks." in text
    for line in (
        "Weeks that met it 0 %",
        "Last one 2 days ago",
        "Usual gap 9.3 days, give or take 3.3",
        "Longest gap 14 days, from 3 November",
        "In hand 1½ weeks",
        "Filmed 0.9 a week, over the last eight weeks",
        "Without filming, the last finished class goes out on 14 December; at today’s rate of "
        "filming you run out on 22 December.",
    ):
        assert line in text
    assert len(re.findall("<rect ", browser.get(URL).content.decode())) == 26


def test_days_since_each_focus_and_stage(browser: Browser, told: None) -> None:
    page = browser.get(URL).context["page"]
    focus = {one.code: one.days for one in page.since_focus if one.days is not None}
    stages = {one.code: one.days for one in page.since_stage if one.days is not None}
    assert (focus, stages) == ({"legs": 9, "core": 2}, {"t3": 2})
    days = [one.days for one in page.since_focus]
    assert days == [None] * 6 + [9, 2]  # what never came out first
    assert "legs 9 days ago core 2 days ago" in read(browser.get(URL))
    assert "trimester 2 never trimester 3 2 days ago" in read(browser.get(URL))


def test_a_stage_without_a_finished_class_stands_out(browser: Browser, told: None) -> None:
    for _ in range(3):
        cleared(due=date(2027, 3, 22) + timedelta(days=14))  # 28 weeks on 11 January, week 2
    text = read(browser.get(URL))
    assert (
        "Trimester 3: three clients from week 2, no finished class suits them. "
        "One in the making does." in text
    )
    assert "Trimester 2: three clients from week 50 until week 1, no finished class" in text


def test_each_week_has_its_clients_and_who_of_them_is_ready(browser: Browser, told: None) -> None:
    cleared(due=date(2027, 2, 21))
    factories.pregnancy(factories.client(), due=date(2027, 2, 10))
    Enquiry.objects.create(name="A", told_due=date(2027, 2, 20), came_on=TODAY)
    needed = browser.get(URL).context["page"].needed
    rows = {str(row.stage): row for row in needed.rows}
    assert [(row.stage, row.finished) for row in needed.shown] == [("t3", 0), ("w0-6", 0)]
    cells = {cell.week: (cell.clients, cell.ready, cell.enquiries) for cell in rows["t3"].cells}
    assert list(cells) == [f"2026-W{n}" for n in (50, 51, 52, 53)] + [
        f"2027-W0{n}" for n in range(1, 9)
    ]
    assert cells["2026-W50"] == (2, 1, 1)
    assert cells["2027-W06"] == (2, 1, 1)
    assert cells["2027-W07"] == (1, 1, 1)  # the other one is due on the Wednesday before
    assert [cell.clients for cell in rows["w0-6"].cells[-3:]] == [0, 1, 2]
    assert [cell.ready for cell in rows["w0-6"].cells[-3:]] == [0, 0, 0]
    assert (rows["w6-12"].finished, rows["t3"].making, rows["t3"].since) == (3, 1, 2)


def test_four_that_cannot_be_served_are_named_as_not_counted(browser: Browser, told: None) -> None:
    sign(cleared(), date(2026, 12, 1), code="bleeding")
    cleared(due=date(2026, 12, 1))
    cleared(standing="paused")
    cleared(quiet=True)
    answer = browser.get(URL)
    text = read(answer)
    said = "Not counted: one on hold, one past the due date, one quiet and one paused."
    assert said in text
    assert "no finished class suits" not in text
    assert answer.context["page"].needed.shown == ()


def test_it_says_what_is_missing(browser: Browser) -> None:
    assert "Say your wishes" in read(browser.get(URL))
    factories.wishes(rhythm="a week", a_week=3, weekdays=[])
    assert "Nothing is published yet." in read(browser.get(URL))
    published(TODAY)
    assert "3 a week wanted" in read(browser.get(URL))


@pytest.mark.parametrize(
    ("role", "pace", "stages", "wishes"),
    [
        (Role.OWNER, True, True, True),
        (Role.COVERING_COACH, True, True, False),
        (Role.ASSISTANT, True, False, True),
        (Role.BOOKKEEPER, False, False, False),
    ],
)
def test_clients_by_stage_are_for_those_who_see_stages(
    people: Any, signed_in: Any, role: str, pace: bool, stages: bool, wishes: bool
) -> None:
    cleared()
    answer = signed_in(people[role]).get(URL)
    assert answer.status_code == (200 if pace else 403)
    text = answer.content.decode()
    assert ("What the roster will need" in text) == stages
    assert ("ready" in read(answer)) == stages
    assert ("Say your wishes" in text) == wishes


def test_it_is_only_looked_at(browser: Browser) -> None:
    assert browser.post(URL).status_code == 405


def test_no_name_of_a_client_stands_on_it(browser: Browser, told: None) -> None:
    cleared(name="Honora Finch")
    Enquiry.objects.create(name="Perdita Lockhart", told="20 weeks", came_on=TODAY)
    text = browser.get(URL).content.decode()
    assert not {"Honora", "Perdita"} & set(re.findall(r"\w+", text))


def test_the_month_links_to_it(browser: Browser, told: None) -> None:
    page = browser.get("/uploads/2027-01/").content.decode()
    assert f'href="{URL}"' in page
    assert "met in 0 of the last 4 weeks" in page


def test_the_same_number_of_queries_however_much_there_is(browser: Browser) -> None:
    factories.wishes()

    def add(n: int) -> None:
        for _ in range(n):
            cleared()
            published(TODAY - timedelta(days=3))
            factories.fitness_class()
            Enquiry.objects.create(name="A", told="20 weeks", came_on=TODAY)

    counts = []
    for n in (1, 29):
        add(n)
        with CaptureQueriesContext(connection) as asked:
            assert browser.get(URL).context["page"].needed.shown
        counts.append(len(asked))
    assert counts[0] == counts[1]


def test_a_class_was_filmed_when_filming_was_ticked_off(practice: Any) -> None:
    """Else its lead before it came out, or the day its row was last changed while it waits."""
    factories.wishes(lead_film=10)
    out = published(TODAY - timedelta(days=50))  # filmed 60 days ago by her lead
    waits = factories.fitness_class()
    FitnessClass.objects.update(changed_at="2026-09-01T12:00:00Z")
    assert rate_now() is None
    FitnessClass.objects.filter(pk=waits.pk).update(changed_at="2026-11-20T12:00:00Z")
    assert rate_now() == Fraction(1, 8)
    codes = {one.step: one.code for one in checklist()}
    tick(out, codes["edit"], TODAY)
    assert rate_now() == Fraction(1, 8)
    tick(out, codes["film"], TODAY - timedelta(days=55))
    assert rate_now() == Fraction(2, 8)
    tick(waits, codes["film"], TODAY - timedelta(days=56))
    assert rate_now() == Fraction(1, 8)


def test_what_is_only_outlined_is_not_filmed(practice: Any) -> None:
    factories.wishes()
    published(TODAY - timedelta(days=100))
    for state in (State.IDEA, State.OUTLINED, State.WITHDRAWN):
        factories.fitness_class(state=state)
    assert rate_now() is None
    factories.fitness_class(state=State.FILMED)
    assert rate_now() == Fraction(1, 8)


def tick(item: FitnessClass, code: str, day: date) -> None:
    ClassCheck.objects.create(item=item, code=code, done_on=day)


def rate_now() -> Fraction | None:
    page = pace_page(today=TODAY)
    assert page is not None
    return page.figures.in_hand.rate


@pytest.mark.parametrize(
    ("in_hand", "rate", "ends"),
    [
        (
            InHand(Fraction(0), None),
            "nothing in the last eight weeks",
            "Nothing finished is waiting: what goes out next has still to be made.",
        ),
        (
            InHand(Fraction(2), date(2026, 12, 17), None, date(2026, 12, 17)),
            "nothing in the last eight weeks",
            "Without filming, the last finished class goes out on 17 December.",
        ),
        (
            InHand(Fraction(2), date(2026, 12, 17), Fraction(3), None),
            "3 a week, over the last eight weeks",
            "Without filming, the last finished class goes out on 17 December; at today’s rate "
            "of filming you never run out.",
        ),
        (
            InHand(Fraction(2), date(2026, 12, 17), Fraction(7, 4), date(2027, 11, 4)),
            "1.8 a week, over the last eight weeks",
            "Without filming, the last finished class goes out on 17 December; at today’s rate "
            "of filming you run out on 4 November 2027.",
        ),
    ],
)
def test_what_is_in_hand_in_words(in_hand: InHand, rate: str, ends: str) -> None:
    assert (pace.rate_in_words(in_hand), pace.ends_in_words(in_hand, TODAY)) == (rate, ends)


@pytest.mark.parametrize(
    ("share", "words"),
    [(None, ""), (Fraction(0), "0 %"), (Fraction(199, 200), "99 %"), (Fraction(1), "100 %")],
)
def test_a_share_is_never_rounded_up(share: Fraction | None, words: str) -> None:
    assert pace.share_in_words(share) == words


def test_a_gap_in_words() -> None:
    day = date(2026, 11, 9)
    assert pace.gap_in_words(Gaps(3.5, 0.5, 4, day)) == "3.5 days, give or take 0.5"
    assert pace.gap_in_words(Gaps(7.0, 0.0, 7, day)) == "7 days, always"
    assert [pace.ago(n) for n in (None, 0, 1, 2, 1200)] == [
        *("never", "today", "1 day ago", "2 days ago", "1,200 days ago")
    ]
