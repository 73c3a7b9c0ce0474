"""The shelf: every class, its filters, and what a line says and offers."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from coach.practice.models import User
from content.models import State
from tests import factories

URL = reverse("classes:shelf")
HTMX = {"HX-Request": "true", "HX-Target": "shelf"}


def _text(browser: Browser, **query: Any) -> str:
    return browser.get(URL, query).content.decode()


def _titles(html: str) -> list[str]:
    return re.findall(r'<b><a href="/classes/\d+/">([^<]+)</a></b>', html)


@pytest.fixture
def shelf(practice: object) -> None:
    core = factories.series("Standing core")
    factories.fitness_class("Alpha", state=State.IDEA, stages=["t3"], minutes=30)
    factories.fitness_class("Bravo", state=State.OUTLINED, focus="legs", stages=[], minutes=10)
    factories.fitness_class("Charlie", state=State.FILMED, series=core, part=2)
    factories.fitness_class("Delta", state=State.EDITED, series=core, part=1, note="Squat, twice")
    scheduled = factories.fitness_class("Echo", state=State.SCHEDULED, stages=["t1", "w0-6"])
    factories.upload(date(2026, 12, 8), scheduled)
    published = factories.fitness_class("Foxtrot", state=State.PUBLISHED)
    factories.upload(date(2026, 11, 5), published)
    factories.fitness_class("Golf", state=State.WITHDRAWN)


@pytest.mark.parametrize(
    ("query", "titles"),
    [
        ({}, ["Echo", "Delta", "Charlie", "Bravo", "Alpha", "Foxtrot", "Golf"]),
        ({"group": "ideas"}, ["Bravo", "Alpha"]),
        ({"group": "making"}, ["Charlie"]),
        ({"group": "waiting"}, ["Echo", "Delta"]),
        ({"group": "published"}, ["Foxtrot"]),
        ({"group": "withdrawn"}, ["Golf"]),
        ({"focus": "legs"}, ["Bravo"]),
        ({"stage": "t1"}, ["Echo", "Delta", "Charlie", "Foxtrot", "Golf"]),
        ({"stage": "w6-12"}, ["Delta", "Charlie", "Foxtrot", "Golf"]),
        ({"stage": "unknown"}, ["Bravo"]),
        ({"q": "ALPH"}, ["Alpha"]),
        ({"q": "core stand"}, ["Delta", "Charlie"]),
        ({"q": "twice"}, ["Delta"]),
        ({"q": "100%"}, []),
        ({"q": "core", "group": "making"}, ["Charlie"]),
        ({"sort": "newest", "stage": "w6-12"}, ["Golf", "Foxtrot", "Delta", "Charlie"]),
        ({"sort": "title", "group": "ideas"}, ["Alpha", "Bravo"]),
        ({"sort": "length", "group": "ideas"}, ["Bravo", "Alpha"]),
        ({"sort": "series", "stage": "t2"}, ["Delta", "Charlie", "Foxtrot", "Golf"]),
        ({"sort": "day", "stage": "t1"}, ["Foxtrot", "Echo", "Charlie", "Delta", "Golf"]),
        ({"group": "nonsense", "sort": "nonsense", "stage": "t9", "q": "alpha"}, ["Alpha"]),
    ],
)
def test_filters_leave_these_classes_in_this_order(
    shelf: None, browser: Browser, query: dict[str, str], titles: list[str]
) -> None:
    assert _titles(_text(browser, **query)) == titles


def test_unpublished_days_come_soonest_first_and_published_ones_latest_first(
    browser: Browser,
) -> None:
    for day, state in ((9, "scheduled"), (4, "scheduled"), (1, "published"), (2, "published")):
        item = factories.fitness_class(f"{state} {day}", state=state)
        factories.upload(date(2026, 12, day), item)
    assert _titles(_text(browser)) == ["scheduled 4", "scheduled 9", "published 2", "published 1"]


def test_a_series_is_a_filter(shelf: None, browser: Browser) -> None:
    pk = factories.Series.objects.get().pk
    assert _titles(_text(browser, series=pk)) == ["Delta", "Charlie"]


def test_the_groups_tell_how_many_they_hold(shelf: None, browser: Browser) -> None:
    groups = browser.get(URL, {"q": "alpha"}).context["groups"]
    assert [(one.code, one.count) for one in groups] == [
        ("ideas", 2),
        ("making", 1),
        ("waiting", 2),
        ("published", 1),
        ("withdrawn", 1),
    ]


def test_a_line_says_what_there_is_to_know(browser: Browser) -> None:
    core = factories.series("Standing core")
    item = factories.fitness_class(
        "Hips",
        state=State.FILMED,
        series=core,
        part=3,
        stages=["t3"],
        effort=4,
        minutes_of_work=150,
    )
    factories.upload(date(2026, 12, 8), item)
    html = _text(browser)
    note = re.search(r'<span class="note">(.*)</span>\n', html)
    assert note is not None
    assert re.sub(r"</?span[^>]*>", "", note[1]) == (
        "Standing core, part 3 · core · effort 4 · trimester 3"
        " · 2 h 30 min of work to do · planned for 8 December"
    )


def test_stages_not_known_carry_their_mark(browser: Browser) -> None:
    factories.fitness_class("Hips", stages=[])
    assert re.search(r'<span class="mark">.*?</svg>stages not known</span>', _text(browser))


@pytest.mark.parametrize(
    ("state", "day", "action"),
    [
        (State.IDEA, None, "change"),
        (State.EDITED, None, "give it a day"),
        (State.SCHEDULED, date(2026, 12, 3), "publish"),
        (State.SCHEDULED, date(2026, 12, 4), None),
        (State.PUBLISHED, date(2026, 12, 1), None),
    ],
)
def test_a_line_offers_what_the_class_asks_for(
    browser: Browser, state: str, day: date | None, action: str | None
) -> None:
    item = factories.fitness_class("Hips", state=state)
    if day:
        factories.upload(day, item)
    found = re.search(r'<a class="do"[^>]*>([^<]+)', _text(browser))
    assert (found.group(1) if found else None) == action


def test_a_day_that_has_passed_is_marked_late(browser: Browser) -> None:
    factories.upload(date(2026, 12, 2), factories.fitness_class("Hips", state=State.SCHEDULED))
    assert '<span class="late">was planned for 2 December</span>' in _text(browser)


def test_a_cancelled_day_is_not_shown(browser: Browser) -> None:
    upload = factories.upload(date(2026, 12, 8), factories.fitness_class("Hips"))
    factories.Upload.objects.update(cancelled_at=upload.created_at)
    assert "planned for" not in _text(browser)


def test_pages_keep_the_filters(browser: Browser) -> None:
    for number in range(41):
        factories.fitness_class(f"Hips {number}")
    html = _text(browser, q="hips", sort="title")
    assert 'href="?q=hips&amp;sort=title&amp;page=2"' in html
    assert len(_titles(html)) == 40
    assert _titles(_text(browser, q="hips", sort="title", page=2)) == ["Hips 9"]


def test_htmx_gets_the_list_alone_and_everybody_else_the_page(
    shelf: None, browser: Browser
) -> None:
    part = browser.get(URL, {"q": "alpha", "group": "ideas"}, headers=HTMX)
    assert part.content.decode().strip().startswith('<div id="shelf">')
    assert _titles(part.content.decode()) == ["Alpha"]
    assert b"<html" not in part.content
    assert b'<input type="hidden" name="group" value="ideas" form="filters">' in part.content
    assert {"HX-Request", "HX-Target"} <= {name.strip() for name in part["Vary"].split(",")}
    restored = {**HTMX, "HX-History-Restore-Request": "true"}
    assert b"<html" in browser.get(URL, headers=restored).content
    assert b"<html" in browser.get(URL).content


def test_an_empty_shelf_says_how_to_begin(browser: Browser) -> None:
    html = _text(browser)
    assert "No classes yet." in html
    assert reverse("classes:add") in html


def test_no_hit_says_so_and_leads_back(shelf: None, browser: Browser) -> None:
    html = _text(browser, q="zulu")
    assert "No class fits all of that." in html
    assert "No classes yet." not in html


def test_the_page_carries_the_caution(browser: Browser) -> None:
    assert "not medical advice" in _text(browser)


def test_titles_are_escaped(browser: Browser) -> None:
    factories.fitness_class("<script>alert(1)</script>")
    assert "<script>alert(1)" not in _text(browser)


def _make(count: int) -> None:
    series = factories.series()
    for number in range(count):
        item = factories.fitness_class(series=series, part=number + 1, state=State.SCHEDULED)
        factories.upload(date(2026, 12, 8), item)


def test_queries_are_as_many_with_one_row_as_with_thirty(
    browser: Browser,
) -> None:
    counts = []
    for more in (1, 29):
        _make(more)
        with CaptureQueriesContext(connection) as queries:
            _text(browser, q="class", stage="t1", sort="day")
        counts.append(len(queries))
    assert counts[0] == counts[1]


@pytest.mark.parametrize(
    ("who", "status", "may_add"),
    [
        ("owner", 200, True),
        ("assistant", 200, True),
        ("covering coach", 200, False),
        ("bookkeeper", 403, None),
        ("leaver", 302, None),
        ("nobody", 302, None),
    ],
)
def test_who_sees_the_shelf(
    people: dict[str, User | None], signed_in: Any, who: str, status: int, may_add: bool | None
) -> None:
    factories.fitness_class("Hips")
    answer = signed_in(people[who]).get(URL)
    assert answer.status_code == status
    if may_add is not None:
        html = answer.content.decode()
        assert (reverse("classes:add") in html, "give it a day" in html) == (may_add, may_add)
