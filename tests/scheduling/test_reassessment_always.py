"""What holds of the next assessment whatever is known of her."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from hypothesis import assume, given
from hypothesis import strategies as st

from clients.rules.words import NEVER_IF_QUIET
from coach.scheduling.dates import Ending, PregnancyDates, stage_on
from coach.scheduling.reassessment import (
    FIRST,
    SYMPTOM,
    Due,
    Found,
    History,
    Rules,
    due,
    policy,
    rules_with,
)
from coach.scheduling.values import Stage
from tests.scheduling.reassessment_made import TODAY

_DAY = timedelta(days=1)
_past = st.dates(date(2024, 1, 1), TODAY)
_pregnancy = st.builds(
    PregnancyDates,
    due=st.none() | st.dates(date(2024, 1, 1), TODAY + timedelta(days=279)),
    ended=st.none() | _past,
    ending=st.sampled_from([None, *Ending]),
)


@st.composite
def _found(draw: st.DrawFn) -> Found:
    days = sorted((draw(_past), draw(_past)))
    words = draw(st.sampled_from(["leaking", "heaviness", "doming", "a test not passed (hop)"]))
    return Found(words, words, draw(st.booleans()), *days)


histories = st.builds(
    History,
    pregnancies=st.lists(_pregnancy, max_size=3).map(tuple),
    last=st.none() | _past,
    go_ahead_on=st.none() | _past,
    signs_answered=st.lists(_past, max_size=2).map(tuple),
    away_from=st.none() | _past,
    back_on=st.none() | _past,
    findings=st.lists(_found(), max_size=3).map(tuple),
    every_weeks=st.none() | st.integers(1, 104),
    since=_past,
)


@st.composite
def _rules(draw: st.DrawFn) -> Rules:
    """What a practice may have made of them."""
    names = draw(st.lists(st.sampled_from(sorted(policy().adjustable)), max_size=5, unique=True))
    numbers = policy().adjustable
    return rules_with({
        name: draw(st.integers(numbers[name].least, numbers[name].most)) for name in names
    })  # fmt: skip


def wanted(history: History, rules: Rules, today: date = TODAY) -> Due | None:
    return due(history, today=today, rules=rules)


def day(found: Due | None) -> date:
    """None is later than every day."""
    return found.by if found else date.max


@given(histories, _rules())
def test_a_clean_assessment_never_brings_the_next_one_forward(
    history: History, rules: Rules
) -> None:
    clean = replace(history, last=TODAY, findings=())
    assert day(wanted(clean, rules)) >= day(wanted(history, rules))


def test_an_end_recorded_before_its_own_beginning_silences_nothing() -> None:
    """The end of one pregnancy says 0–6 weeks of the last assessment's day, another counts."""
    ended, again = date(2024, 1, 1), date(2025, 1, 1)
    known = History(
        pregnancies=(
            PregnancyDates(ended=ended),
            PregnancyDates(due=again, ended=again),
            PregnancyDates(due=again + _DAY, ended=ended),
        ),
        last=again,
        since=ended,
    )
    assert wanted(known, policy()) == wanted(replace(known, pregnancies=known.pregnancies[:1]),
                                             policy())  # fmt: skip
    assert wanted(known, policy()) is not None


@given(histories, _rules(), st.lists(_found(), min_size=1, max_size=3))
def test_what_is_found_never_pushes_it_back(
    history: History, rules: Rules, more: list[Found]
) -> None:
    worse = replace(history, findings=(*history.findings, *more))
    assert day(wanted(worse, rules)) <= day(wanted(history, rules))


@given(histories, _rules(), _found(), _past)
def test_finding_it_again_in_one_never_finished_pushes_nothing_back(
    history: History, rules: Rules, one: Found, again: date
) -> None:
    assume(again >= one.day)
    once = replace(history, findings=(one,))
    twice = replace(history, findings=(one._replace(day=again),))
    assert day(wanted(twice, rules)) == day(wanted(once, rules))


@given(histories, _rules(), st.integers(1, 60))
def test_tomorrow_s_list_holds_what_is_unmet_today(
    history: History, rules: Rules, days: int
) -> None:
    """Until her date passes with nothing recorded: then she is asked how she is."""
    later = TODAY + days * _DAY
    assume(stage_on(history.pregnancies, later) is not Stage.PAST_DUE)
    assert day(wanted(history, rules, later)) <= day(wanted(history, rules))


@given(histories, _rules())
def test_measured_today_she_is_never_asked_for_again_today(history: History, rules: Rules) -> None:
    assert day(wanted(replace(history, last=TODAY), rules)) > TODAY


@given(histories, _rules())
def test_at_most_every_two_weeks_unless_she_feels_something(history: History, rules: Rules) -> None:
    """No sign can be answered on a day to come, so nothing else asks sooner."""
    measured = replace(history, last=TODAY)
    found = wanted(measured, rules)
    least = TODAY + timedelta(weeks=rules.number("least_weeks"))
    if found and found.reasons[0].kind != SYMPTOM:
        ends = max((one.due for one in history.pregnancies if one.due), default=least)
        assert found.by >= min(least, ends)


@given(histories, _rules())
def test_a_first_one_is_asked_for_until_it_is_finished(history: History, rules: Rules) -> None:
    never = replace(history, last=None, findings=())
    found = wanted(never, rules)
    assert (found is None) == (stage_on(history.pregnancies, TODAY) is Stage.PAST_DUE)
    kinds = [] if found is None else [*found.reasons, *(one.finding for one in found.later)]
    assert [one.kind for one in kinds].count(FIRST) == (found is not None)


@given(histories, _rules())
def test_reasons_name_nothing_that_a_quiet_page_may_not_hold(
    history: History, rules: Rules
) -> None:
    found = wanted(history, rules)
    told = [*found.reasons, *(one.finding for one in found.later)] if found else []
    words = " ".join(one.reason for one in told).lower()
    assert [word for word in NEVER_IF_QUIET if word in words] == []
    assert [one for one in told if not one.source] == []


@given(histories, _rules())
def test_days_agree_with_the_reasons_and_the_order_does_not_matter(
    history: History, rules: Rules
) -> None:
    found = wanted(history, rules)
    turned = {name: getattr(history, name)[::-1] for name in ("pregnancies", "signs_answered")}
    assert found == wanted(replace(history, **turned), rules)
    if found:
        assert found.reasons
        assert all(one.by > max(found.by, TODAY) for one in found.later)
