"""The month's plan from her side, rule by rule: given what she wants, when planned, then …

Each row says in a comment why a sensible person would plan it so.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from coach.scheduling.planner import Problem, Weights, make_plan
from tests.scheduling.planner_checker import broken_rules
from tests.scheduling.planner_june import T1, T2, T3, a_class, june, month, published, raw

Then = int | set[str] | dict[int, str | set[str]]
"""So many classes; these classes; or what stands on each day."""

SCENARIOS: list[tuple[str, Problem, Then]] = [
    # She puts the back on the 9th, though nine want the ribs: they get the 16th.
    (
        "what she put somewhere stays there, and the rest is planned around it",
        replace(
            month([9, 16], [a_class(1, "Ribs", T3), a_class(2, "Back", T1)], {T3: 9, T1: 1}),
            pins=((june(9), 2),),
        ),
        {9: "Back", 16: "Ribs"},
    ),
    # Part 2 is put on the 23rd: part 1 has to go before it, though nobody needs it.
    (
        "a pinned part draws the parts before it in",
        replace(
            month(
                [9, 23],
                [
                    a_class(1, "Hips one", part=1),
                    a_class(2, "Hips two", part=2),
                    a_class(3, "Back", T1),
                ],
                {T1: 9},
            ),
            pins=((june(23), 2),),
        ),
        {9: "Hips one", 23: "Hips two"},
    ),
    # The sledge class is over after the 12th, so the ribs wait although more want them.
    (
        "a class with a last day goes first",
        month(
            [9, 16],
            [replace(a_class(1, "Sledge", T1), not_after=june(12)), a_class(2, "Ribs", T3)],
            {T1: 1, T3: 9},
        ),
        {9: "Sledge", 16: "Ribs"},
    ),
    # One filming day on the 5th takes one class: only one of the two raw ones can be planned.
    (
        "no more is planned than can be filmed",
        replace(
            month([9, 16], [raw(1, "Ribs", T3), raw(2, "Back", T1)], {T3: 9, T1: 1}),
            film_days=(june(5),),
            films_a_day=1,
        ),
        {9: "Ribs"},
    ),
    # A day takes two films: a third would cost one more day, which one client is not worth.
    (
        "filming is gathered",
        replace(
            month(
                [9, 16, 23],
                [
                    raw(1, "Ribs", T3),
                    raw(2, "Back", T1),
                    raw(3, "Hips", T2),
                    a_class(4, "Calm"),
                ],
                {T3: 9, T1: 9, T2: 1},
                weights=Weights(film=100),
            ),
            film_days=(june(4), june(5)),
            films_a_day=2,
        ),
        {"Ribs", "Back", "Calm"},
    ),
    # Two days apart and one a week: of three open days in two weeks two are filled.
    (
        "so many a week, and never too near",
        replace(
            month([9, 10, 16], [a_class(n, f"Class {n}") for n in (1, 2, 3)], {}),
            a_week=1,
            gap_days=3,
        ),
        2,
    ),
    # Both suit as many; she wants the back soon.
    (
        "what she wants soon comes first",
        month(
            [9, 16],
            [a_class(1, "Ribs", T3), replace(a_class(2, "Back", T3), wanted_soon=True)],
            {T3: 4},
            weights=Weights(soon=5),
        ),
        {9: "Back", 16: "Ribs"},
    ),
    # Two hard ones and an easy one: the easy one between them.
    (
        "hard and easy take turns",
        month(
            [9, 16, 23],
            [
                replace(a_class(n, title), effort=effort)
                for n, title, effort in ((1, "Hard one", 8), (2, "Hard two", 8), (3, "Easy", 2))
            ],
            {},
            weights=Weights(effort=5),
        ),
        {9: {"Hard one", "Hard two"}, 16: "Easy", 23: {"Hard one", "Hard two"}},
    ),
    # Last week’s class had the exercises of the ribs; the back has others.
    (
        "not the same exercises as last week",
        month(
            [9],
            [replace(a_class(1, "Ribs", T3), family=3), replace(a_class(2, "Back", T3), family=4)],
            {T3: 4},
            fixed=[published(3, replace(a_class(9, "Old"), family=3))],
            weights=Weights(family=5),
        ),
        {9: "Back"},
    ),
    # She wants one of hips at most: the second one would suit one client more.
    (
        "within the share of a focus",
        replace(
            month(
                [9, 16],
                [
                    a_class(1, "Hips", T2, focus="hips"),
                    a_class(2, "Hips too", T2, focus="hips"),
                    a_class(3, "Back", focus="back"),
                ],
                {T2: 1},
                weights=Weights(mix=50, focus=0),
            ),
            mix=(("hips", 1),),
        ),
        {9: {"Hips", "Hips too"}, 16: "Back"},
    ),
]


@pytest.mark.parametrize(("story", "given", "then"), SCENARIOS, ids=[row[0] for row in SCENARIOS])
def test_the_month_is_planned(story: str, given: Problem, then: Then) -> None:
    plan = make_plan(given)
    titles = {item.id: item.title for item in given.classes}
    found = {slot.day.day: titles[slot.class_id] for slot in plan.slots}
    assert plan.status == "optimal", story
    assert broken_rules(given, {slot.day: slot.class_id for slot in plan.slots}) == []
    if isinstance(then, int):
        assert len(found) == then, story
    elif isinstance(then, set):
        assert set(found.values()) == then, story
    else:
        assert found.keys() == then.keys(), story
        assert [day for day in found if found[day] not in _set(then[day])] == [], story


def _set(titles: str | set[str]) -> set[str]:
    return titles if isinstance(titles, set) else {titles}
