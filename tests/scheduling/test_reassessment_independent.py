"""When she is seen again, in rows written from the request alone, before the rule was read.

Days are counted from today. Stages by weeks since a birth, or weeks of a pregnancy. The intervals
are common practice, no source, and the practice's own to change.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.scheduling.dates import TERM_DAYS, Ending, PregnancyDates
from coach.scheduling.reassessment import Found, History, due, policy, rules_with

TODAY = date(2026, 12, 3)


def d(days: int) -> date:
    return TODAY + timedelta(days=days)


def since(weeks: float, ending: Ending = Ending.BIRTH) -> tuple[PregnancyDates, ...]:
    """So many weeks after an end."""
    return (PregnancyDates(ended=d(-round(weeks * 7)), ending=ending),)


def running(weeks: int, days: int = 0) -> tuple[PregnancyDates, ...]:
    """So many weeks of a pregnancy today."""
    return (PregnancyDates(due=d(TERM_DAYS - weeks * 7 - days)),)


def heavy(day: int, began: int | None = None) -> Found:
    return Found("heaviness", "heaviness", True, d(day if began is None else began), d(day))


def doming(day: int) -> Found:
    return Found("doming", "doming", False, d(day), d(day))


def by(today: date = TODAY, **history: Any) -> int | None:
    """The day it is wanted by, counted from today; None: none is."""
    found = due(History(**history), today=today, rules=policy())
    return (found.by - TODAY).days if found else None


ROWS: list[tuple[str, dict[str, Any], int | None]] = [
    ("16 weeks after, clean, measured 10 days ago: six weeks from then",
     {"pregnancies": since(16), "last": d(-10)}, 32),
    ("8 weeks after, clean, measured 10 days ago: four weeks from then",
     {"pregnancies": since(8), "last": d(-10)}, 18),
    ("30 weeks after, clean, measured 10 days ago: twelve weeks from then",
     {"pregnancies": since(30), "last": d(-10)}, 74),
    ("20 weeks running, measured 10 days ago: six weeks from then",
     {"pregnancies": running(20), "last": d(-10)}, 32),
    ("30 weeks running, measured 10 days ago: four weeks from then",
     {"pregnancies": running(30), "last": d(-10)}, 18),
    ("overdue is overdue: a past day stays",
     {"pregnancies": since(24), "last": d(-60)}, -18),
    ("heaviness found ten days ago: within a week of that, so it is late",
     {"pregnancies": since(20), "last": d(-10), "findings": (heavy(-10),)}, -3),
    ("heaviness found today, measured today: within a week",
     {"pregnancies": since(20), "last": TODAY, "findings": (heavy(0),)}, 7),
    ("doming found, measured today: two weeks, which is as often as there is without a symptom",
     {"pregnancies": since(20), "last": TODAY, "findings": (doming(0),)}, 14),
    ("a sign answered yesterday: within a week of the answer",
     {"pregnancies": since(20), "last": d(-10), "signs_answered": (d(-1),)}, 6),
    ("a sign answered before the last one was taken asks no more",
     {"pregnancies": since(20), "last": d(-1), "signs_answered": (d(-3),)}, 41),
    ("never measured, go-ahead today: within two weeks",
     {"pregnancies": since(20), "go_ahead_on": TODAY, "since": d(-40)}, 14),
    ("never measured, go-ahead nine days ago: within two weeks of it",
     {"pregnancies": since(20), "go_ahead_on": d(-9), "since": d(-40)}, 5),
    ("back today after five weeks: within a week of coming back",
     {"pregnancies": since(20), "last": d(-40), "away_from": d(-35), "back_on": TODAY}, 2),
    ("back today after five weeks, measured just before: within a week",
     {"pregnancies": since(40), "last": d(-36), "away_from": d(-35), "back_on": TODAY}, 7),
    ("back after two weeks: nothing new is asked",
     {"pregnancies": since(30), "last": d(-20), "away_from": d(-14), "back_on": TODAY}, 64),
    ("measured again since she came back: done",
     {"pregnancies": since(30), "last": TODAY, "away_from": d(-40), "back_on": d(-2)}, 84),
    ("decided for her: every three weeks",
     {"pregnancies": since(20), "last": d(-10), "every_weeks": 3}, 11),
    ("three weeks after the end: her clinician's weeks, then at six weeks",
     {"pregnancies": since(3), "last": d(-40)}, 21),
    ("passed into 12 weeks since three days ago: asked by that day",
     {"pregnancies": since(12 + 3 / 7), "last": d(-20)}, -3),
    ("passes 28 weeks in five days: asked by that day",
     {"pregnancies": running(27, 2), "last": d(-30)}, 5),
    ("past the due date and nothing recorded: none, she is asked how she is first",
     {"pregnancies": (PregnancyDates(due=d(-3)),), "last": d(-60)}, None),
    ("stage not known: the shortest interval of all",
     {"last": d(-10)}, 18),
]  # fmt: skip


@pytest.mark.parametrize(("what", "history", "expected"), ROWS, ids=[row[0] for row in ROWS])
def test_by_when(what: str, history: dict[str, Any], expected: int | None) -> None:
    assert by(**history) == expected


def test_heaviness_found_moves_the_next_one_forward() -> None:
    clean = History(pregnancies=since(20), last=TODAY)
    found = replace(clean, findings=(heavy(0),))
    before, after = (due(one, today=TODAY, rules=policy()) for one in (clean, found))
    assert before
    assert after
    assert (after.by - before.by).days == 7 - 42
    assert after.reasons[0].kind == "symptom"


def test_every_reason_says_common_practice_or_whose_decision_it_is() -> None:
    found = due(
        History(pregnancies=since(20), last=d(-60), findings=(heavy(-60), doming(-60)),
                signs_answered=(d(-50),)),
        today=TODAY, rules=policy(),
    )  # fmt: skip
    assert found
    assert len(found.reasons) >= 4
    assert [one.reason for one in found.reasons if "common practice" not in one.reason] == []


def test_what_a_practice_changes_counts() -> None:
    rules = rules_with({"every-w12-26": 8})
    found = due(History(pregnancies=since(16), last=d(-10)), today=TODAY, rules=rules)
    assert found
    assert (found.by - TODAY).days == 46


# ---- properties

WEEKS = st.integers(0, 70)
DAYS = st.integers(-300, 0)
FOUND = st.lists(
    st.builds(
        lambda code, symptom, day, before: Found(
            code, code, symptom, d(day - before), d(day)
        ),
        st.sampled_from(["heaviness", "leaking", "doming"]), st.booleans(), DAYS,
        st.integers(0, 90),
    ), max_size=3, unique_by=lambda one: one.code,
)  # fmt: skip


@st.composite
def histories(draw: st.DrawFn) -> History:
    pregnancies = draw(st.one_of(st.just(()), WEEKS.map(since), st.integers(1, 39).map(running)))
    return History(
        pregnancies=pregnancies,
        last=draw(st.one_of(st.none(), DAYS.map(d))),
        go_ahead_on=draw(st.one_of(st.none(), DAYS.map(d))),
        signs_answered=tuple(draw(st.lists(DAYS.map(d), max_size=2))),
        findings=tuple(draw(FOUND)),
        since=d(-320),
    )


@given(histories(), st.booleans(), st.integers(0, 200))
def test_a_finding_or_a_symptom_never_pushes_the_next_one_back(
    history: History, symptom: bool, ago: int
) -> None:
    one = Found("pain", "pelvic pain", symptom, d(-ago), d(-ago))
    worse = replace(history, findings=(*history.findings, one))
    before, after = (due(each, today=TODAY, rules=policy()) for each in (history, worse))
    if before:
        assert after
        assert after.by <= before.by


@given(histories())
def test_a_clean_assessment_today_never_brings_the_next_one_forward(history: History) -> None:
    before = due(history, today=TODAY, rules=policy())
    clean = replace(history, last=TODAY, findings=())
    after = due(clean, today=TODAY, rules=policy())
    if before and after:
        assert after.by >= min(before.by, after.by)
        assert after.by > TODAY
        assert after.by >= before.by or before.by > TODAY


@given(histories(), st.integers(1, 60))
def test_what_is_wanted_today_is_wanted_tomorrow(history: History, ahead: int) -> None:
    """While the weeks run on in the same stage of things: no end, no due date in between."""
    if any(one.due for one in history.pregnancies):
        return
    today, later = (due(history, today=day, rules=policy()) for day in (TODAY, d(ahead)))
    if today and today.by <= TODAY:
        assert later
        assert later.by <= d(ahead)
