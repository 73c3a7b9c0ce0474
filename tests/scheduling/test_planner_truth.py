"""The planner against every placement of small months, which bite on each rule and wish."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from itertools import islice

import pytest

from coach.scheduling.planner import Plan, Problem, make_plan
from coach.scheduling.planner import broken_rules as rules_said
from coach.scheduling.planner import value_of as value_said
from tests.scheduling.planner_checker import broken_rules, value_of
from tests.scheduling.planner_small import TIGHT, biting_problem
from tests.scheduling.planner_truth import WISHES, Truth, Walk, truth

MONTHS, BATCH = 400, 25
QUICK = 300  # of them; the rest where time is no matter
BATCHES = [
    pytest.param(first, marks=() if first < QUICK else pytest.mark.endurance)
    for first in range(0, MONTHS, BATCH)
]


def disagreement(problem: Problem, found: Truth, plan: Plan) -> str:
    """What the plan says otherwise than the truth, in words."""
    if found.best is None:
        empty = (plan.status, plan.slots) == ("infeasible", ())
        return "" if empty and plan.conflict else f"{plan.status}, but no placement keeps the pins"
    if (plan.status, plan.value, plan.bound) != ("optimal", found.best, found.best):
        return f"{plan.status} {plan.value} of {plan.bound}, the best is {found.best}"
    chosen = {slot.day: slot.class_id for slot in plan.slots}
    broken, value = broken_rules(problem, chosen), value_of(problem, chosen)
    return "" if (broken, value) == ([], found.best) else f"{broken}, worth {value}"


@pytest.mark.parametrize("first", BATCHES)
def test_the_plan_is_the_best_of_all_placements(first: int) -> None:
    wrong = {
        n: said
        for n in range(first, first + BATCH)
        for problem, found in [biting_problem(n)]
        if (said := disagreement(problem, found, make_plan(problem)))
    }
    assert wrong == {}


def test_each_rule_keeps_out_a_better_month_in_many_of_these() -> None:
    """Were a rule absent, or hidden by another, agreeing on it would say nothing."""
    bite = [biting_problem(n)[1].rules_that_matter() for n in range(MONTHS)]
    seen = Counter(rule for rules in bite for rule in rules)
    groups = Counter(group for rules in bite for group in {TIGHT[rule] for rule in rules})
    assert {rule: seen[rule] for rule in TIGHT if seen[rule] < 20} == {}
    assert {group: groups[group] for group in TIGHT.values() if groups[group] < 30} == {}


def test_each_wish_changes_the_choice_in_many_of_these() -> None:
    bite = [biting_problem(n)[1].wishes_that_matter() for n in range(MONTHS)]
    seen = Counter(wish for wishes in bite for wish in wishes)
    assert {wish: seen[wish] for wish in WISHES if seen[wish] < 20} == {}


def test_many_pins_can_be_kept_and_many_cannot() -> None:
    found = [found.best for problem, found in map(biting_problem, range(MONTHS)) if problem.pins]
    kept = [best for best in found if best is not None]
    assert len(kept) >= 40 <= len(found) - len(kept)


def without_overdue(problem: Problem) -> Problem:
    fixed = (up for up in problem.fixed if up.published or up.day >= problem.today)
    return replace(problem, fixed=tuple(fixed))


@pytest.mark.parametrize(
    "misread",
    [
        lambda problem: replace(problem, fixed=()),
        without_overdue,
        lambda problem: replace(problem, serve_every_days=1),
        lambda problem: replace(problem, serve_every_days=99),
        lambda problem: replace(problem, lead_days=problem.lead_days + 3),
        lambda problem: replace(problem, need=()),
    ],
    ids=["no fixed uploads", "none overdue", "narrow window", "wide window", "longer lead", "need"],
)
def test_a_month_misread_has_another_best_value(misread: Callable[[Problem], Problem]) -> None:
    problems = [biting_problem(n) for n in range(MONTHS)]
    others = [(misread(problem), problem, found) for problem, found in problems]
    asked = [(other, found) for other, problem, found in others if other != problem][:80]
    assert sum(truth(other).best != found.best for other, found in asked) >= 6


@pytest.mark.parametrize("first", BATCHES)
def test_walking_and_counting_by_the_words_agree_on_every_month(first: int) -> None:
    """Two readings of the rules, and the planner's own, of months that keep and break them."""
    wrong = []
    for n in range(first, first + BATCH, 5):
        problem, _ = biting_problem(n)
        walk = Walk(problem)
        for step in islice(walk.months(0, walk.start()), 0, 1200, 4):
            chosen = {day: item.id for day, item in step.placed}
            read = (bool(step.broken), sum(step.points.values()))
            checked = (bool(broken_rules(problem, chosen)), value_of(problem, chosen))
            said = (bool(rules_said(problem, chosen)), value_said(problem, chosen))
            if not read == checked == said:
                wrong.append((n, chosen, read, checked, said))
    assert wrong == []
