"""Lines of the time line: assessments. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from clients.rules.assessment import NOTE, Catalogue, Measured
from clients.rules.go_ahead_words import sentence
from clients.rules.happened import HIDDEN, Event, mistake_words, origin_words
from clients.rules.measured_words import line_of, told_of, way_words
from clients.rules.measuring import HERSELF
from clients.rules.words import unless_quiet


@dataclass(frozen=True, slots=True)
class Taken:
    """An assessment with when and why it was withdrawn, if it was."""

    measured: Measured
    withdrawn_on: date | None = None
    withdrawn_reason: str = ""


def assessment_events(taken: Sequence[Taken], known: Catalogue, *, quiet: bool) -> list[Event]:
    """Assessments, each beside the one before it that was taken in the same way."""
    ordered = sorted(taken, key=lambda one: (one.measured.day, one.measured.pk))
    before: dict[tuple[str, ...], Measured] = {}
    events = []
    for one in ordered:
        line = line_of(one.measured)
        events.append(_event(one, known, before.get(line), quiet))
        if one.withdrawn_on is None:
            before[line] = one.measured
    return events


def _event(one: Taken, known: Catalogue, before: Measured | None, quiet: bool) -> Event:
    measured = one.measured
    if one.withdrawn_on:
        notes = [mistake_words(one.withdrawn_on, one.withdrawn_reason, quiet=quiet)]
    else:
        note = unless_quiet(measured.answer(NOTE), quiet=quiet, instead=HIDDEN)
        notes = ["; ".join(told_of(measured, known, before)), note]
    by = "by herself" if measured.who == HERSELF else unless_quiet(measured.by, quiet=quiet)
    return Event(
        "assessment", measured.pk, measured.day, "Assessment",
        detail=", ".join(word for word in (by, way_words(measured)) if word),
        notes=tuple(sentence(text) for text in notes if text),
        void=one.withdrawn_on is not None,
        now=not measured.finished and one.withdrawn_on is None,
        open=not measured.finished and one.withdrawn_on is None,
        at=measured.at,
        origin=origin_words(measured.origin, quiet=quiet),
    )  # fmt: skip
