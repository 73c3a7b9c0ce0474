"""Whatever a plan says is so: every sentence of random months is read, and counted anew.

With pins, filming days, a pace, and clients told apart from enquiries.
"""

from __future__ import annotations

import random
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import pytest

from coach.scheduling.planner import Plan, Problem, make_plan
from tests.scheduling.planner_claims import Check, Scene
from tests.scheduling.planner_random import large_problem, random_problem
from tests.scheduling.planner_reasons import ALL_REASONS, TOLD
from tests.scheduling.planner_unmet import UNMET, unexplained, unspoken

SEEDS = range(100)


def a_month(seed: int) -> Problem:
    given = random_problem(seed, 9, 14, 5, pins=True) if seed % 3 else large_problem(seed)
    return with_people(given, random.Random(seed)) if seed % 2 else given


@cache
def plan_of(seed: int) -> Plan:
    return make_plan(a_month(seed))


def with_people(given: Problem, rng: random.Random) -> Problem:
    """Some of the need are enquiries, and some of the clients have no go-ahead."""
    clients = tuple(
        (day, tuple((stage, rng.randint(0, many)) for stage, many in row))
        for day, row in given.need
    )
    ready = tuple(
        (day, tuple((stage, rng.randint(0, many)) for stage, many in row)) for day, row in clients
    )
    return replace(given, clients=clients, ready=ready)


def untruths(given: Problem, plan: Plan) -> Iterator[str]:
    """Each sentence that is not so, and each that can't be read."""
    chosen = {slot.day: slot.class_id for slot in plan.slots}
    for slot in plan.slots:
        scene = Scene(given, chosen, slot.day)
        yield from (f"{slot.day}: {said}" for said in slot.reasons
                    if not is_so(scene, said, ALL_REASONS))  # fmt: skip
    yield from (said for said in plan.unmet if not is_so(Scene(given, chosen), said, UNMET))


def is_so(scene: Scene, sentence: str, kinds: dict[str, Check]) -> bool:
    read = ((check, re.fullmatch(said, sentence)) for said, check in kinds.items())
    return next((check(scene, found.groupdict()) for check, found in read if found), False)


@pytest.mark.parametrize("seed", SEEDS)
def test_every_sentence_is_so_and_nothing_is_left_unsaid(seed: int) -> None:
    given = a_month(seed)
    plan = plan_of(seed)
    assert plan.status != "feasible"
    if plan.status == "optimal":
        scene = Scene(given, {slot.day: slot.class_id for slot in plan.slots})
        silent = [*unexplained(given, scene, plan.unmet), *unspoken(scene, plan.unmet)]
        assert (list(untruths(given, plan)), silent) == ([], [])


LIES = [
    (r"^Seven clients", "Eight clients"),
    (r"(will be .*), one of them", r"\1, two of them"),
    (r", without a go-ahead", ", with a go-ahead"),
    (r"(filmed by) .*", r"\1 Sunday 1 June."),
    (r"^It is filmed\.$", "It is to be filmed by Tuesday 3 June."),
    (r"^You want it soon\.$", "Much the same exercises as “Nothing” before it."),
    (r"(days are from) \w+ \d+ \w+", r"\1 Sunday 1 June"),
    (r"\w+ points? less", "99 points less"),
    (r", hard again", ", easy again"),
    (r"^Some who enquired", "Two clients"),
]


@pytest.mark.parametrize(("said", "instead"), LIES)
def test_planted_untruths_are_found(said: str, instead: str) -> None:
    planted = found = 0
    for seed in SEEDS[:60]:
        given, plan = a_month(seed), plan_of(seed)
        chosen = {slot.day: slot.class_id for slot in plan.slots}
        said_here = [(slot.day, why) for slot in plan.slots for why in slot.reasons]
        for day, why in said_here:
            lie = re.sub(said, instead, why)
            planted += lie != why
            found += lie != why and not is_so(Scene(given, chosen, day), lie, ALL_REASONS)
    assert 0 < planted == found


def test_the_months_together_say_everything_there_is_to_say() -> None:
    """Each kind of reason that is read comes up: what never did would not be tried."""
    said = Counter(
        kind
        for seed in SEEDS
        for slot in plan_of(seed).slots
        for why in slot.reasons
        for kind in TOLD
        if re.fullmatch(kind, why)
    )
    assert [kind for kind in TOLD if not said[kind]] == []
