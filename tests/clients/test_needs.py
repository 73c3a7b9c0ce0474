"""How many clients a month's classes are planned for, stage by stage, and who of them is ready."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clients.queries import needs
from clients.rules.go_ahead import Span
from clients.rules.needs import Needed, Needs, count_needs
from clients.rules.told_stage import Told
from coach.scheduling.dates import Ending, PregnancyDates, forecast_stage, stage_on
from coach.scheduling.values import GoAheadWord, Stage
from tests import factories

TODAY = date(2026, 12, 3)
MONTH = [date(2027, 1, 5), date(2027, 1, 26)]
NOBODY: dict[date, dict[Stage, int]] = {day: {} for day in MONTH}


def due(n: int) -> PregnancyDates:
    return PregnancyDates(due=TODAY + timedelta(days=n))


def born(n: int) -> PregnancyDates:
    day = TODAY + timedelta(days=n)
    return PregnancyDates(due=day, ended=day, ending=Ending.BIRTH)


def word(*words: tuple[int, GoAheadWord]) -> tuple[Span, ...]:
    """Words from so many days on, each until the next; the last one open."""
    firsts = [TODAY + timedelta(days=n) for n, _ in words]
    lasts = [*(day - timedelta(days=1) for day in firsts[1:]), None]
    return tuple(Span(f, la, w) for f, la, (_, w) in zip(firsts, lasts, words, strict=True))


YES = word((0, GoAheadWord.YES))
HOLD = word((0, GoAheadWord.ON_HOLD))


def one(*pregnancies: PregnancyDates, standing: str = "active", quiet: bool = False,
        spans: tuple[Span, ...] = YES) -> Needed:  # fmt: skip
    return Needed(standing, quiet, pregnancies, spans)


ROWS: list[tuple[str, Needed, list[str], str, str]] = [
    # given                    client            stages on the two days   ready   counted apart as
    ("in trimester 3", one(due(80)), ["t3", "t3"], "11", ""),
    ("due between the days", one(due(40)), ["t3", "w0-6"], "10", ""),
    ("due on the first day", one(due(33)), ["w0-6", "w0-6"], "00", ""),
    ("passing 14 weeks", one(due(280 - 55)), ["t1", "t2"], "11", ""),
    ("born lately", one(born(-12)), ["w6-12"] * 2, "11", ""),
    ("passing 12 weeks", one(born(-48)), ["w6-12", "w12-26"], "11", ""),
    ("past the due date", one(due(-1)), [], "00", "past_due"),
    ("stage not known", one(), [], "00", "unknown"),
    ("quiet", one(due(80), quiet=True), [], "00", "quiet"),
    ("quiet and past the due date", one(due(-1), quiet=True), [], "00", "quiet"),
    ("paused", one(due(80), standing="paused"), [], "00", "paused"),
    ("paused and quiet", one(due(80), standing="paused", quiet=True), [], "00", "paused"),
    ("former", one(due(80), standing="former"), [], "00", ""),
    ("on hold", one(due(80), spans=HOLD), [], "00", "on_hold"),
    ("on hold and past the due date", one(due(-1), spans=HOLD), [], "00", "on_hold"),
    ("on hold and quiet", one(due(80), quiet=True, spans=HOLD), [], "00", "quiet"),
    ("on hold where she is", one(due(80), spans=word((0, GoAheadWord.YES),
     (1, GoAheadWord.ON_HOLD))), [], "00", "on_hold"),
    ("on hold from a week on", one(due(80), spans=word((0, GoAheadWord.YES),
     (40, GoAheadWord.ON_HOLD))), ["t3", "t3"], "10", ""),
    ("waiting", one(due(80), spans=word((0, GoAheadWord.WAITING))), ["t3", "t3"], "00", ""),
    ("nothing worked out", one(due(80), spans=()), ["t3", "t3"], "00", ""),
    ("a letter that runs out between", one(due(80), spans=word((0, GoAheadWord.YES_WITH_LIMITS),
     (40, GoAheadWord.RUN_OUT))), ["t3", "t3"], "10", ""),
    ("a letter from between the days", one(born(-48), spans=word((0, GoAheadWord.WAITING),
     (40, GoAheadWord.SCREENED))), ["w6-12", "w12-26"], "01", ""),
]  # fmt: skip


@pytest.mark.parametrize(
    ("given", "client", "stages", "ready", "apart"), ROWS, ids=[r[0] for r in ROWS]
)
def test_one_client(given: str, client: Needed, stages: list[str], ready: str, apart: str) -> None:
    found = count_needs([client], today=TODAY, days=MONTH)
    counted = [{Stage(code): 1} for code in stages] or [{}, {}]
    cleared = [row if one == "1" else {} for row, one in zip(counted, ready, strict=True)]
    assert found == Needs(
        by_day=dict(zip(MONTH, counted, strict=True)),
        ready=dict(zip(MONTH, cleared, strict=True)),
        enquiries=NOBODY,
        **({apart: 1} if apart else {}),
    )
    assert found.apart == bool(apart)


def test_everybody_coached_is_counted_once(practice: Any) -> None:
    """Without any letter: nobody is on hold, and nobody ready."""
    clients = [replace(row[1], spans=()) for row in ROWS]
    for client in clients:
        row = factories.client(standing=client.standing, quiet=client.quiet)
        for dates in client.pregnancies:
            factories.pregnancy(row, due=dates.due, ended=dates.ended, ending=dates.ending or "")
    found = needs(today=TODAY, days=MONTH)
    assert found == count_needs(clients, today=TODAY, days=MONTH)
    coached = sum(client.standing != "former" for client in clients)
    assert [sum(row.values()) + found.apart for row in found.by_day.values()] == [coached] * 2
    assert found.ready == NOBODY


DATES = st.builds(
    PregnancyDates,
    due=st.none() | st.integers(-900, 400).map(lambda n: TODAY + timedelta(days=n)),
    ended=st.none() | st.integers(-900, 0).map(lambda n: TODAY + timedelta(days=n)),
    ending=st.none() | st.sampled_from(Ending),
)


@given(st.lists(DATES, max_size=3), st.integers(0, 400))
def test_nobody_is_lost_on_a_later_day(pregnancies: list[PregnancyDates], ahead: int) -> None:
    """Who has a servable stage today has one on every later day, so that each is counted there."""
    day = TODAY + timedelta(days=ahead)
    if stage_on(pregnancies, TODAY).servable:
        assert forecast_stage(pregnancies, today=TODAY, on=day).servable
    found = count_needs([one(*pregnancies)], today=TODAY, days=[day])
    assert sum(found.by_day[day].values()) + found.apart == 1
    assert set(found.ready[day]) <= set(found.by_day[day])


def test_enquiries_stand_beside_the_clients() -> None:
    asked = [
        Told(TODAY, due(40)),
        Told(TODAY, born(-48)),
        Told(TODAY, stage=Stage.TRIMESTER_1),
        Told(TODAY),
        Told(TODAY, due(-3)),
    ]
    found = count_needs([one(due(80))], today=TODAY, days=[TODAY, *MONTH], enquiries=asked)
    assert found.enquiries == {
        TODAY: {Stage.TRIMESTER_3: 1, Stage.WEEKS_6_12: 1, Stage.TRIMESTER_1: 1},
        MONTH[0]: {Stage.TRIMESTER_3: 1, Stage.WEEKS_6_12: 1},
        MONTH[1]: {Stage.WEEKS_0_6: 1, Stage.WEEKS_12_26: 1},
    }
    assert found.enquiries_unknown == 2
    assert [row for row in found.by_day.values()] == [{Stage.TRIMESTER_3: 1}] * 3
    assert found.apart == 0
