"""Reads of what is said of the film of a class, beside its plan."""

from __future__ import annotations

from dataclasses import dataclass

from content.models import FitnessClass
from content.queries.design import design_row
from content.queries.library import library
from content.rules.as_filmed import Told, place_of
from content.rules.checks import places
from content.rules.design import Design, design_from
from content.rules.exercises import Library


@dataclass(frozen=True, slots=True)
class Option:
    """An easier option that the plan shows. `key`: its place and code."""

    key: str
    name: str


@dataclass(frozen=True, slots=True)
class Planned:
    """One item of the plan with its options, in its part."""

    key: str
    part: str
    name: str
    exercise: str
    options: tuple[Option, ...]


@dataclass(frozen=True, slots=True)
class FilmPage:
    """The plan to be compared with the film; `filmed`: what was said last, None: nothing yet."""

    item: FitnessClass
    plan: Design
    rows: tuple[Planned, ...]
    filmed: Design | None
    library: Library

    @property
    def begin(self) -> Told:
        """Where the form starts: all that was planned is in it, no option is shown."""
        return Told({one.key for one in self.rows})

    @property
    def said(self) -> list[tuple[str, str]]:
        """What was said last: each exercise with the options that are shown."""
        if self.filmed is None:
            return []
        return [
            (_name(one.exercise, self.library) if one.exercise else one.label,
             ", ".join(_name(code, self.library) for code in one.shows))
            for one in self.filmed.items
        ]  # fmt: skip


def film_page(item: FitnessClass) -> FilmPage:
    """The plan, what was said of the film, and every exercise; in two queries."""
    row, known = design_row(item), library()
    plan = design_from(row.planned) if row and row.planned else Design()
    rows = []
    for where, one in places(plan):
        key = place_of(where)
        options = tuple(Option(f"{key}:{code}", _name(code, known)) for code in one.shows)
        name = _name(one.exercise, known) if one.exercise else one.label
        rows.append(Planned(key, plan.blocks[where[0]].name, name, one.exercise, options))
    filmed = design_from(row.filmed) if row and row.filmed is not None else None
    return FilmPage(item, plan, tuple(rows), filmed, known)


def _name(code: str, known: Library) -> str:
    return known[code].name if code in known else code
