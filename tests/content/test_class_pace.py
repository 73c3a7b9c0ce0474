"""The pace beside the published history: its words, its bars, and when there is nothing to say."""

from __future__ import annotations

import re
from datetime import date, timedelta
from fractions import Fraction

import pytest
from django.test import Client as Browser
from django.urls import reverse

from coach.scheduling.cadence import InHand, iso_weeks, share_met
from content.models import State
from content.rules import pace
from tests import factories

URL = reverse("classes:history")
TODAY = date(2026, 12, 3)
MONDAY = date(2026, 11, 30)


def _days(*weeks_back: int) -> list[date]:
    """A Monday so many weeks before this one, once for each number."""
    return [MONDAY - timedelta(weeks=back) for back in weeks_back]


def test_a_bar_is_as_high_as_its_uploads_and_hollow_under_what_is_wanted() -> None:
    weeks = iso_weeks(_days(3, 3, 3, 3, 2, 2, 1), target=2, today=TODAY, weeks=4)
    drawn = pace.bars(weeks, target=2)
    assert [(bar.x, bar.y + bar.height, bar.height, bar.kind) for bar in drawn] == [
        (0, 36, 36, "met"),
        (10, 36, 18, "met"),
        (20, 36, 9, "missed"),
        (30, 36, 2, "missed"),
    ]
    assert drawn[2].words == "week 48 of 2026: 1 upload"


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (_days(3, 3, 2, 1, 1), "2 a week wanted: met in 2 of the last 3 weeks."),
        (_days(1), "2 a week wanted: not met last week."),
        (_days(1, 1), "2 a week wanted: met last week."),
        (_days(0, 0), "2 a week wanted: no whole week has gone by since the first upload."),
    ],
)
def test_the_words_count_whole_weeks_since_the_first_upload(days: list[date], words: str) -> None:
    weeks = iso_weeks(days, target=2, today=TODAY)
    assert pace.pace_in_words(weeks, target=2, first=min(days)) == words


def test_the_words_agree_with_the_share_of_the_cadence_rules() -> None:
    days = _days(9, 9, 8, 6, 6, 3, 3, 1)
    weeks = iso_weeks(days, target=2, today=TODAY)
    found = re.search(
        r"met in (\d+) of the last (\d+)", pace.pace_in_words(weeks, target=2, first=min(days))
    )
    assert found is not None
    assert Fraction(int(found[1]), int(found[2])) == share_met(weeks, first=min(days))


@pytest.mark.parametrize(
    ("weeks", "words"),
    [
        (Fraction(0), "nothing"),
        (Fraction(1, 3), "less than half a week"),
        (Fraction(1, 2), "½ week"),
        (Fraction(1), "1 week"),
        (Fraction(3, 2), "1½ weeks"),
        (Fraction(11, 3), "3½ weeks"),
        (Fraction(4), "4 weeks"),
    ],
)
def test_weeks_in_hand_are_never_rounded_up(weeks: Fraction, words: str) -> None:
    assert pace.in_hand_in_words(InHand(weeks, None)) == words


def _published(*days: date) -> None:
    for day in days:
        factories.upload(day, factories.fitness_class(state=State.PUBLISHED))


def test_the_history_tells_the_pace(browser: Browser) -> None:
    factories.wishes(weekdays=[1, 5])
    factories.fitness_class(state=State.EDITED)
    _published(*_days(2, 2, 1), date(2026, 12, 1))
    html = browser.get(URL).content.decode()
    assert "2 a week wanted: met in 1 of the last 2 weeks." in html
    assert len(re.findall(r"<rect ", html)) == 26
    assert re.findall(r"<dt>(.*?)</dt><dd>(.*?)</dd>", html) == [
        ("Last one", "2 days ago"),
        ("Usual gap", "7.5 days"),
        ("Longest gap", "8 days, from 23 November"),
        ("In hand", "½ week"),
    ]


def test_without_wishes_there_is_no_pace_to_measure(browser: Browser) -> None:
    _published(date(2026, 12, 1))
    html = browser.get(URL).content.decode()
    assert "<rect " not in html
    assert f'<a href="{reverse("uploads:wishes")}">Say your wishes</a>' in html
