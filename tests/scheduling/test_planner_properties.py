"""What more freedom, or less, does to a month's value, whatever the month."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from coach.scheduling.planner import Need, PlanClass, Problem, make_plan
from coach.scheduling.values import Stage
from tests.scheduling.planner_small import MONDAY, TURNS, small_problem

EXAMPLES = settings(max_examples=40, deadline=None)  # a busy machine is no failure
SOME_DAY = st.integers(2, 25).map(lambda n: MONDAY + timedelta(days=n))
ONE_DAY = timedelta(days=1)


@st.composite
def problems(draw: st.DrawFn, turn: str = "") -> Problem:
    """A small month, in which the rule or wish whose turn it is bites."""
    return small_problem(draw(st.integers(0, 9999)), turn or draw(st.sampled_from(TURNS)))


@st.composite
def free_classes(draw: st.DrawFn) -> PlanClass:
    """A class in no order, so that no other class waits for it."""
    return PlanClass(
        id=draw(st.sampled_from([0, 3, 50, 200])),
        title="One more",
        focus=draw(st.sampled_from(["", "core", "hips"])),
        stages=frozenset(draw(st.sets(st.sampled_from(Stage), max_size=3))),
        minutes_of_work=draw(st.sampled_from([0, 25, 61, 180])),
        effort=draw(st.sampled_from([None, 2, 5, 8])),
        not_before=draw(st.none() | SOME_DAY),
        not_after=draw(st.none() | SOME_DAY),
        wanted_soon=draw(st.booleans()),
        needs_filming=draw(st.booleans()),
        family=draw(st.sampled_from([None, 1, 2])),
    )


def best(problem: Problem) -> float:
    """The value of the best month, lower than any where none keeps the pins."""
    plan = make_plan(problem)
    return float("-inf") if plan.status == "infeasible" else plan.value


@EXAMPLES
@given(problems(), free_classes())
def test_one_more_class_never_makes_the_month_worse(problem: Problem, item: PlanClass) -> None:
    """A class of a series might: the parts after it would wait for it."""
    before = replace(problem, classes=tuple(c for c in problem.classes if c.id != item.id))
    assert best(before) <= best(replace(before, classes=(*before.classes, item)))


@EXAMPLES
@given(problems("pins"), st.integers(0, 1))
def test_a_pin_taken_off_never_makes_the_month_worse(problem: Problem, which: int) -> None:
    left = problem.pins[:which] + problem.pins[which + 1 :]
    assert best(problem) <= best(replace(problem, pins=left)) <= best(replace(problem, pins=()))


@EXAMPLES
@given(problems("a week"))
def test_a_faster_pace_never_makes_the_month_worse(problem: Problem) -> None:
    values = [best(replace(problem, a_week=many)) for many in (0, 1, 2, 3, 99, None)]
    assert values == sorted(values)
    assert values[-2] == values[-1]


@EXAMPLES
@given(problems(), st.data())
def test_pinning_what_is_there_already_changes_nothing_in_the_value(
    problem: Problem, data: st.DataObject
) -> None:
    plan = make_plan(problem)
    there = tuple((slot.day, slot.class_id) for slot in plan.slots)
    kept = tuple(pin for pin in there if data.draw(st.booleans()))
    pinned = make_plan(replace(problem, pins=(*problem.pins, *kept)))
    assert (pinned.status, pinned.value) == (plan.status, plan.value)


@EXAMPLES
@given(problems(), SOME_DAY)
def test_one_more_open_day_never_makes_the_month_worse(problem: Problem, day: date) -> None:
    taken = {*problem.slots, *(upload.day for upload in problem.fixed)}
    slots = problem.slots if day in taken else (*problem.slots, day)
    assert best(problem) <= best(replace(problem, slots=slots))


@EXAMPLES
@given(problems("hours"), st.integers(1, 500))
def test_more_time_never_makes_the_month_worse(problem: Problem, minutes: int) -> None:
    more = replace(problem, minutes_a_week=problem.minutes_a_week + minutes)
    at_work = replace(problem, days_off=())
    assert best(problem) <= min(best(more), best(at_work), best(replace(problem, lead_days=0)))


@EXAMPLES
@given(problems("filming"), SOME_DAY)
def test_one_more_day_to_film_never_makes_the_month_worse(problem: Problem, day: date) -> None:
    more = replace(problem, film_days=(*(problem.film_days or ()), day))
    assert best(problem) <= best(more)


@EXAMPLES
@given(problems("gap"))
def test_a_wider_gap_never_makes_the_month_better(problem: Problem) -> None:
    values = [best(replace(problem, gap_days=days)) for days in (1, 2, 3, 5, 9)]
    assert values == sorted(values, reverse=True)


def one_each_day(problem: Problem) -> Need:
    return tuple((day, ((Stage.TRIMESTER_1, 1),)) for day in problem.slots)


@EXAMPLES
@given(problems())
def test_what_is_only_told_in_words_changes_nothing_in_the_plan(problem: Problem) -> None:
    told = replace(
        problem,
        clients=one_each_day(problem),
        ready=(),
        closed=((MONDAY + timedelta(days=40), "You are away."),),
    )
    one, other = make_plan(problem), make_plan(told)
    assert [(s.day, s.class_id) for s in one.slots] == [(s.day, s.class_id) for s in other.slots]
    assert (one.status, one.value, one.bound) == (other.status, other.value, other.bound)


@EXAMPLES
@given(problems(), st.integers(1, 9))
def test_need_that_no_class_can_serve_counts_nothing(problem: Problem, many: int) -> None:
    """Of a stage past due or not known, and on a day that is no slot."""
    aside = {Stage.PAST_DUE: many, Stage.UNKNOWN: many}
    rows = {day: {**dict(row), **aside} for day, row in problem.need}
    elsewhere = max(problem.slots) + ONE_DAY
    rows[elsewhere] = dict.fromkeys(Stage, many)
    more = replace(problem, need=tuple((day, tuple(row.items())) for day, row in rows.items()))
    assert best(problem) == best(more)
