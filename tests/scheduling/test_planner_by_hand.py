"""Tiny months whose best value is worked out by hand, for the planner and for what judges it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from coach.scheduling.planner import (
    FixedUpload,
    PlanClass,
    Problem,
    Weights,
    broken_rules,
    greedy,
    make_plan,
    value_of,
)
from coach.scheduling.values import Stage
from tests.scheduling import planner_checker as checker
from tests.scheduling.planner_truth import truth

T1, T2 = Stage.TRIMESTER_1, Stage.TRIMESTER_2
NOTHING = Weights(fill=0, serve=0, focus=0, reach=0, work=0)
TEN = replace(NOTHING, fill=10)


def day(n: int) -> date:
    """So many days after Monday 2 June 2025, which is today."""
    return date(2025, 6, 2) + timedelta(days=n)


def a_class(number: int, **told: object) -> PlanClass:
    plain = PlanClass(number, f"Class {number}", "", frozenset(), 0)
    return replace(plain, **told)  # type: ignore[arg-type]  # names checked by replace


def fixed(n: int, number: int = 100, *, published: bool = False, **told: object) -> FixedUpload:
    return FixedUpload(day(n), a_class(number, **told), published)


def month(slots: list[int], *classes: PlanClass, **told: object) -> Problem:
    plain = Problem(
        today=day(0),
        slots=tuple(day(n) for n in slots),
        classes=classes,
        fixed=(),
        need=(),
        minutes_a_week=10_000,
        lead_days=0,
        weights=TEN,
    )
    return replace(plain, **told)  # type: ignore[arg-type]  # names checked by replace


def best(problem: Problem) -> int | None:
    """The best value, on which the planner, the walk through all months and the checker agree."""
    plan, found = make_plan(problem), truth(problem).best
    if found is None:
        assert (plan.status, plan.slots) == ("infeasible", ())
        return None
    chosen = {slot.day: slot.class_id for slot in plan.slots}
    judged = (checker.value_of(problem, chosen), value_of(problem, chosen))
    assert (plan.status, plan.value, plan.bound, *judged) == ("optimal", *[found] * 4)
    assert (checker.broken_rules(problem, chosen), list(broken_rules(problem, chosen))) == ([], [])
    return found


def test_hours_are_rounded_up_for_each_class_by_itself() -> None:
    """Two filled: 2 × 100. 61 minutes are 2 hours, 1 minute is 1: − 13 × 3. 200 − 39 = 161."""
    classes = (a_class(1, minutes_of_work=61), a_class(2, minutes_of_work=1))
    weights = replace(NOTHING, fill=100, work=13)
    assert best(month([1, 2], *classes, weights=weights)) == 161


def test_a_stage_is_served_in_the_window_and_only_where_nothing_standing_serves_it() -> None:
    """A class for T1, three slots with 2, 3 and 4 clients, windows of 5 days, serve 10, reach 1.

    Day 1: serves days 1 and 4, 3 days later, but not 9: 10 × (2 + 3) + 2 = 52.
    Day 4: serves day 4, not 9, which is 5 days later: 30 + 3 = 33. Day 9: 40 + 4 = 44.
    With an upload for T1 standing on day 2 day 4 is served already: 20 + 2 = 22, 3, 44.
    """
    need = tuple((day(n), ((T1, many),)) for n, many in [(1, 2), (4, 3), (9, 4)])
    weights = replace(NOTHING, serve=10, reach=1)
    alone = month([1, 4, 9], a_class(1, stages=frozenset({T1, T2})), need=need, weights=weights,
                  serve_every_days=5)  # fmt: skip
    assert best(alone) == 52
    assert best(replace(alone, fixed=(fixed(2, stages=frozenset({T1})),))) == 44


def test_past_due_and_not_known_are_no_stages_to_serve() -> None:
    """Nine clients past due and nine not known count nothing; two in T1 count 10 × 2 + 2."""
    stages = frozenset({Stage.PAST_DUE, Stage.UNKNOWN, T1})
    need = ((day(3), ((Stage.PAST_DUE, 9), (T1, 2), (Stage.UNKNOWN, 9))),)
    weights = replace(NOTHING, serve=10, reach=1)
    assert best(month([3], a_class(1, stages=stages), need=need, weights=weights)) == 22


def test_a_repeat_is_parted_by_a_standing_upload_but_not_by_an_empty_slot() -> None:
    """Two classes of one focus on days 1 and 5, fill 10, focus 15: both 20 − 15, one 10.

    An empty slot between: still 10. A standing upload of another focus between: 20.
    Two standing of the same focus: each class would repeat one (10 − 15): 0.
    One published yesterday stands, and the first would repeat it: the second alone, but that
    repeats it too: 0. One overdue since yesterday does not stand: 10.
    """
    two = (
        a_class(1, focus="core", not_after=day(1)),
        a_class(2, focus="core", not_before=day(5)),
    )
    alone = month([1, 5], *two, weights=replace(TEN, focus=15))
    assert best(alone) == 10
    assert best(replace(alone, slots=(day(1), day(3), day(5)))) == 10
    assert best(replace(alone, fixed=(fixed(3, focus="hips"),))) == 20
    assert best(replace(alone, fixed=(fixed(2, focus="core"), fixed(3, 101, focus="core")))) == 0
    assert best(replace(alone, fixed=(fixed(-1, focus="core", published=True),))) == 0
    assert best(replace(alone, fixed=(fixed(-1, focus="core"),))) == 10


def test_effort_and_family_repeat_each_by_itself() -> None:
    """7 and 9 are both hard, 3 and 0 both easy, 4 and 6 neither. Fill 10, effort 3, family 4.

    Hard, hard, one family: 20 − 3 − 4 = 13. Easy, easy, no family: 20 − 3 = 17.
    Neither, neither, no family: 20.
    """
    weights = replace(TEN, effort=3, family=4)

    def pair(one: int, other: int, family: int | None) -> int | None:
        classes = (a_class(1, effort=one, family=family), a_class(2, effort=other, family=family))
        return best(month([1, 5], *classes, weights=weights))

    assert (pair(7, 9, 5), pair(3, 0, None), pair(4, 6, None)) == (13, 17, 20)


def test_a_series_keeps_its_order_around_its_fixed_parts() -> None:
    """Part 1 is fixed on day 5: parts 2 and 3 go to days 7 and 9, day 3 stays empty: 20.

    With part 4 fixed on day 8 part 3 has no day left: 10. A second part 2, which could only
    stand on day 3, keeps part 3 out, for it would have to come before it: 10.
    """
    two, three = a_class(2, series=1, part=2), a_class(3, series=1, part=3)
    part_1 = fixed(5, series=1, part=1)
    alone = month([3, 7, 9], two, three, fixed=(part_1,))
    assert best(alone) == 20
    assert best(replace(alone, fixed=(part_1, fixed(8, 101, series=1, part=4)))) == 10
    again = a_class(4, series=1, part=2, not_after=day(3))
    assert best(replace(alone, classes=(two, three, again))) == 10


def test_work_has_to_fit_into_the_days_that_are_left() -> None:
    """70 minutes a week are 10 a working day; two days of lead, days 1 and 2 are off.

    By day 7: days 3, 4, 5: 30 minutes. By day 14: days 3 to 12: 100. 31 minutes fit on day 14
    alone, 30 on day 7: 20 − 2 hours = 18. With 70 minutes overdue there are 0 and 30: only the
    30 on day 14: 10 − 1 = 9.
    """
    classes = (a_class(1, minutes_of_work=30), a_class(2, minutes_of_work=31))
    alone = month([7, 14], *classes, minutes_a_week=70, lead_days=2, days_off=(day(1), day(2)),
                  weights=replace(TEN, work=1))  # fmt: skip
    assert best(alone) == 18
    assert best(replace(alone, slots=(day(7),))) == 9
    assert best(replace(alone, classes=classes[1:], slots=(day(7),))) == 0
    assert best(replace(alone, fixed=(fixed(-3, minutes_of_work=70),))) == 9


def test_an_upload_that_stands_is_finished_first_though_a_class_goes_out_before_it() -> None:
    """10 minutes a day. A class of 50 on day 5 would leave 10 of 60 by day 6, where 30 are due.

    By day 14 there are 140 for both, which does not help. The same with filming: one a day, on
    days 3 and 8, and the upload of day 6 is to be filmed. A day off today is none to come.
    """
    early = a_class(1, minutes_of_work=50, needs_filming=True, not_after=day(5))
    alone = month([5, 14], early, minutes_a_week=70, days_off=(day(0),))
    assert best(alone) == 10
    assert best(replace(alone, fixed=(fixed(6, minutes_of_work=10),))) == 10
    assert best(replace(alone, fixed=(fixed(6, minutes_of_work=30),))) == 0
    assert best(replace(alone, fixed=(fixed(6, minutes_of_work=30, published=True),))) == 10
    filming = replace(alone, film_days=(day(3), day(8)), films_a_day=1)
    assert best(filming) == 10
    assert best(replace(filming, fixed=(fixed(6, needs_filming=True),))) == 0


def test_classes_are_filmed_on_filming_days_a_lead_before_they_go_out() -> None:
    """One filming day, day 3, takes two; two days of lead: none by day 4, two by days 5 and 8.

    Two placed, one filming day: 20 − 4 = 16. With one fixed on day 6 to film as well only one
    more is filmed, on the day that it needs in any case: 10.
    """
    classes = [a_class(n, needs_filming=True) for n in (1, 2, 3)]
    alone = month([4, 5, 8], *classes, film_days=(day(3),), films_a_day=2, film_lead_days=2,
                  weights=replace(TEN, film=4))  # fmt: skip
    assert best(alone) == 16
    assert best(replace(alone, fixed=(fixed(6, needs_filming=True),))) == 10
    assert best(replace(alone, film_days=None)) == 30


def test_the_pace_counts_what_stands_and_the_gap_keeps_from_it() -> None:
    """Slots on Tuesday 3, Thursday 5, Friday 6, Monday 9; one stands on Wednesday 4.

    Gap 2: Tuesday and Thursday are a day from Wednesday. Friday and Monday: 20, and the class
    wanted soon goes to Friday, which 2 slots are not before: 22. One a week: Monday alone,
    with the class wanted soon: 11. Without the gap and at two a week: Tuesday with the class
    wanted soon (4), and Monday: 24. At none a week nothing.
    """
    classes = (a_class(1), a_class(2), a_class(3, wanted_soon=True))
    alone = month([1, 3, 4, 7], *classes, fixed=(fixed(2),), a_week=2, gap_days=2,
                  weights=replace(TEN, soon=1))  # fmt: skip
    assert best(alone) == 22
    assert best(replace(alone, a_week=1)) == 11
    assert best(replace(alone, gap_days=1)) == 24
    assert best(replace(alone, a_week=0)) == 0


def test_shares_count_what_is_placed_over_them() -> None:
    """Two of a focus where one is wanted: 20 − 7 = 13; at 11 points one is better: 10.

    What stands already is no part of a share.
    """
    classes = (a_class(1, focus="core"), a_class(2, focus="core"))
    alone = month([1, 4], *classes, mix=(("core", 1), ("hips", 0)), weights=replace(TEN, mix=7))
    assert best(alone) == 13
    assert best(replace(alone, weights=replace(TEN, mix=11))) == 10
    assert best(replace(alone, fixed=(fixed(9, focus="core"),))) == 13


def test_a_pin_is_kept_at_any_cost_or_the_month_cannot_be_planned() -> None:
    """A costs 2 × 9 points of work: 10 − 18 = −8 where it is pinned; B beside it adds 10: 2.

    No month keeps a pin on a day that is no slot, of a class not offered, of one class twice,
    of two classes on a day, or before the class's own first day.
    """
    costly, plain = a_class(1, minutes_of_work=90), a_class(2)
    alone = month([1, 4], costly, plain, weights=replace(TEN, work=9))
    assert best(alone) == 10
    assert best(replace(alone, pins=((day(4), 1),))) == 2
    for pins in [((2, 1),), ((1, 7),), ((1, 1), (4, 1)), ((1, 1), (1, 2))]:
        assert best(replace(alone, pins=tuple((day(n), number) for n, number in pins))) is None
    late = replace(alone, classes=(replace(costly, not_before=day(2)), plain))
    assert best(replace(late, pins=((day(1), 1),))) is None
    assert greedy(replace(late, pins=((day(1), 1),))) == {}


def test_a_day_that_is_no_slot_and_a_class_that_is_not_offered_are_told() -> None:
    problem = month([1, 4], a_class(1))
    for chosen in ({day(2): 1}, {day(1): 7}):
        assert (
            len(checker.broken_rules(problem, chosen)),
            bool(broken_rules(problem, chosen)),
        ) == (
            1,
            True,
        )
