"""Reads of what would have to change in a class so that it suits somebody."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from clients.models import Client
from coach.scheduling.values import Stage
from content.models import FitnessClass
from content.queries.design import design_of
from content.queries.library import library
from content.queries.people import person_of
from content.rules.checks import places
from content.rules.exercises import Exercise
from content.rules.suitability import ClassJudged, Person, person_at_stage
from content.rules.suitability.judging import Judge
from content.rules.versions import Change, changes, with_changes

_ANY_DAY = date(2000, 1, 1)  # a stage is asked about without a day


@dataclass(frozen=True, slots=True)
class Line:
    """One change in words: in which block, what, for what."""

    change: Change
    block: str
    old: str
    new: str
    shows: str


@dataclass(frozen=True, slots=True)
class Version:
    """A class beside what it would be. `before`, `after`: what each comes to, all accepted."""

    item: FitnessClass
    lines: tuple[Line, ...]
    before: ClassJudged
    after: ClassJudged
    designed: bool

    def accepted(self, keys: list[str]) -> list[Change]:
        """The changes of these places that there is something for."""
        return [one.change for one in self.lines if one.change.key in keys and one.change.new]


def version_for_stage(item: FitnessClass, stage: Stage) -> Version:
    """What to change so that a class suits a stage."""
    return _version(item, person_at_stage(stage, _ANY_DAY))


def version_for_client(item: FitnessClass, client: Client, on: date) -> Version:
    """What to change so that a class suits a client on a day, by what is recorded of her."""
    return _version(item, person_of(client, on))


def _version(item: FitnessClass, person: Person) -> Version:
    design, known = design_of(item), library()
    judge = Judge(person, known)
    found = changes(design, judge)
    after = judge.of_class(with_changes(design, found))
    lines = tuple(
        Line(
            one, design.blocks[one.where[0]].name, _name(one.old.exercise, known),
            _name(one.new.exercise, known) if one.new else "", _name(one.shows_instead, known),
        )
        for one in found
    )  # fmt: skip
    designed = any(item.exercise for _, item in places(design))
    return Version(item, lines, judge.of_class(design), after, designed)


def _name(code: str, known: Mapping[str, Exercise]) -> str:
    return known[code].name if code in known else code
