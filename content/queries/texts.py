"""Reads of what is published about a class: its description, its promises."""

from __future__ import annotations

from dataclasses import dataclass

from content.models import ClassText, DescriptionTemplate, FitnessClass
from content.queries.chapters import ClassChapters, chapters_of
from content.queries.design import design_of
from content.rules.chapters import as_list
from content.rules.claims import Promise, promises
from content.rules.classes import stages_in_words
from content.rules.description import CAUTIONS, DEFAULT, Written, write
from content.rules.exercises import KIT

_SUITS = "Made for {stages}; check with your coach and your clinician"


@dataclass(frozen=True, slots=True)
class ClassWords:
    """What is published about a class. `own`: her own words, "" for those of the template."""

    item: FitnessClass
    written: Written
    own: str
    chapters: ClassChapters
    promises: tuple[Promise, ...]
    kept: tuple[str, ...]

    @property
    def text(self) -> str:
        """The description as it would be pasted."""
        return self.own or self.written.text


def template() -> str:
    """The template of descriptions."""
    row = DescriptionTemplate.objects.filter(pk=1).first()
    return row.text if row and row.text.strip() else DEFAULT


def words_of(item: FitnessClass, *, of: str | None = None) -> ClassWords:
    """The description of a class, its chapters and the promises in it.

    `of`: another template than the practice's, to look at.
    """
    chapters, row = chapters_of(item), ClassText.objects.filter(item=item).first()
    written = write(template() if of is None else of, values_of(item, chapters))
    own = row.description if row else ""
    kept = tuple(row.kept_claims) if row else ()
    found = (*promises(item.title, kept), *promises(own or written.text, kept))
    unique = {one.key: one for one in found}
    return ClassWords(item, written, own, chapters, tuple(unique.values()), kept)


def values_of(item: FitnessClass, chapters: ClassChapters) -> dict[str, str]:
    """What stands for each field of the template."""
    kit = [KIT[code].removeprefix("a ") for code in design_of(item).kit if code in KIT]
    series = f"Part {item.part} of {item.series.title}" if item.series else ""
    return {
        "title": item.title,
        "minutes": str(item.minutes),
        "chapters": as_list(chapters.chapters),
        "kit": ", ".join(kit) or "nothing",
        "stages": _SUITS.format(stages=stages_in_words(item.stages)) if item.stages else "",
        "series": series,
        "cautions": CAUTIONS,
        "links": "",
    }
