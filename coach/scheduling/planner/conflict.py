"""Why the pins can't all be kept: the smallest set of wishes that contradict each other.

Every wish is a *group* of hard rules by name. Leaving groups out only ever makes more possible, so
one pass that drops a group wherever the rest still clash ends at a set that no wish can be taken
from. Smaller sets are then tried from one wish up: without pins everything is possible, so rules
are chosen first, and only those that clash with all pins together are tried with few of them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from itertools import combinations

from coach.scheduling.planner.clash import Clash, hopeless
from coach.scheduling.planner.conflict_mends import mended, mends
from coach.scheduling.planner.conflict_words import sentences
from coach.scheduling.planner.problem import Problem
from coach.scheduling.planner.search import feasible

Possible = Callable[[Problem, frozenset[str]], bool]

TRIALS = 400  # a bound that does not depend on the clock; one trial takes a few milliseconds


def contradictions(problem: Problem, possible: Possible = feasible) -> tuple[str, ...]:
    """The wishes that contradict each other, a sentence each, and last what would mend it.

    () where the pins can be kept. The set is irreducible: without any one of its wishes the others
    can be kept together. It is the smallest there is unless that takes more than `TRIALS` trials.
    """
    trials = Trials(_narrow(problem), possible)
    if not trials.clash(trials.groups):
        return ()
    clash = Clash(trials.problem, smallest(trials))
    enough = [words for words, changed, without in mends(clash) if trials.keeps(changed, without)]
    return (*sentences(clash), mended(clash, enough))


def _narrow(problem: Problem) -> Problem:
    """The problem with the pinned classes and their series alone: nothing else is ever forced."""
    pinned = {class_id for _, class_id in problem.pins}
    series = {item.order[0] for item in problem.classes if item.id in pinned and item.order}
    classes = tuple(
        item
        for item in problem.classes
        if item.id in pinned or (item.order is not None and item.order[0] in series)
    )
    return replace(problem, classes=classes)


def pin_groups(problem: Problem) -> list[str]:
    """The names of the pins, one for each day."""
    return list(dict.fromkeys(f"pin:{day}" for day, _ in problem.pins))


def rule_groups(problem: Problem) -> list[str]:
    """The names of the rules that a pin of this problem may break, the most telling first.

    That a class is published once is a wish to speak of only where it is pinned twice.
    """
    ids = [class_id for _, class_id in problem.pins]
    dated = [item for item in problem.classes if item.not_before or item.not_after]
    series = {item.order[0] for item in problem.classes if item.order is not None}
    closed = {day for day, _ in problem.pins}.difference(problem.slots)
    return [
        *(f"closed:{day}" for day in sorted(closed)),
        *["once"] * (len(set(ids)) < len(ids)),
        *(f"days:{item.id}" for item in dated),
        *(f"series:{number}" for number in sorted(series)),
        *["filming"] * (problem.film_days is not None),
        "hours",
        *["a_week"] * (problem.a_week is not None),
        "gap",
    ]


class Trials:
    """What was tried so far: which wishes clash by themselves."""

    def __init__(self, problem: Problem, possible: Possible) -> None:
        self.problem, self.possible = problem, possible
        self.pins, self.rules = pin_groups(problem), rule_groups(problem)
        self.groups = (*self.pins, *self.rules)
        self._known: dict[frozenset[str], bool] = {}

    def keeps(self, problem: Problem, without: frozenset[str]) -> bool:
        """Whether the pins can be kept when these groups are left out."""
        if any(f"pin:{day}" not in without for day in hopeless(problem)):
            return False
        return self.possible(problem, without)

    @property
    def spent(self) -> bool:
        return len(self._known) >= TRIALS

    def clash(self, kept: Iterable[str]) -> bool:
        """True if these wishes, and no others, can't all be kept."""
        wishes = frozenset(kept)
        if wishes not in self._known:
            left_out = frozenset(self.groups) - wishes
            self._known[wishes] = not self.keeps(self.problem, left_out)
        return self._known[wishes]

    def of_size(self, size: int) -> Iterator[tuple[str, ...]]:
        """The sets of so many wishes that might clash."""
        for many in range(size):
            for rules in combinations(self.rules, many):
                if self.clash([*self.pins, *rules]):
                    for pins in combinations(self.pins, size - many):
                        yield (*pins, *rules)


def smallest(trials: Trials) -> tuple[str, ...]:
    """The smallest set of groups that clash, as far as the trials reach."""
    found = _irreducible(trials)
    for size in range(1, len(found)):
        for wishes in trials.of_size(size):
            if trials.spent:
                return found
            if trials.clash(wishes):
                return wishes
    return found


def _irreducible(trials: Trials) -> tuple[str, ...]:
    """The deletion filter: the least telling wishes are dropped first."""
    kept = list(trials.groups)
    for group in reversed(trials.groups):
        rest = [other for other in kept if other != group]
        if trials.clash(rest):
            kept = rest
    return tuple(kept)
