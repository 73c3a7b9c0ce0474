"""Reads of series for one client."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping
from datetime import date

from content.models import FitnessClass, State, Upload
from content.rules.design import Design
from content.rules.exercises import Exercise
from content.rules.series import Part, SeriesJudged
from content.rules.suitability import Person
from content.rules.suitability.judging import Judge

Shows = Callable[[FitnessClass], bool]


def series_for(
    on_day: Callable[[date], Person],
    on: date,
    designs: Mapping[int, Design],
    library: Mapping[str, Exercise],
    shows: Shows,
) -> list[SeriesJudged]:
    """Every series that has begun or has a day, for one client: each part on the day it comes out.

    One of which a part is not shown to her is left out whole. In two queries.
    """
    days = {
        one.item_id: one.day
        for one in Upload.objects.filter(cancelled_at=None, day__gte=on).only("item_id", "day")
    }
    rows: defaultdict[str, list[FitnessClass]] = defaultdict(list)
    parts = FitnessClass.objects.exclude(state=State.WITHDRAWN).exclude(series=None)
    for one in parts.select_related("series").order_by("series__title", "part"):
        rows[one.series.title if one.series else ""].append(one)
    judges: dict[date, Judge] = {}

    def part(one: FitnessClass) -> Part:
        out = one.state == State.PUBLISHED
        day = on if out else days.get(one.pk)
        if day is None or one.pk not in designs:
            return Part(one.part or 0, one.title, day, None, out=out)
        judge = judges.get(day) or judges.setdefault(day, Judge(on_day(day), library))
        judged = judge.of_class(designs[one.pk])
        return Part(one.part or 0, one.title, day, judged, str(judge.person.word), out)

    def begun(items: list[FitnessClass]) -> bool:
        return any(one.state == State.PUBLISHED or one.pk in days for one in items)

    return [
        SeriesJudged(title, tuple(part(one) for one in items))
        for title, items in rows.items()
        if begun(items) and all(shows(one) for one in items)
    ]
