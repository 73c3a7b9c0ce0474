"""The month's plan from her side: given her classes, clients and wishes, when planned, then …

Today is Monday 2 June 2025. Written from the rules before any plan was looked at;
each row says in a comment why a sensible person would plan it so.
"""

from __future__ import annotations

import re

import pytest

from coach.scheduling.planner import (
    Plan,
    Problem,
    make_plan,
)
from coach.scheduling.values import Stage
from tests.scheduling.planner_checker import broken_rules, value_of
from tests.scheduling.planner_june import (
    EARLY,
    LATER,
    T1,
    T2,
    T3,
    a_class,
    june,
    month,
    promised,
    published,
)

SCENARIOS = [
    # One slot and seven clients in trimester 3 against one who is 6–12 weeks on.
    (
        "the class for the most clients",
        month([9], [a_class(1, "Wrists", EARLY), a_class(2, "Ribs", T3)], {T3: 7, EARLY: 1}),
        {9: "Ribs"},
    ),
    # Both finished classes suit; the two about the core should not run back to back.
    (
        "no focus twice running",
        month(
            [9, 16, 23],
            [
                a_class(1, "Core one", T2, focus="core"),
                a_class(2, "Core two", T2, focus="core"),
                a_class(3, "Back", T2, focus="back"),
            ],
            {T2: 4},
        ),
        {9: {"Core one", "Core two"}, 16: "Back", 23: {"Core one", "Core two"}},
    ),
    # What was published last week counts as a neighbour too.
    (
        "not the focus of last week’s upload",
        month(
            [9],
            [a_class(1, "Core", T2, focus="core"), a_class(2, "Back", T2, focus="back")],
            {T2: 4},
            fixed=[published(3, a_class(9, "Old core", T2, focus="core"))],
        ),
        {9: "Back"},
    ),
    # Part 3 would serve nine, yet parts come in order.
    (
        "a series in order",
        month(
            [9, 16, 23],
            [
                a_class(1, "Hips three", T3, part=3),
                a_class(2, "Hips one", T1, part=1),
                a_class(3, "Hips two", T2, part=2),
            ],
            {T3: 9, T1: 1, T2: 1},
        ),
        {9: "Hips one", 16: "Hips two", 23: "Hips three"},
    ),
    # Two hours a week from today: on the 9th two hours are possible, four only on the 16th.
    (
        "not before it can be ready",
        month([9, 16], [a_class(1, "Ribs", T3, hours=4)], {T3: 5}, minutes_a_week=120),
        {16: "Ribs"},
    ),
    # The same with a lead of a day from film to publish: the 16th is a day short.
    (
        "the lead takes its days off the hours",
        month([9, 16], [a_class(1, "Ribs", T3, hours=4)], {T3: 5}, minutes_a_week=120, lead_days=1),
        {},
    ),
    # What is promised takes the hours; a finished class needs none of them.
    (
        "a promised upload has first call on her hours",
        month(
            [16],
            [a_class(1, "Ribs", T3, hours=2), a_class(2, "Wrists", EARLY)],
            {T3: 9, EARLY: 1},
            fixed=[promised(june(12), a_class(9, "Promised", T1, hours=3))],
            minutes_a_week=120,
        ),
        {16: "Wrists"},
    ),
    # Trimester 3 had its class four days ago; the six at 12–26 weeks have had none.
    (
        "who was served a few days ago can wait",
        month(
            [9],
            [a_class(1, "Ribs", T3), a_class(2, "Back", LATER)],
            {T3: 8, LATER: 6},
            fixed=[published(4, a_class(9, "Old ribs", T3))],
        ),
        {9: "Back"},
    ),
    # A class about Midsummer is offered from the 20th only.
    (
        "a class with an earliest day waits for it",
        month(
            [9, 23],
            [a_class(1, "Midsummer", T2, not_before=june(20)), a_class(2, "Back", T1)],
            {T2: 9, T1: 1},
        ),
        {9: "Back", 23: "Midsummer"},
    ),
    # Nobody can plan a class for a stage that is not known or past due.
    (
        "the unknown and the past due pull no class",
        month(
            [9],
            [a_class(1, "For whom?", Stage.UNKNOWN, Stage.PAST_DUE), a_class(2, "Back", T1)],
            {Stage.UNKNOWN: 9, Stage.PAST_DUE: 9, T1: 1},
        ),
        {9: "Back"},
    ),
    # Part 3 stands on the 12th: part 2 comes before it or not at all.
    (
        "a part goes before the later part that stands",
        month(
            [9, 16],
            [a_class(1, "Hips two", T2, part=2), a_class(2, "Back", T1)],
            {T2: 3, T1: 3},
            fixed=[promised(june(12), a_class(9, "Hips three", T3, part=3))],
        ),
        {9: "Hips two", 16: "Back"},
    ),
    # Two classes for three slots: each once, one slot stays free.
    (
        "no class twice, even for an empty slot",
        month([9, 16, 23], [a_class(1, "Ribs", T3), a_class(2, "Back", T3)], {}),
        2,
    ),
    # Nine hours are to be spent if they fill a slot: publishing steadily is the aim.
    (
        "a filled slot is worth more than an hour of work",
        month([16], [a_class(1, "Ribs", T3, hours=9)], {}),
        {16: "Ribs"},
    ),
]


@pytest.mark.parametrize(("story", "given", "then"), SCENARIOS, ids=[row[0] for row in SCENARIOS])
def test_the_month_is_planned(
    story: str, given: Problem, then: int | dict[int, str | set[str]]
) -> None:
    plan = make_plan(given)
    titles = {item.id: item.title for item in given.classes}
    found = {slot.day.day: titles[slot.class_id] for slot in plan.slots}
    if isinstance(then, int):
        assert len(found) == len(set(found.values())) == then, story
        return
    assert found.keys() == then.keys(), story
    for day, title in found.items():
        expected = then[day]
        assert title in (expected if isinstance(expected, set) else {expected}), story
    assert broken_rules(given, {slot.day: slot.class_id for slot in plan.slots}) == []


HAND_COUNTED = [
    # fill 200; serve 20 × 7 on the 9th; reach 7
    ("one slot", month([9], [a_class(1, "Ribs", T3)], {T3: 7}), {9: 1}, 200 + 140 + 7),
    # served on the 9th for the 9th and the 16th (a week later), not for the 23rd (14 days later)
    ("a window of 14 days", month([9, 16, 23], [a_class(1, "Ribs", T3)], {T3: 1}), {9: 1},
     200 + 20 * 2 + 1),
    # published on 29 May: trimester 3 is served without her on the 9th, no longer on the 16th
    ("already served", month([9, 16], [a_class(1, "Ribs", T3)], {T3: 1},
                             fixed=[published(4, a_class(9, "Old", T3))]), {9: 1}, 200 + 20 + 1),
    # 61 minutes are two hours
    ("hours rounded up", month([16], [a_class(1, "Ribs", hours=61 / 60)], {}), {16: 1}, 200 - 2),
    # two of a focus running
    ("a repeat", month([9, 16], [a_class(1, "A", focus="core"), a_class(2, "B", focus="core")], {}),
     {9: 1, 16: 2}, 400 - 60),
    # an empty slot between them does not part them
    ("a repeat over a gap",
     month([9, 16, 23], [a_class(1, "A", focus="core"), a_class(2, "B", focus="core")], {}),
     {9: 1, 23: 2}, 400 - 60),
    # two published ones are no fault of hers
    ("old repeats don’t count",
     month([9], [a_class(1, "A", focus="hips")], {},
           fixed=[published(9, a_class(8, "B", focus="core")),
                  published(4, a_class(9, "C", focus="core"))]), {9: 1}, 200),
    ("an empty month", month([9], [a_class(1, "A", T3)], {T3: 5}), {}, 0),
]  # fmt: skip


@pytest.mark.parametrize(
    ("story", "given", "placed", "points"), HAND_COUNTED, ids=[row[0] for row in HAND_COUNTED]
)
def test_the_checker_counts_as_counted_by_hand(
    story: str, given: Problem, placed: dict[int, int], points: int
) -> None:
    chosen = {june(day): number for day, number in placed.items()}
    assert value_of(given, chosen) == points, story


def test_no_slots_give_an_empty_plan() -> None:
    plan = make_plan(month([], [a_class(1, "Ribs", T3)], {T3: 7}))
    assert (plan.status, plan.value, plan.bound, plan.slots) == ("optimal", 0, 0, ())


def test_no_classes_leave_every_slot_empty_and_say_so() -> None:
    plan = make_plan(month([9, 16], [], {T3: 7}))
    assert (plan.status, plan.value, plan.slots) == ("optimal", 0, ())
    assert plan.unmet != ()


def test_a_stage_for_which_no_class_exists_is_named() -> None:
    plan = make_plan(month([9], [a_class(1, "Back", T1)], {T1: 2, T3: 4}))
    assert _mentions(plan, "trimester 3")


def test_a_stage_that_is_served_is_not_complained_of() -> None:
    plan = make_plan(month([9], [a_class(1, "Back", T1)], {T1: 2}))
    assert plan.unmet == ()


def test_seven_clients_are_named_in_the_reason() -> None:
    plan = make_plan(month([9], [a_class(1, "Ribs", T3)], {T3: 7}))
    (slot,) = plan.slots
    assert any(re.match("(7|seven) clients", why, re.I) for why in slot.reasons), slot.reasons


def test_no_reason_counts_the_unknown_or_the_past_due_as_served() -> None:
    """Given only clients who are past due or unknown, nobody is said to be served."""
    clients = {Stage.PAST_DUE: 4, Stage.UNKNOWN: 4}
    plan = make_plan(month([9], [a_class(1, "Ribs", T3, *clients)], clients))
    (slot,) = plan.slots
    assert not any(re.search(r"\b(4|8|four|eight) clients", why) for why in slot.reasons)


def _mentions(plan: Plan, words: str) -> bool:
    return any(words in sentence for sentence in plan.unmet)
