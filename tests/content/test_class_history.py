"""The published history, month by month."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from coach.practice.models import User
from content.models import State, Upload
from tests import factories

URL = reverse("classes:history")


def _published(day: date, title: str = "", state: str = State.PUBLISHED) -> Upload:
    return factories.upload(day, factories.fitness_class(title, state=state))


def _months(html: str) -> list[tuple[str, str]]:
    return re.findall(r'<h2>(\w+ \d{4}) <span class="n">(\d+)</span></h2>', html)


def _lines(html: str) -> list[tuple[str, str]]:
    return re.findall(
        r'<span class="when">([^<]+)</span>\s*<span class="what"><b><a[^>]*>([^<]+)', html
    )


def test_months_and_days_come_latest_first(browser: Browser) -> None:
    _published(date(2026, 11, 5), "Alpha")
    _published(date(2026, 12, 1), "Bravo")
    _published(date(2026, 11, 7), "Charlie")
    html = browser.get(URL).content.decode()
    assert _months(html) == [("December 2026", "1"), ("November 2026", "2")]
    assert _lines(html) == [("Tue 1", "Bravo"), ("Sat 7", "Charlie"), ("Thu 5", "Alpha")]


def test_only_what_came_out_is_history(browser: Browser) -> None:
    _published(date(2026, 12, 2), "Planned", State.SCHEDULED)
    factories.fitness_class("Idea", state=State.IDEA)
    cancelled = _published(date(2026, 11, 5), "Cancelled", State.WITHDRAWN)
    Upload.objects.filter(pk=cancelled.pk).update(cancelled_at=cancelled.created_at)
    html = browser.get(URL).content.decode()
    assert _lines(html) == []
    assert "Nothing is published yet." in html


def test_a_class_withdrawn_since_stays_and_is_marked(browser: Browser) -> None:
    _published(date(2026, 11, 5), "Alpha", State.WITHDRAWN)
    html = browser.get(URL).content.decode()
    assert _lines(html) == [("Thu 5", "Alpha")]
    assert "withdrawn since" in html


def test_a_month_cut_by_the_end_of_a_page_still_counts_whole(browser: Browser) -> None:
    for number in range(61):
        _published(date(2026, 11, 30) - timedelta(days=number % 30))
    first, second = (browser.get(URL, {"page": page}).content.decode() for page in (1, 2))
    assert (_months(first), len(_lines(first))) == ([("November 2026", "61")], 60)
    assert (_months(second), len(_lines(second))) == ([("November 2026", "61")], 1)


def test_queries_are_as_many_with_one_row_as_with_thirty(
    browser: Browser,
) -> None:
    counts, core = [], factories.series()
    for more in (range(1, 2), range(2, 31)):
        for part in more:
            item = factories.fitness_class(state=State.PUBLISHED, series=core, part=part)
            factories.upload(date(2026, 11, 1) - timedelta(days=part * 5), item)
        with CaptureQueriesContext(connection) as queries:
            browser.get(URL)
        counts.append(len(queries))
    assert counts[0] == counts[1]


@pytest.mark.parametrize(
    ("who", "status"),
    [
        ("owner", 200),
        ("assistant", 200),
        ("covering coach", 200),
        ("bookkeeper", 403),
        ("leaver", 302),
        ("nobody", 302),
    ],
)
def test_who_sees_the_history(
    people: dict[str, User | None], signed_in: Any, who: str, status: int
) -> None:
    assert signed_in(people[who]).get(URL).status_code == status
