"""Rows of clearances, warning signs and assessments; her spans follow. Every name is invented."""

from __future__ import annotations

from datetime import date
from typing import Any

from clients.actions import rewrite_spans
from clients.actions.measuring import rewrite_summary
from clients.models import Assessment, Clearance, Client, Screening, WarningSign
from clients.queries.facts import stored_clearance
from clients.rules.facts import ClearanceFact
from clients.rules.screening import SCREENING_VERSION, questions_for
from coach import clock


def clearance(of: Client, said_on: date, *, note: str = "", **values: Any) -> Clearance:
    """A letter to go ahead, known on its day, unless said; `values` are ClearanceFact's."""
    defaults = {"known_on": said_on, "clinician": "Imelda Roe", "clinician_kind": "midwife"}
    facts = ClearanceFact(said_on=said_on, **{**defaults, **values})
    row = Clearance.objects.create(client=of, note=note, **stored_clearance(facts))
    rewrite_spans(of)
    return row


def sign(of: Client, happened_on: date, *, code: str = "dizzy", **values: Any) -> WarningSign:
    """A warning sign, known on its day unless said."""
    defaults = {"known_on": happened_on}
    row = WarningSign.objects.create(
        client=of, code=code, happened_on=happened_on, **{**defaults, **values}
    )
    rewrite_spans(of)
    return row


def screening(
    of: Client, answered_on: date, *, phase: str = "pregnant", **others: Any
) -> Screening:
    """Every question of a phase answered no, known on its day; `others` are columns."""
    values = {"known_on": answered_on, "version": SCREENING_VERSION, "complete": True, **others}
    answers = {one.code: {"answer": "no", "lists": []} for one in questions_for(phase)}
    row = Screening.objects.create(
        client=of, phase=phase, answered_on=answered_on, **{"answers": answers, **values}
    )
    rewrite_spans(of)
    return row


def assessment(of: Client, day: date, *, by: str = "Una", who: str = "coach",
               method: str = "calliper", position: str = "crook", finger_mm: int | None = None,
               finished: bool = True, **measures: Any) -> Assessment:  # fmt: skip
    """An assessment; 20 mm at the navel unless measures are given, by code with _ for -."""
    values = {code.replace("_", "-"): value for code, value in measures.items()}
    row = Assessment.objects.create(
        client=of, day=day, measures=values or {"width-navel-rest": 20}, by=by, who=who,
        method=method, position=position, finger_mm=finger_mm,
        finished_at=clock.now() if finished else None,
    )  # fmt: skip
    rewrite_summary(of.pk)
    return row
