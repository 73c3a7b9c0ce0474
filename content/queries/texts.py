"""Reads of what is published about a class: its description, its promises."""

from __future__ import annotations

from dataclasses import dataclass

from coach.scheduling.values import SERVABLE_STAGES, Stage
from content.models import ClassText, DescriptionTemplate, FitnessClass
from content.queries.chapters import ClassChapters, chapters_of
from content.queries.design import design_of
from content.queries.library import library
from content.rules.chapters import as_list
from content.rules.claims import Promise, promises
from content.rules.description import (
    CAUTIONS,
    Template,
    Written,
    stages_line,
    template_from,
    write,
)
from content.rules.design import Design
from content.rules.exercises import KIT
from content.rules.quiet import loud_words
from content.rules.suitability import Verdict, judge_class_stage


@dataclass(frozen=True, slots=True)
class InText:
    """A promise in a description. `here`: in the words typed; else it comes from a field."""

    promise: Promise
    here: bool


@dataclass(frozen=True, slots=True)
class ClassWords:
    """What is published about a class.

    `typed`: her own words or those of the template, with fields; `own`: they are her own. `written`
    is what is pasted. `loud`: words in it, though it is said to hold none for quiet clients.
    `excluded`: stages that it is made for, which its design as it is shown excludes.
    """

    item: FitnessClass
    typed: str
    own: bool
    written: Written
    chapters: ClassChapters
    in_title: tuple[Promise, ...]
    in_text: tuple[InText, ...]
    kept: tuple[str, ...]
    loud: tuple[str, ...]
    excluded: tuple[Stage, ...]

    @property
    def keys(self) -> set[str]:
        """Every promise, by what it is kept under."""
        return {one.key for one in self.in_title} | {one.promise.key for one in self.in_text}

    @property
    def pieces(self) -> list[tuple[str, bool]]:
        """The description in pieces, with whether each is a promise."""
        text, found, last = self.written.text, [], 0
        for one in promises(text, self.kept):
            found += [(text[last : one.start], False), (one.words, True)]
            last = one.end
        return [*found, (text[last:], False)]


def template() -> Template:
    """The template of descriptions."""
    row = DescriptionTemplate.objects.filter(pk=1).first()
    return template_from(row.text if row else "")


def text_row(item: FitnessClass) -> ClassText | None:
    """Her own words for a class and the promises she keeps; None: neither."""
    return ClassText.objects.filter(item=item).first()


def words_of(item: FitnessClass, *, typed: str | None = None) -> ClassWords:
    """The description of a class, its chapters and the promises in it.

    `typed`: words that are not kept yet, to look at.
    """
    row, chapters, design, form = text_row(item), chapters_of(item), design_of(item), template()
    own = row.description if row else ""
    words = (own or form.text) if typed is None else typed
    written = write(words, values_of(item, chapters, design, form))
    kept = tuple(row.kept_claims) if row else ()
    return ClassWords(
        item=item, typed=words, own=bool(own), written=written, chapters=chapters,
        in_title=tuple(promises(item.title, kept)), in_text=_in_text(item, words, written, kept),
        kept=kept, loud=_loud(item, written), excluded=excluded_stages(item, design),
    )  # fmt: skip


def _in_text(
    item: FitnessClass, words: str, written: Written, kept: tuple[str, ...]
) -> tuple[InText, ...]:
    """Promises of the description, each once; those of the title are told of beside the title."""
    here = {one.key for one in promises(words)}
    title = {one.key for one in promises(item.title)} - here
    found = {one.key: one for one in promises(written.text, kept)}
    return tuple(InText(one, key in here) for key, one in found.items() if key not in title)


def _loud(item: FitnessClass, written: Written) -> tuple[str, ...]:
    return loud_words(f"{item.title}\n{written.text}") if item.for_quiet == "yes" else ()


def excluded_stages(item: FitnessClass, design: Design) -> tuple[Stage, ...]:
    """Stages that a class is said to be made for, at which something in it is to be left out."""
    if not design.exercises or not item.stages:
        return ()
    known = library()
    return tuple(
        stage
        for stage in SERVABLE_STAGES
        if stage in item.stages
        and judge_class_stage(design, stage, known).verdict is Verdict.LEAVE_OUT
    )


def values_of(
    item: FitnessClass, chapters: ClassChapters, design: Design, form: Template
) -> dict[str, str]:
    """What stands for each field of the template."""
    series = f"Part {item.part} of {item.series.title}" if item.series else ""
    return {
        "title": item.title,
        "minutes": str(item.minutes),
        "chapters": as_list(chapters.chapters),
        "kit": _kit(design),
        "stages": stages_line(item.stages, quiet=item.for_quiet == "yes"),
        "series": series,
        "cautions": CAUTIONS,
        "links": form.links,
    }


def _kit(design: Design) -> str:
    """What is announced; else what the exercises ask for, else "nothing"."""
    if not design.exercises:
        return "not known yet"
    known = library()
    asked = [kit for code in design.exercises if code in known for kit in known[code].kit]
    codes = design.kit or tuple(dict.fromkeys(asked))
    return ", ".join(KIT[code].removeprefix("a ") for code in codes if code in KIT) or "nothing"


def samples() -> list[tuple[int, str]]:
    """Classes that a template can be looked at with, by title."""
    rows = FitnessClass.objects.filter(design__isnull=False)
    return list(rows.values_list("pk", "title"))


def sample(form: Template, pk: int | None) -> tuple[int | None, Written | None]:
    """One of her classes under a template: the one asked for, else the first; None: none."""
    rows = FitnessClass.objects.filter(design__isnull=False).select_related("series")
    item = (rows.filter(pk=pk).first() if pk else None) or rows.first()
    if item is None:
        return None, None
    values = values_of(item, chapters_of(item), design_of(item), form)
    return item.pk, write(form.text, values)
