"""All that the page of who is to be reassessed prints."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date, timedelta

from coach.diary.queries.reassessments import AHEAD_DAYS, Reassessment, Waiting, Wanted, wanted
from coach.scheduling.dates import stage_on
from coach.scheduling.reassessment import Number
from coach.scheduling.values import Stage

WEEKS = 12


@dataclass(frozen=True, slots=True)
class Asked:
    """A client to be asked how she is before anything is measured."""

    client_id: int
    name: str


@dataclass(frozen=True, slots=True)
class Week:
    """How many are wanted in a week; the present one holds everybody who is late.

    `share`: of the fullest week, 0 to 100.
    """

    begins: date
    present: bool
    number: int
    share: int


@dataclass(frozen=True, slots=True)
class DiaryPage:
    """Who is to be reassessed now, who soon, who is snoozed or waits, and whom to ask first."""

    now: tuple[Reassessment, ...]
    soon: tuple[Reassessment, ...]
    snoozed: tuple[Reassessment, ...]
    waiting: tuple[Waiting, ...]
    ask: tuple[Asked, ...]
    weeks: tuple[Week, ...]
    numbers: tuple[Number, ...]

    @property
    def in_all(self) -> int:
        """How many are wanted in those weeks."""
        return sum(week.number for week in self.weeks)


def diary_page(today: date) -> DiaryPage:
    """All of it, in the queries of the list alone."""
    found = wanted(today)
    last = today + timedelta(days=AHEAD_DAYS)
    return DiaryPage(
        now=tuple(one for one in found.listed if one.by <= today),
        soon=tuple(one for one in found.listed if today < one.by <= last),
        snoozed=tuple(one for one in found.found if one.asleep),
        waiting=found.waiting,
        ask=_to_ask(found, today),
        weeks=_weeks(found, today),
        numbers=tuple(found.rules.numbers.values()),
    )


def _to_ask(found: Wanted, today: date) -> tuple[Asked, ...]:
    ordered = sorted(found.facts, key=lambda one: (one.name, one.client_id))
    past = (one for one in ordered if stage_on(one.pregnancies, today) is Stage.PAST_DUE)
    return tuple(Asked(one.client_id, one.name) for one in past)


def _weeks(found: Wanted, today: date) -> tuple[Week, ...]:
    """This week and those after it, from their Mondays; a snooze puts hers off."""
    monday = today - timedelta(days=today.weekday())
    of_days = ((max(one.listed_on, today) - monday).days // 7 for one in found.found)
    counts = Counter(week for week in of_days if week < WEEKS)
    most = max(counts.values(), default=1)
    return tuple(
        Week(monday + timedelta(weeks=n), n == 0, counts[n], counts[n] * 100 // most)
        for n in range(WEEKS)
    )
