"""When each step is due: a table worked by hand, and what holds of every calendar."""

from __future__ import annotations

import itertools
import tomllib
from collections import Counter
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coach.scheduling.production import (
    NO_HOURS,
    STEPS,
    Calendar,
    Leads,
    Making,
    StepDay,
    production,
    standing_since,
)

TODAY = date(2026, 12, 3)  # a Thursday
LEADS = Leads(21, 10, 6, 4, 2)
DAY = timedelta(days=1)
TABLE = tomllib.loads((Path(__file__).parent / "production_table.toml").read_text())["example"]


@pytest.mark.parametrize("example", TABLE, ids=lambda one: one["what"])
def test_the_table_worked_by_hand(example: dict[str, Any]) -> None:
    calendar = Calendar(
        example.get("today", TODAY),
        frozenset(example.get("days_off", ())),
        frozenset(example.get("film_weekdays", ())),
        example.get("films_a_day", 3),
    )
    makings, expected = [], []
    for n, row in enumerate(example["class"]):
        done, minutes = frozenset(row.get("done", ())), row.get("minutes_left", 0)
        makings.append(Making(n, f"Class {n}", row["publish"], done, minutes))
        late, notes = row.get("late", {}), row.get("note", {})
        for step, day in row["days"].items():
            note = late.get(step, notes.get(step, ""))
            expected.append(StepDay(n, step, day, step in late, note, row.get("slips")))
    told = production(makings, calendar, LEADS)
    assert sorted(told, key=str) == sorted(expected, key=str)


DAYS = st.integers(-40, 90).map(lambda n: TODAY + n * DAY)
CALENDARS = st.builds(
    Calendar,
    st.just(TODAY),
    st.frozensets(st.integers(-50, 100).map(lambda n: TODAY + n * DAY), max_size=40),
    st.frozensets(st.integers(0, 6), max_size=3),
    st.integers(1, 3),
    st.integers(0, 1200),
)
LEAD_TIMES = st.lists(st.integers(0, 30), min_size=5, max_size=5).map(
    lambda days: Leads(*sorted(days, reverse=True))
)


def _made(n: int, publish: date, done: frozenset[str], minutes: int) -> Making:
    return Making(n, f"Class {n}", publish, done, minutes)


DONE = st.one_of(
    st.integers(0, 5).map(lambda n: frozenset(STEPS[:n])), st.frozensets(st.sampled_from(STEPS))
)
MAKINGS = st.lists(st.tuples(DAYS, DONE, st.integers(0, 900)), max_size=9).map(
    lambda rows: [_made(n, *row) for n, row in enumerate(rows)]
)


@settings(max_examples=300, deadline=None)
@given(MAKINGS, CALENDARS, LEAD_TIMES)
def test_of_every_calendar(makings: list[Making], calendar: Calendar, leads: Leads) -> None:
    told = production(makings, calendar, leads)
    films = Counter(one.day for one in told if one.step == "film")
    assert [one for one in told if one.day in calendar.days_off or one.day < TODAY] == []
    assert max(films.values(), default=0) <= calendar.films_a_day
    assert [day for day in films if not calendar.films(day)] == []
    assert sorted((one.making, one.step) for one in told) == sorted(
        (one.id, step) for one in makings for step in one.left
    )
    for one in makings:
        hers = sorted((at for at in told if at.making == one.id), key=lambda at: at.step)
        days = [at.day for step in STEPS for at in hers if at.step == step]
        assert days == sorted(days)
        out = next((at.slips_to for at in hers), None) or one.publish
        assert out >= one.publish
        assert [day for day in days if day > out] == []


@settings(max_examples=300, deadline=None)
@given(MAKINGS, CALENDARS, LEAD_TIMES, st.integers(0, 8), st.integers(0, 60))
def test_a_later_publish_day_makes_no_step_of_it_earlier(
    makings: list[Making], calendar: Calendar, leads: Leads, which: int, more: int
) -> None:
    if which >= len(makings):
        return
    one = makings[which]
    later = [
        *makings[:which],
        *makings[which + 1 :],
        replace(one, publish=one.publish + more * DAY),
    ]
    before = {at.step: at.day for at in production(makings, calendar, leads) if at.making == one.id}
    after = {at.step: at.day for at in production(later, calendar, leads) if at.making == one.id}
    assert [step for step in before if after[step] < before[step]] == []


@settings(max_examples=200, deadline=None)
@given(MAKINGS, CALENDARS, LEAD_TIMES)
def test_with_its_day_where_it_slips_to_nothing_slips_any_more(
    makings: list[Making], calendar: Calendar, leads: Leads
) -> None:
    """One class alone, so that no other takes its filming day or its hours."""
    for one in makings:
        first = next(iter(production([one], calendar, leads)), None)
        if first and first.slips_to:
            moved = production([replace(one, publish=first.slips_to)], calendar, leads)
            assert {at.slips_to for at in moved} == {None}


@given(MAKINGS, CALENDARS, LEAD_TIMES)
def test_nothing_is_late_when_everything_is_done(
    makings: list[Making], calendar: Calendar, leads: Leads
) -> None:
    done = [replace(one, done=frozenset(STEPS)) for one in makings]
    assert production(done, calendar, leads) == ()


@settings(max_examples=200, deadline=None)
@given(
    st.lists(st.integers(0, 20), min_size=1, max_size=5),
    st.frozensets(st.integers(0, 24), max_size=12),
    st.frozensets(st.integers(0, 6), min_size=1, max_size=3),
    st.integers(1, 3),
)
def test_filming_days_are_the_fewest_and_none_is_late_that_need_not_be(
    deadlines: list[int], off: frozenset[int], weekdays: frozenset[int], most: int
) -> None:
    """Against every way there is of putting the classes on days, tried one after the other."""
    calendar = Calendar(TODAY, frozenset(TODAY + n * DAY for n in off), weekdays, most)
    makings = [
        Making(n, "", TODAY + (days + 10) * DAY, frozenset({"outline"}))
        for n, days in enumerate(deadlines)
    ]
    told = [at for at in production(makings, calendar, LEADS) if at.step == "film"]
    fewest = _fewest_by_trying(deadlines, off, weekdays, most)
    assert any(at.late for at in told) == (fewest is None)
    if fewest is not None:
        assert len({at.day for at in told}) == fewest


def _fewest_by_trying(
    deadlines: list[int], off: frozenset[int], weekdays: frozenset[int], most: int
) -> int | None:
    """The fewest filming days with which every class is filmed by its day; None if there are
    none. Days are counted from today, a Thursday (weekday 3)."""
    open_days = [n for n in range(21) if n not in off and (n + 3) % 7 in weekdays]
    best = None
    for days in itertools.product(*[[n for n in open_days if n <= last] for last in deadlines]):
        used = Counter(days)
        if max(used.values()) <= most and (best is None or len(used) < best):
            best = len(used)
    return best


def test_hours_that_are_none_reach_nothing_and_name_no_day() -> None:
    calendar = Calendar(TODAY, minutes_a_week=0)
    made = Making(1, "", date(2027, 1, 12), frozenset({"outline", "film"}), 60)
    first = production([made], calendar, LEADS)[0]
    assert (first.step, first.slips_to, first.note) == ("edit", None, NO_HOURS)


@given(CALENDARS, st.integers(0, 6000))
def test_hours_are_there_from_the_first_day_that_has_them(calendar: Calendar, minutes: int) -> None:
    day = calendar.day_with(minutes)
    if day is not None:
        assert calendar.minutes_until(day) >= minutes
        assert minutes == 0 or calendar.minutes_until(day - DAY) < minutes


def test_a_short_lead_counts_as_that_of_what_comes_after() -> None:
    made = Making(1, "", date(2027, 1, 12))
    days = [at.day for at in production([made], Calendar(TODAY), Leads(3, 2, 6, 4, 2))]
    assert days == [date(2027, 1, n) for n in (6, 6, 6, 8, 10)]


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: Calendar(TODAY, films_a_day=0),
        lambda: Calendar(TODAY, film_weekdays=frozenset({7})),
        lambda: Calendar(TODAY, minutes_a_week=-1),
        lambda: Leads(21, 10, 6, 4, -1),
    ],
)
def test_nonsense_is_refused(wrong: Any) -> None:
    with pytest.raises(ValueError, match=r"can’t be less|at least one|is 0 to 6"):
        wrong()


def test_what_time_alone_moved_says_since_when() -> None:
    """Edited by 30 November and not: it has stood on today since today began; a filming missed on
    2 December stands on 9 December since the third; the rest does not depend on today."""
    calendar = Calendar(TODAY, film_weekdays=frozenset({2}))
    late = Making(1, "", date(2026, 12, 6), frozenset({"outline", "film"}))
    film = Making(2, "", date(2026, 12, 13), frozenset({"outline"}))
    calm = Making(3, "", date(2027, 1, 12), frozenset({"outline", "film"}))
    monday = replace(calendar, today=date(2026, 12, 7))
    makings = [late, film, calm]
    assert standing_since(makings, calendar, LEADS) == {1: TODAY, 2: TODAY}
    assert standing_since(makings, monday, LEADS) == {1: date(2026, 12, 7), 2: TODAY}


@settings(max_examples=100, deadline=None)
@given(MAKINGS, CALENDARS, LEAD_TIMES, st.integers(0, 20))
def test_nothing_moves_before_the_day_since_which_it_stands(
    makings: list[Making], calendar: Calendar, leads: Leads, back: int
) -> None:
    since = standing_since(makings, calendar, leads)
    earlier = replace(calendar, today=TODAY - back * DAY)
    days = [
        {(at.making, at.step): at.day for at in production(makings, when, leads)}
        for when in (calendar, earlier)
    ]
    differ = {key[0] for key in days[0] if days[0][key] != days[1][key]}
    assert differ == {pk for pk, day in since.items() if day > earlier.today} or back > 19
