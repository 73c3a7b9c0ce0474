"""What a plan says to her. Today is Sunday 20 December 2026; January is planned."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date

import pytest

from coach.scheduling.planner import (
    FixedUpload,
    Plan,
    PlanClass,
    Problem,
    broken_rules,
    freeze_need,
    make_plan,
    value_of,
)
from coach.scheduling.values import Stage
from tests.scheduling.planner_checker import random_problem

TODAY = date(2026, 12, 20)
T1, T2, T3, SIX = Stage.TRIMESTER_1, Stage.TRIMESTER_2, Stage.TRIMESTER_3, Stage.WEEKS_6_12


def january(day: int) -> date:
    return date(2027, 1, day)


def a_class(number: int, title: str, *stages: Stage, **facts: object) -> PlanClass:
    given: dict[str, object] = {"focus": "", "minutes_of_work": 0} | facts
    if "part" in given:
        given |= {"series": 1, "series_title": "Strong again"}
    return PlanClass(id=number, title=title, stages=frozenset(stages), **given)  # type: ignore[arg-type]  # facts are passed on by name


def published(day: date, item: PlanClass) -> FixedUpload:
    return FixedUpload(day, item, published=True)


def promised(day: date, item: PlanClass) -> FixedUpload:
    return FixedUpload(day, item, published=False)


def a_month(
    slots: Iterable[int],
    classes: Iterable[PlanClass],
    clients: dict[Stage, int] | None = None,
    fixed: Iterable[FixedUpload] = (),
    **wishes: object,
) -> Problem:
    days = tuple(january(day) for day in slots)
    need = freeze_need({day: clients or {} for day in days})
    given: dict[str, object] = {"minutes_a_week": 600, "lead_days": 2} | wishes
    return Problem(TODAY, days, tuple(classes), tuple(fixed), need, **given)  # type: ignore[arg-type]  # wishes are passed on by name


def reasons(problem: Problem, day: int) -> tuple[str, ...]:
    return next(slot.reasons for slot in make_plan(problem).slots if slot.day == january(day))


def placement(plan: Plan) -> dict[date, int]:
    return {slot.day: slot.class_id for slot in plan.slots}


BREATH = a_class(1, "Breath and ribs", T3, focus="breathing", effort=2)
HIPS = a_class(2, "Hips and back", T2, focus="hips", minutes_of_work=210, effort=5)
AUTUMN = published(date(2026, 11, 2), a_class(90, "Long walk", T3, T2, focus="hips", effort=6))


# --- reasons ---------------------------------------------------------------------------------


def test_a_slot_says_whom_it_serves_the_mix_and_that_it_is_finished() -> None:
    problem = a_month([5], [BREATH], {T3: 4}, [AUTUMN])
    assert reasons(problem, 5) == (
        "Four clients will be in trimester 3; nothing for them since 2 November.",
        "Breathing after hips, effort two after six.",
        "It is finished.",
    )


def test_a_slot_says_how_much_work_it_needs_by_when_and_what_it_repeats() -> None:
    problem = a_month([5], [HIPS], {T2: 1}, [AUTUMN])
    assert reasons(problem, 5) == (
        "One client will be in trimester 2; nothing for them since 2 November.",
        "Hips again, as on Monday 2 November, effort five after six.",
        "It needs three hours 30 minutes of work, ready by Sunday 3 January.",
    )


def test_those_who_wait_longest_come_first_and_the_third_stage_is_added_up() -> None:
    item = a_class(1, "For all", T1, T2, T3, SIX)
    kept = [
        published(date(2026, 12, 1), a_class(90, "One", T2)),
        published(date(2025, 11, 1), a_class(91, "Two", T3)),
        promised(january(2), a_class(92, "Three", SIX)),
    ]
    problem = a_month([5], [item], {T1: 2, T2: 13, T3: 1, SIX: 1}, kept)
    assert reasons(problem, 5)[:3] == (
        "Two clients will be in trimester 1; nothing for them yet.",
        "One client will be in trimester 3; nothing for them since 1 November 2025.",
        "It also suits 14 clients at other stages.",
    )


def test_the_last_class_for_them_may_be_one_of_this_plan() -> None:
    classes = [a_class(1, "One", SIX), a_class(2, "Two", SIX)]
    assert reasons(a_month([5, 25], classes, {SIX: 3}), 25)[0] == (
        "Three clients will be 6–12 weeks after pregnancy; the last for them is on "
        "Tuesday 5 January."
    )


def test_a_class_that_nobody_needs_claims_to_serve_nobody() -> None:
    problem = a_month([5], [BREATH], {T3: 0, Stage.PAST_DUE: 4, Stage.UNKNOWN: 2})
    assert reasons(problem, 5) == (
        "No client is expected at a stage that it suits; it keeps the pace.",
        "It is finished.",
    )


def test_a_part_says_what_it_follows_or_that_it_opens_the_series() -> None:
    parts = [a_class(n, f"Part {n}", SIX, part=n) for n in (1, 2)]
    problem = a_month([5, 12], parts, {SIX: 1})
    assert "Part 1 of “Strong again” opens the series." in reasons(problem, 5)
    assert "Part 2 of “Strong again” follows part 1 on Tuesday 5 January." in reasons(problem, 12)


def test_the_next_best_says_how_much_longer_somebody_would_wait() -> None:
    classes = [
        replace(BREATH, id=1),
        a_class(2, "Squats", T3, focus="legs"),
        a_class(3, "Hips and back", T2, focus="hips"),
    ]
    problem = a_month([5, 16], classes, {T3: 4})
    assert reasons(problem, 5)[-1] == (
        "Next best: Hips and back, which leaves trimester 3 waiting eleven days more and suits "
        "four clients fewer: 84 points less."
    )


@pytest.mark.parametrize(
    ("other", "cost"),
    [
        (a_class(2, "Twin", T3, focus="breathing"), "would do as well"),
        (a_class(2, "Twin", T3, focus="hips"), "repeats hips: 60 points less"),
        (
            a_class(2, "Twin", T3, minutes_of_work=90),
            "needs one hour 30 minutes more of work: two points less",
        ),
        (
            a_class(2, "Twin", T2, focus="back"),
            "leaves trimester 3 without a class until the month is out and suits four clients "
            "fewer: 84 points less",
        ),
    ],
)
def test_the_next_best_says_what_it_would_cost(other: PlanClass, cost: str) -> None:
    kept = published(date(2026, 12, 1), a_class(90, "Long walk", T1, focus="hips"))
    problem = a_month([5], [BREATH, other], {T3: 4}, [kept])
    assert reasons(problem, 5)[-1] == f"Next best: Twin, which {cost}."


def test_no_next_best_is_named_that_would_break_a_rule() -> None:
    classes = [
        a_class(1, "Part 1", T3, part=1),
        a_class(2, "Part 2", T3, part=2),
        a_class(3, "Late", T3, not_before=january(20)),
        a_class(4, "Long", T3, minutes_of_work=9_000),
        a_class(5, "Part 4", T3, part=4),
    ]
    plan = make_plan(a_month([5, 12], classes, {T3: 4}))
    assert placement(plan) == {january(5): 1, january(12): 2}
    assert not [text for slot in plan.slots for text in slot.reasons if "Next best" in text]


@pytest.mark.parametrize("seed", range(12))
def test_the_next_best_is_the_best_swap_that_keeps_the_rules(seed: int) -> None:
    problem = random_problem(seed, 9, 14, 5)
    titled = [replace(item, title=f"Class {item.id}") for item in problem.classes]
    problem = replace(problem, classes=tuple(titled))
    plan = make_plan(problem)
    chosen = placement(plan)
    for slot in plan.slots:
        swaps = [
            (value_of(problem, swap), item.id)
            for item in problem.classes
            if item.id not in chosen.values()
            and not broken_rules(problem, swap := {**chosen, slot.day: item.id})
        ]
        best = max(swaps, default=(0, 0))[0]
        named = [text.split()[3].strip(",") for text in slot.reasons if "Next best" in text]
        assert len(named) == bool(swaps)
        assert [value_of(problem, {**chosen, slot.day: int(n)}) for n in named] == [best] * len(
            named
        )


# --- unmet -----------------------------------------------------------------------------------

ONE_SLOT = [5]
UNMET: list[tuple[str, Problem, tuple[str, ...]]] = [
    (
        "no publish day",
        a_month([], [BREATH]),
        (
            "There is no publish day left to plan: choose more publish days, or take fewer days "
            "off.",
        ),
    ),
    (
        "empty backlog",
        a_month([5, 7, 9], []),
        (
            "Nothing for Tuesday 5 January, Thursday 7 January and Saturday 9 January: the backlog "
            "is used up. Outline more classes, or publish on fewer days.",
        ),
    ),
    (
        "no class suits a stage",
        a_month([5], [HIPS], {T2: 1, T3: 4, SIX: 1}),
        (
            "No class in the backlog suits trimester 3: outline one. Four clients will be there.",
            "No class in the backlog suits 6–12 weeks after pregnancy: outline one. One client "
            "will be there.",
        ),
    ),
    (
        # 60 minutes a week from 20 December to 3 January are two hours.
        "not enough hours",
        a_month([5], [HIPS], {T2: 1}, minutes_a_week=60),
        (
            "Nothing for Tuesday 5 January: no class left can be ready in time. “Hips and back” "
            "needs least, three hours 30 minutes: find one hour 30 minutes more by "
            "Sunday 3 January for Tuesday 5 January.",
            "On Tuesday 5 January one client in trimester 2 will have had nothing for 14 days. "
            "“Hips and back” suits them, but can’t stand in time: free more hours before "
            "then.",
        ),
    ),
    (
        "too early",
        a_month([5], [replace(BREATH, not_before=january(20))]),
        (
            "Nothing for Tuesday 5 January: “Breath and ribs” is not to come before "
            "Wednesday 20 January. Let it come earlier, or outline another class.",
        ),
    ),
    (
        "out of turn",
        a_month(
            [5],
            [a_class(2, "Second", part=2)],
            fixed=[promised(january(8), a_class(1, "First", part=1))],
        ),
        (
            "Nothing for Tuesday 5 January: “Second” has to wait for its turn in its series. "
            "Finish the earlier parts first, or outline a class that stands alone.",
        ),
    ),
    (
        "a later part is out already",
        a_month(
            [5],
            [a_class(2, "Second", part=2)],
            fixed=[published(date(2026, 12, 8), a_class(3, "Third", part=3))],
        ),
        (
            "Nothing for Tuesday 5 January: “Second” can’t come after a later part of its series. "
            "Change the parts, or outline a class that stands alone.",
            "“Second” is part 2 of its series, and a later part stands on Tuesday 8 December "
            "already: move that one, or change the parts.",
        ),
    ),
    (
        # 21 ÷ 7 × 60 minutes until 10 January less two days: 162, and five hours are promised.
        "too much promised",
        a_month(
            [],
            [],
            fixed=[promised(january(10), a_class(9, "Big", minutes_of_work=300))],
            minutes_a_week=60,
        ),
        (
            "There is no publish day left to plan: choose more publish days, or take fewer days "
            "off.",
            "The uploads that already stand need five hours of work by Friday 8 January, and "
            "there is time for two hours 42 minutes: find two hours 18 minutes more, or move one "
            "of them.",
        ),
    ),
    (
        # Ready by 19 December, the day before today.
        "inside the lead",
        a_month([5], [HIPS], {T2: 1}, lead_days=17),
        (
            "Nothing for Tuesday 5 January: it is too near for a class that still needs work, and "
            "no finished one can stand there. Keep finished classes in hand.",
            "On Tuesday 5 January one client in trimester 2 will have had nothing for 14 days. No "
            "class that suits them can stand there: keep a finished one for them in hand.",
        ),
    ),
    (
        "promised inside the lead",
        a_month([5], [BREATH], fixed=[promised(date(2026, 12, 21), replace(HIPS, id=9))]),
        (
            "“Hips and back” still needs three hours 30 minutes of work, and was to be ready by "
            "Saturday 19 December: move it.",
        ),
    ),
    (
        "promised to them, but late",
        a_month([5, 20], [BREATH], {T2: 2}, [promised(january(25), replace(HIPS, id=9))]),
        (
            "Nothing for Wednesday 20 January: the backlog is used up. Outline more classes, or "
            "publish on fewer days.",
            "On two publish days, the first Tuesday 5 January, two clients in trimester 2 will "
            "have had nothing for 14 days. Every class that suits them is placed already: outline "
            "one more.",
        ),
    ),
    (
        "overdue",
        a_month([5], [BREATH], fixed=[promised(date(2026, 12, 18), a_class(9, "Late one"))]),
        (
            "“Late one” was to go out on Friday 18 December and is not published: publish it, or "
            "move it.",
        ),
    ),
    (
        "two fixed parts in the wrong order",
        a_month(
            [5],
            [BREATH],
            fixed=[
                promised(january(6), a_class(8, "Second", part=2)),
                promised(january(7), a_class(9, "First", part=1)),
            ],
        ),
        (
            "Part 2 of a series stands on Wednesday 6 January, before part 1 on "
            "Thursday 7 January: exchange them.",
        ),
    ),
    (
        "nothing of another focus",
        a_month([5, 7], [replace(HIPS, id=n, minutes_of_work=0) for n in (1, 2)]),
        (
            "Hips comes twice running, on Tuesday 5 January and Thursday 7 January: no class with "
            "another focus can stand there. Outline one with another focus for the same clients.",
        ),
    ),
    (
        "every class for them is placed",
        a_month([5, 12, 28], [BREATH, a_class(2, "Rest"), a_class(3, "Walk")], {T3: 4}),
        (
            "On Thursday 28 January four clients in trimester 3 will have had nothing for 14 days. "
            "Every class that suits them is placed already: outline one more.",
        ),
    ),
]  # fmt: skip


@pytest.mark.parametrize(("case", "problem", "expected"), UNMET, ids=[row[0] for row in UNMET])
def test_what_is_unmet_is_said_with_what_would_mend_it(
    case: str, problem: Problem, expected: tuple[str, ...]
) -> None:
    plan = make_plan(problem)
    assert plan.unmet == expected
    assert plan.status == "optimal"


def test_a_repeat_that_is_worth_it_says_so() -> None:
    """Serving nine clients (9 × 20 + 9) is worth more than a change of focus (60)."""
    classes = [a_class(1, "A", T3, focus="hips"), a_class(2, "B", T1, focus="core")]
    kept = published(date(2026, 12, 1), a_class(90, "Old", T2, focus="hips"))
    plan = make_plan(a_month([5], classes, {T3: 9}, [kept]))
    assert plan.unmet == (
        "Hips comes twice running, on Tuesday 1 December and Tuesday 5 January: every other class "
        "that could stand there costs more than the change is worth. Outline one with another "
        "focus for the same clients.",
    )


def test_nothing_is_unmet_in_a_month_that_has_everything() -> None:
    assert make_plan(a_month([5], [BREATH], {T3: 4}, [AUTUMN])).unmet == ()
