"""Uploads and days away made for tests, and what the rules promise of them, checked by counting."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from hypothesis import strategies as st

from coach.scheduling.away import Moved, OpenDays, Standing, Work

TODAY = date(2026, 12, 3)
DAY = timedelta(days=1)


@dataclass(frozen=True)
class Case:
    """Everything that `away` is asked."""

    first: date
    last: date
    uploads: tuple[Standing, ...]
    open_days: OpenDays
    work: Work

    @property
    def trip(self) -> set[date]:
        return {self.first + DAY * n for n in range((self.last - self.first).days + 1)}

    @property
    def days_off(self) -> set[date]:
        """Those that are off once she is away."""
        return self.trip | self.open_days.days_off


def after(uploads: Iterable[Standing], moved: Iterable[Moved]) -> tuple[Standing, ...]:
    """The uploads where they stand once moved; without those that found no day."""
    new = {one.id: one.new for one in moved}
    return tuple(
        replace(one, publish=new.get(one.id, one.publish) or one.publish)
        for one in uploads
        if new.get(one.id, one.publish)
    )


@st.composite
def cases(draw: st.DrawFn, *, earliest: int = -3, weeks: int = 6) -> Case:
    """A trip from three days ago on, one upload a day, some in series and in order."""
    first = TODAY + DAY * draw(st.integers(earliest, 20))
    last = max(first + DAY * draw(st.integers(0, 20)), TODAY)
    off = draw(st.frozensets(st.integers(0, 40), max_size=6))
    days_off = frozenset(TODAY + DAY * n for n in off)
    places = st.lists(st.integers(-4, 7 * weeks), unique=True, max_size=14)
    days = [TODAY + DAY * n for n in sorted(draw(places)) if n not in off]
    parts = [0, 0, 0]
    uploads = []
    for number, day in enumerate(days, 1):
        series = draw(st.integers(0, 2))
        parts[series] += 1
        ready = draw(st.booleans())
        filmed = ready or draw(st.booleans())
        uploads.append(
            Standing(
                id=number,
                title=f"Class {number}",
                publish=day,
                fixed=day < TODAY and draw(st.booleans()),
                series=series or None,
                part=parts[series] if series else None,
                filmed=filmed,
                ready=ready,
                minutes_left=0 if ready else draw(st.integers(0, 600)),
                not_after=draw(st.none() | st.just(max(day, last) + 20 * DAY)),
            )
        )
    rhythm = draw(st.booleans())
    rule = (
        OpenDays(frozenset(range(7)), days_off, draw(st.integers(1, 5)), draw(st.integers(1, 4)))
        if rhythm
        else OpenDays(draw(st.frozensets(st.integers(0, 6), min_size=1)), days_off)
    )
    work = Work(
        film_lead=draw(st.integers(0, 14)),
        ready_lead=draw(st.integers(0, 5)),
        film_weekdays=draw(st.frozensets(st.integers(0, 6), max_size=3)),
        films_a_day=draw(st.integers(1, 3)),
        minutes_a_week=draw(st.integers(0, 900)),
    )
    order = draw(st.permutations(uploads))
    return Case(first, last, tuple(order), rule, work)


def earlier_parts(of: Standing, uploads: Sequence[Standing]) -> list[Standing]:
    """The lower parts of its series that stand before it."""
    return [
        one
        for one in uploads
        if of.series
        and one.series == of.series
        and (one.part or 0) < (of.part or 0)
        and one.publish < of.publish
    ]
