"""What a plan says of itself is so: every number, name, date and piece of advice is tried."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from coach.scheduling.planner import PlannedSlot, make_plan
from tests.scheduling.planner_checker import random_problem
from tests.scheduling.planner_claims import Scene, untruths
from tests.scheduling.planner_unmet import UNMET, unexplained, unspoken

MONTHS = [(seed, 9, 14, 5) for seed in range(160)] + [(seed, 13, 30, 8) for seed in range(160, 200)]


@pytest.mark.parametrize("size", MONTHS, ids=str)
def test_every_sentence_of_a_plan_is_so(size: tuple[int, int, int, int]) -> None:
    problem = random_problem(*size)
    plan = make_plan(problem)
    scene = Scene(problem, {slot.day: slot.class_id for slot in plan.slots})
    found = list(untruths(plan, problem, UNMET))
    silent = [*unexplained(problem, scene, plan.unmet), *unspoken(scene, plan.unmet)]
    assert (found, silent) == ([], [])


@pytest.mark.parametrize(
    ("said", "instead"),
    [
        (r"^Nine clients", "Eight clients"),
        (r"the last for them is on .*\.$", "nothing for them yet."),
        (r"nothing for them yet\.$", "the last for them is on Tuesday 3 June."),
        (r"(ready by) .*\.$", r"\1 Sunday 1 June."),
        (r"^It is finished\.$", "It needs one hour of work, ready by Thursday 12 June."),
        (r"^It is finished\.$", "All is well."),
        (r"\w+ clients fewer", "99 clients fewer"),
        (r"waiting \w+ days more", "waiting 99 days more"),
        (r"^Core after", "Breath after"),
    ],
)
def test_the_checker_itself_finds_planted_untruths(said: str, instead: str) -> None:
    planted = found = 0
    for size in MONTHS[:40]:
        problem = random_problem(*size)
        plan = replace(make_plan(problem), unmet=())
        lies = [bent for slot in plan.slots for bent in [bend(slot, said, instead)] if bent != slot]
        for lie in lies:
            slots = tuple(lie if slot.day == lie.day else slot for slot in plan.slots)
            planted += 1
            found += bool(list(untruths(replace(plan, slots=slots), problem, UNMET)))
    assert 0 < planted == found


def bend(slot: PlannedSlot, said: str, instead: str) -> PlannedSlot:
    return replace(slot, reasons=tuple(re.sub(said, instead, why) for why in slot.reasons))
