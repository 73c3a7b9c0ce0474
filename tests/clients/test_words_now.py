"""The words of this moment: where the coach's and a client's date differ, the stricter counts."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from itertools import product
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from clients import queries
from clients.models import Client, GoAheadSpan
from clients.rules.facts import ClearanceWord
from clients.rules.go_ahead_words import STRICTEST_FIRST
from coach import clock
from coach.scheduling.values import GoAheadWord
from tests import factories, factories_clearance

TODAY = date(2026, 12, 3)
# At half past ten UTC it is the 3rd in Galway, the 4th on Kiritimati and still the 2nd on Niue.
EAST, HERE, WEST = "Pacific/Kiritimati", "Europe/Dublin", "Pacific/Niue"
DATES = {EAST: 1, HERE: 0, WEST: -1}


def d(days: int) -> date:
    return TODAY + timedelta(days=days)


@pytest.fixture
def three_dates(monkeypatch: pytest.MonkeyPatch, practice: Any) -> None:
    monkeypatch.setattr(clock, "today", lambda zone: d(DATES[str(zone)]))


def client(zone: str, *words: GoAheadWord, first: int = -1) -> Client:
    """A client whose stored words from day `first` on are these, the last one open."""
    made = factories.client(time_zone=zone)
    for n, word in enumerate(words):
        day = d(first + n)
        last = None if n == len(words) - 1 else day
        GoAheadSpan.objects.create(client=made, first=day, last=last, word=str(word))
    return made


def test_the_dates_of_the_zones_are_those_of_the_time_zone_database() -> None:
    moment = datetime(2026, 12, 3, 10, 30, tzinfo=UTC)
    assert {zone: (moment.astimezone(ZoneInfo(zone)).date() - TODAY).days for zone in DATES} == (
        DATES
    )


@pytest.mark.parametrize(("one", "two"), list(product(STRICTEST_FIRST, repeat=2)))
@pytest.mark.parametrize(("zone", "first"), [(EAST, 0), (WEST, -1)])
def test_the_stricter_of_both_dates_counts(
    three_dates: None, one: GoAheadWord, two: GoAheadWord, zone: str, first: int
) -> None:
    her = client(zone, one, two, first=first)
    found = queries.words_now()[her.pk].word
    assert found is min(one, two, key=STRICTEST_FIRST.index)


def test_where_it_is_one_date_only_that_counts(three_dates: None) -> None:
    her = client(HERE, GoAheadWord.ON_HOLD, GoAheadWord.YES, GoAheadWord.ON_HOLD)
    assert queries.words_now() == {her.pk: queries.SpanRow(GoAheadWord.YES, d(0), d(0))}


def test_a_date_without_a_span_waits(three_dates: None) -> None:
    west, none = client(WEST, GoAheadWord.YES, first=0), client(HERE)
    waits = queries.SpanRow(GoAheadWord.WAITING, None, None)
    assert queries.words_now() == {west.pk: waits, none.pk: waits}


def test_nobody_is_left_out_and_it_costs_the_same_for_one_and_for_thirty(
    three_dates: None,
) -> None:
    def cost() -> int:
        with CaptureQueriesContext(connection) as captured:
            found = queries.words_now()
        assert len(found) == Client.objects.count()
        return len(captured)

    client(EAST, GoAheadWord.YES)
    one = cost()
    for n in range(29):
        client((EAST, HERE, WEST)[n % 3], GoAheadWord.YES, GoAheadWord.WAITING)
    assert (one, cost()) == (3, 3)


@pytest.mark.parametrize("zone", DATES)
@pytest.mark.parametrize("last", [-1, 0, 1])
def test_her_page_and_the_lists_say_the_same(three_dates: None, zone: str, last: int) -> None:
    her = factories.client(time_zone=zone)
    factories.pregnancy(her, due=d(80))
    factories_clearance.clearance(her, d(-30), until=d(last))
    assert queries.words_now()[her.pk].word is queries.go_ahead_now(her).word


def test_what_a_clinician_forbids_counts_from_the_later_date_on_both(three_dates: None) -> None:
    her = factories.client(time_zone=EAST)
    factories.pregnancy(her, due=d(80))
    factories_clearance.clearance(her, d(1), word=ClearanceWord.AGAINST)
    assert queries.go_ahead_now(her).word is GoAheadWord.ON_HOLD
    assert queries.words_now()[her.pk].word is GoAheadWord.ON_HOLD


def test_the_roster_reads_them(three_dates: None) -> None:
    client(EAST, GoAheadWord.YES, GoAheadWord.RUN_OUT, first=0)
    lines = queries.roster(TODAY).lines
    assert [line.word for line in lines] == [GoAheadWord.RUN_OUT]
