"""The rules and the value of a placement, worked out by hand from the words of problem.py.

Today is Friday 1 January 2027; ISO week 1 of 2027 begins on Monday 4 January.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from coach.scheduling.planner import (
    FixedUpload,
    PlanClass,
    Problem,
    Weights,
    broken_rules,
    freeze_need,
    make_plan,
    value_of,
)
from coach.scheduling.planner.measure import capacity, takes
from coach.scheduling.values import Stage

TODAY = date(2027, 1, 1)
NOTHING = Weights(fill=0, serve=0, focus=0, reach=0, work=0)
T2 = frozenset({Stage.TRIMESTER_2})


def on(day: int) -> date:
    return date(2027, 1, day)


def a_class(number: int, **facts: object) -> PlanClass:
    given: dict[str, object] = {"focus": "", "stages": T2, "minutes_of_work": 0} | facts
    return PlanClass(id=number, title=f"C{number}", **given)  # type: ignore[arg-type]  # facts are passed on by name


def a_month(*days: int, classes: int = 4, **wishes: object) -> Problem:
    given: dict[str, object] = {
        "classes": tuple(a_class(n) for n in range(1, classes + 1)),
        "fixed": (),
        "need": (),
        "minutes_a_week": 600,
        "lead_days": 0,
        "weights": NOTHING,
    }
    return Problem(TODAY, tuple(map(on, days)), **(given | wishes))  # type: ignore[arg-type]  # wishes are passed on by name


def upload(day: date, number: int = 90, *, published: bool = False, **facts: object) -> FixedUpload:
    return FixedUpload(day, a_class(number, **facts), published=published)


# --- hard rules ------------------------------------------------------------------------------


@pytest.mark.parametrize(("day", "kept"), [(5, False), (6, True), (8, True), (9, False)])
def test_a_class_stands_on_no_day_outside_its_own(day: int, kept: bool) -> None:
    dated = a_class(1, not_before=on(6), not_after=on(8))
    month = a_month(5, 6, 8, 9, classes=0)
    month = replace(month, classes=(dated,))
    assert (broken_rules(month, {on(day): 1}) == ()) is kept


def test_days_off_bring_in_no_hours() -> None:
    """2 to 8 January are seven days; two of them off leave 5/7 of 600 minutes."""
    month = a_month(9, lead_days=1, days_off=(on(3), on(8), on(9), TODAY))
    assert capacity(month, on(9)) == 428
    assert capacity(replace(month, days_off=()), on(9)) == 600
    assert capacity(month, on(2)) == 0


def test_no_more_classes_are_filmed_than_the_filming_days_take() -> None:
    """Two a day; the day on the 5th is in time for the 7th, less one fixed upload to film."""
    films = tuple(a_class(n, needs_filming=True) for n in (1, 2, 3))
    fixed = (upload(on(6), needs_filming=True),)
    month = a_month(
        7, 8, classes=0, film_days=(on(5), on(7)), films_a_day=2, film_lead_days=2, fixed=fixed
    )
    month = replace(month, classes=films)
    assert takes(month, on(7)) == 2
    assert broken_rules(month, {on(7): 1}) == ()
    assert broken_rules(month, {on(7): 1, on(8): 2}) == (
        "2027-01-08: 2 classes are to be filmed, there is time for 1.",
    )
    assert broken_rules(replace(month, film_days=None), {on(7): 1, on(8): 2}) == ()
    assert broken_rules(replace(month, fixed=()), {on(7): 1, on(8): 2}) == ()


def test_a_week_of_the_iso_calendar_holds_no_more_than_its_pace() -> None:
    """Sunday 10 January ends week 1, Monday 11 January begins week 2."""
    month = a_month(7, 8, 10, 11, a_week=2, fixed=(upload(on(4)),))
    assert broken_rules(month, {on(10): 1, on(11): 2}) == ()
    assert broken_rules(month, {on(7): 3, on(10): 1, on(11): 2}) == (
        "Week 1 of 2027: 2 classes are too many.",
    )
    assert broken_rules(replace(month, a_week=0), {on(7): 1}) != ()
    assert broken_rules(replace(month, a_week=0), {}) == ()


def test_uploads_keep_their_distance_from_each_other_and_from_fixed_ones() -> None:
    month = a_month(6, 8, 9, gap_days=3, fixed=(upload(on(12)),))
    assert broken_rules(month, {on(6): 1, on(9): 2}) == ()
    assert broken_rules(month, {on(6): 1, on(8): 2}) == (
        "2027-01-06: nearer than 3 days to 2027-01-08.",
    )
    near = replace(month, fixed=(upload(on(11)),))
    assert broken_rules(near, {on(9): 2}) == ("2027-01-09: nearer than 3 days to 2027-01-11.",)
    overdue = replace(month, fixed=(upload(TODAY - timedelta(days=1)),), slots=(on(2),), gap_days=9)
    assert broken_rules(overdue, {on(2): 1}) == ()


def test_a_pinned_class_stands_on_its_day() -> None:
    month = a_month(6, 8, pins=((on(8), 2),))
    assert broken_rules(month, {on(8): 2}) == ()
    for placement in ({}, {on(6): 2}, {on(8): 1}):
        assert broken_rules(month, placement) == ("2027-01-08: class 2 is pinned there.",)


# --- value -----------------------------------------------------------------------------------


def test_what_is_wanted_soon_counts_the_slots_from_its_own_on() -> None:
    month = a_month(5, 6, 8, classes=0, weights=replace(NOTHING, soon=4))
    month = replace(month, classes=(a_class(1, wanted_soon=True), a_class(2)))
    assert [value_of(month, {on(day): 1}) for day in (5, 6, 8)] == [12, 8, 4]
    assert value_of(month, {on(5): 2}) == 0


@pytest.mark.parametrize(
    ("trait", "facts", "other"),
    [
        ("focus", {"focus": "hips"}, {"focus": "back"}),
        ("effort", {"effort": 7}, {"effort": 6}),
        ("effort", {"effort": 3}, {"effort": 7}),
        ("family", {"family": 0}, {"family": 1}),
    ],
)
def test_each_trait_repeats_by_itself_over_empty_slots(
    trait: str, facts: dict[str, object], other: dict[str, object]
) -> None:
    month = a_month(5, 6, 8, 9, classes=0, weights=replace(NOTHING, **{trait: 7}))
    month = replace(month, classes=(a_class(1, **facts), a_class(2, **facts), a_class(3, **other)))
    assert value_of(month, {on(5): 1, on(9): 2}) == -7
    assert value_of(month, {on(5): 1, on(6): 3, on(9): 2}) == 0
    for day in (4, 7, 12):
        beside = replace(month, fixed=(upload(on(day), **facts),))
        assert value_of(beside, {on(5): 1}) == -7
        assert value_of(beside, {on(5): 3}) == 0


def test_what_has_no_focus_band_or_family_never_repeats() -> None:
    month = a_month(5, 6, weights=replace(NOTHING, focus=7, effort=7, family=7))
    assert value_of(month, {on(5): 1, on(6): 2}) == 0


def test_classes_beyond_the_share_of_their_focus_cost() -> None:
    hips = tuple(a_class(n, focus="hips") for n in (1, 2, 3))
    month = a_month(5, 6, 8, classes=0, weights=replace(NOTHING, mix=5), mix=(("hips", 1),))
    month = replace(month, classes=hips)
    placements = [{on(5): 1}, {on(5): 1, on(6): 2}, {on(5): 1, on(6): 2, on(8): 3}]
    assert [value_of(month, placement) for placement in placements] == [0, -5, -10]


def test_filming_days_count_beyond_those_that_fixed_uploads_fill() -> None:
    """Three a day; two fixed ones take a day on which a third has room."""
    fixed = tuple(upload(on(20 + n), 90 + n, needs_filming=True) for n in (0, 1))
    films = tuple(a_class(n, needs_filming=True) for n in (1, 2, 3, 4, 5))
    month = a_month(
        *range(5, 10), classes=0, fixed=fixed, film_days=(on(2),), weights=replace(NOTHING, film=9)
    )
    month = replace(month, classes=films)
    days = [{on(5 + n): 1 + n for n in range(many)} for many in range(6)]
    assert [value_of(month, placement) for placement in days] == [0, 0, -9, -9, -9, -18]
    assert value_of(replace(month, film_days=None), days[5]) == 0


def test_windows_end_on_empty_slots_too() -> None:
    need = freeze_need({on(day): {Stage.TRIMESTER_2: 3} for day in (5, 6, 8)})
    month = a_month(5, 6, 8, need=need, weights=replace(NOTHING, serve=10), serve_every_days=3)
    assert value_of(month, {on(5): 1}) == 60
    assert value_of(month, {on(8): 1}) == 30


# --- plans -----------------------------------------------------------------------------------


def test_a_plan_keeps_pace_and_gap_and_fills_what_they_leave() -> None:
    """Twice a week, three days apart: Monday and Thursday, and again."""
    month = a_month(
        *range(4, 18), classes=9, a_week=2, gap_days=3, weights=replace(NOTHING, fill=1)
    )
    plan = make_plan(month)
    assert (plan.status, plan.value) == ("optimal", 4)


def test_a_plan_films_on_fewer_days_where_finished_classes_do_as_well() -> None:
    month = a_month(5, 6, classes=0, film_days=(on(2),), weights=replace(NOTHING, fill=1, film=9))
    month = replace(month, classes=(a_class(1, needs_filming=True), a_class(2), a_class(3)))
    assert {slot.class_id for slot in make_plan(month).slots} == {2, 3}
