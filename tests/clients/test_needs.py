"""How many clients a month's classes are planned for, stage by stage."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from clients.queries import needs
from clients.rules.needs import Needed, Needs, count_needs
from coach.scheduling.dates import Ending, PregnancyDates
from coach.scheduling.values import Stage
from tests import factories

TODAY = date(2026, 12, 3)
MONTH = [date(2027, 1, 5), date(2027, 1, 26)]


def due(n: int) -> PregnancyDates:
    return PregnancyDates(due=TODAY + timedelta(days=n))


def born(n: int) -> PregnancyDates:
    day = TODAY + timedelta(days=n)
    return PregnancyDates(due=day, ended=day, ending=Ending.BIRTH)


def one(*pregnancies: PregnancyDates, standing: str = "active", quiet: bool = False) -> Needed:
    return Needed(standing, quiet, pregnancies)


ROWS: list[tuple[str, Needed, list[str], str]] = [
    # given                    client            stages on the two days   counted apart as
    ("in trimester 3", one(due(80)), ["t3", "t3"], ""),
    ("due between the days", one(due(40)), ["t3", "w0-6"], ""),
    ("passing 14 weeks", one(due(280 - 55)), ["t1", "t2"], ""),
    ("born lately", one(born(-12)), ["w6-12"] * 2, ""),
    ("passing 12 weeks", one(born(-48)), ["w6-12", "w12-26"], ""),
    ("past the due date", one(due(-1)), [], "past_due"),
    ("stage not known", one(), [], "unknown"),
    ("quiet", one(due(80), quiet=True), [], "quiet"),
    ("quiet and past the due date", one(due(-1), quiet=True), [], "quiet"),
    ("paused", one(due(80), standing="paused"), [], "paused"),
    ("paused and quiet", one(due(80), standing="paused", quiet=True), [], "paused"),
    ("former", one(due(80), standing="former"), [], ""),
]  # fmt: skip


@pytest.mark.parametrize(("given", "client", "stages", "apart"), ROWS, ids=[r[0] for r in ROWS])
def test_one_client(given: str, client: Needed, stages: list[str], apart: str) -> None:
    found = count_needs([client], today=TODAY, days=MONTH)
    counted = [{Stage(code): 1} for code in stages] or [{}, {}]
    assert found == Needs(
        by_day=dict(zip(MONTH, counted, strict=True)), **({apart: 1} if apart else {})
    )
    assert found.apart == bool(apart)


def test_everybody_coached_is_counted_once(practice: Any) -> None:
    for _, client, _, _ in ROWS:
        row = factories.client(standing=client.standing, quiet=client.quiet)
        for dates in client.pregnancies:
            factories.pregnancy(row, due=dates.due, ended=dates.ended, ending=dates.ending or "")
    found = needs(today=TODAY, days=MONTH)
    assert found == count_needs([client for _, client, _, _ in ROWS], today=TODAY, days=MONTH)
    assert [sum(counted.values()) + found.apart for counted in found.by_day.values()] == [11, 11]


@pytest.mark.parametrize("count", [1, 30])
def test_three_queries_whatever_the_size(
    practice: Any, count: int, django_assert_num_queries: Any
) -> None:
    for _ in range(count):
        factories.pregnancy(factories.client(), due=date(2027, 2, 1))
    with django_assert_num_queries(3):
        assert needs(today=TODAY, days=MONTH).by_day[MONTH[0]] == {Stage.TRIMESTER_3: count}
