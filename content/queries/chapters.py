"""Reads of the chapters of a class: from its plan, or from when things really began."""

from __future__ import annotations

from dataclasses import dataclass

from content.models import FitnessClass
from content.queries.filmed import end_of, filmed
from content.rules.alignment import Aligned
from content.rules.chapters import Chapter, filmed_chapters, planned_chapters
from content.rules.timeline import TimeLine


@dataclass(frozen=True, slots=True)
class ClassChapters:
    """The chapters of a class with its length in milliseconds; `aligned` None: as planned."""

    chapters: tuple[Chapter, ...]
    length: int
    line: TimeLine
    aligned: Aligned | None

    @property
    def missing(self) -> tuple[str, ...]:
        """Exercises that were not found in the film."""
        return tuple(one.title for one in self.chapters if one.start is None)


def chapters_of(item: FitnessClass) -> ClassChapters:
    """The chapters of a class, by its film where its captions are kept; in three queries."""
    found = filmed(item)
    line, known = found.shown.line, found.shown.library
    if found.aligned is None or found.row is None:
        planned = planned_chapters(line, known)
        return ClassChapters(planned, line.seconds * 1000, line, None)
    length = end_of(found.row) or line.seconds * 1000
    return ClassChapters(filmed_chapters(found.aligned), length, line, found.aligned)
