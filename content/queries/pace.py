"""The pace of publishing as pages show it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from coach.scheduling import cadence
from coach.scheduling.values import Stage
from content.models import FitnessClass, Wishes
from content.queries.classes import published
from content.rules import classes, pace

WEEKS = 26


@dataclass(frozen=True, slots=True)
class PacePage:
    """The figures, the weeks as bars, and both in words."""

    figures: cadence.Pace
    bars: tuple[pace.Bar, ...]
    words: str
    in_hand: str


def pace_page(*, today: date) -> PacePage | None:
    """The pace of the last half year; None without wishes to measure it by or without uploads."""
    target = len(Wishes.objects.values_list("weekdays", flat=True).first() or ())
    out = _came_out(today)
    if not target or not out:
        return None
    finished = FitnessClass.objects.filter(state__in=classes.IN_HAND).count()
    figures = cadence.pace(out, finished=finished, target=target, today=today, weeks=WEEKS)
    first = min(upload.day for upload in out)
    return PacePage(
        figures=figures,
        bars=pace.bars(figures.weeks, target=target),
        words=pace.pace_in_words(figures.weeks, target=target, first=first),
        in_hand=pace.in_hand_in_words(figures.in_hand),
    )


def _came_out(today: date) -> list[cadence.Published]:
    rows = published().filter(day__lte=today).values_list("day", "item__focus", "item__stages")
    return [
        cadence.Published(day, focus, frozenset(Stage(code) for code in stages))
        for day, focus, stages in rows
    ]
