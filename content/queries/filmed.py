"""Reads of when things really began in a filmed class."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from content.models import FilmedTimes, FitnessClass
from content.queries.design import design_of
from content.queries.library import library
from content.rules.alignment import Aligned, Target, targets_of
from content.rules.captions import Cue
from content.rules.exercises import Exercise
from content.rules.film_times import of_earlier_design, restored
from content.rules.timeline import TimeLine, timeline


@dataclass(frozen=True, slots=True)
class Shown:
    """A class as its film is compared with: the design as filmed, or as planned until then."""

    line: TimeLine
    library: Mapping[str, Exercise]
    targets: tuple[Target, ...]


@dataclass(frozen=True, slots=True)
class Filmed:
    """The times of a filmed class; `row` and `aligned` None: no captions yet.

    `earlier`: the design was changed since, so that the times are those of an earlier one.
    """

    shown: Shown
    row: FilmedTimes | None
    aligned: Aligned | None
    earlier: bool


def filmed_row(item: FitnessClass) -> FilmedTimes | None:
    """What is stored of its captions; None: nothing."""
    return FilmedTimes.objects.filter(item=item).first()


def shown(item: FitnessClass) -> Shown:
    """Its intervals to be found, in two queries."""
    known = library()
    line = timeline(design_of(item), known)
    return Shown(line, known, targets_of(line, known))


def filmed(item: FitnessClass) -> Filmed:
    """The times of a class from its stored rows, without aligning; in three queries."""
    there, row = shown(item), filmed_row(item)
    if row is None:
        return Filmed(there, None, None, False)
    aligned = restored(row.found, there.targets, row.fixed, there.line, end_of(row))
    return Filmed(there, row, aligned, of_earlier_design(row.found, there.targets))


def cues_of(row: FilmedTimes) -> tuple[Cue, ...]:
    """The stored captions."""
    return tuple(Cue(*one) for one in row.cues)


def end_of(row: FilmedTimes) -> int | None:
    """Where the film ends as far as is known, in milliseconds."""
    return row.length_ms or max((int(end) for _, end, _ in row.cues), default=None)
