"""Reads of how classes are designed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from content.models import ClassDesign, DesignStep, FitnessClass
from content.queries.library import library
from content.rules.checks import Check, checks
from content.rules.design import Design, design_from
from content.rules.exercises import Exercise
from content.rules.figures import Figures, figures
from content.rules.timeline import TimeLine, timeline


@dataclass(frozen=True, slots=True)
class Designed:
    """A class with its design worked out: intervals, what to look at, figures."""

    item: FitnessClass
    design: Design
    revision: int
    line: TimeLine
    checks: tuple[Check, ...]
    figures: Figures
    library: Mapping[str, Exercise]
    undo: str


def design_row(item: FitnessClass) -> ClassDesign | None:
    """The stored design of a class; None: none yet."""
    return ClassDesign.objects.filter(item=item).first()


def design_of(item: FitnessClass) -> Design:
    """How a class is designed: as filmed once it is, as planned until then; empty for none."""
    row = design_row(item)
    if row is None:
        return Design()
    return design_from(row.filmed if row.filmed is not None else row.planned)


def designed(item: FitnessClass) -> Designed:
    """The plan of a class with everything that is worked out from it; in three queries."""
    row, known = design_row(item), library()
    design = design_from(row.planned) if row else Design(promised=item.minutes * 60)
    line = timeline(design, known)
    last = DesignStep.objects.filter(design=row).order_by("-number").first() if row else None
    return Designed(
        item, design, row.revision if row else 0, line, tuple(checks(design, line, known)),
        figures(line, known), known, last.what if last else "",
    )  # fmt: skip


def designs() -> dict[int, Design]:
    """Every class that has a design, by id: as filmed once it is, as planned until then."""
    rows = ClassDesign.objects.values_list("item_id", "planned", "filmed")
    return {pk: design_from(planned if filmed is None else filmed) for pk, planned, filmed in rows}
