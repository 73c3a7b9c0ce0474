"""Reads of what a class is filmed from, and of its titles."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from content.models import FitnessClass
from content.queries.design import design_of, design_row
from content.queries.filmed import end_of, filmed
from content.queries.library import library
from content.rules.design import Design, design_from
from content.rules.exercises import Exercise
from content.rules.timeline import TimeLine, timeline
from content.rules.titles import Title, titles


@dataclass(frozen=True, slots=True)
class Planned:
    """A class as it is to be filmed."""

    item: FitnessClass
    design: Design
    line: TimeLine
    library: Mapping[str, Exercise]

    @property
    def any(self) -> bool:
        """Whether there is anything in it."""
        return bool(self.line.intervals)


def planned(item: FitnessClass) -> Planned:
    """The plan of a class with its intervals; in two queries."""
    row = design_row(item)
    return _planned(item, design_from(row.planned) if row and row.planned else Design())


def as_shown(item: FitnessClass) -> Planned:
    """The same, of the design as filmed once it is; in two queries."""
    return _planned(item, design_of(item))


def _planned(item: FitnessClass, design: Design) -> Planned:
    known = library()
    return Planned(item, design, timeline(design, known), known)


def may_be_filmed(item: FitnessClass) -> bool:
    """Whether its plan holds anything; in one query."""
    row = design_row(item)
    return bool(row and row.planned and any(True for _ in design_from(row.planned).items))


def titles_of(item: FitnessClass) -> tuple[Title, ...]:
    """The titles of a class at the times of its film where those are known, else as planned."""
    shown, film = as_shown(item), filmed(item)
    if film.aligned is None or film.row is None:
        return titles(shown.design, shown.line, shown.library)
    starts = {one.target.key: one.at for one in film.aligned.found if one.at is not None}
    return titles(shown.design, shown.line, shown.library, starts=starts, length=end_of(film.row))
