"""Reads of what the roster will need in the weeks to come."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from clients.queries import needs
from clients.rules.needs import Needs
from coach.scheduling.cadence import weeks_ahead
from coach.scheduling.values import Stage
from content.models import FitnessClass
from content.rules import classes, needed

WEEKS = 12


@dataclass(frozen=True, slots=True)
class Needed:
    """The table and what stands out in it. It speaks of stages: not for everybody."""

    found: Needs
    weeks: tuple[date, ...]
    rows: tuple[needed.Row, ...]
    unserved: tuple[str, ...]
    nobody: str
    apart: str
    enquiries: str

    @property
    def shown(self) -> tuple[needed.Row, ...]:
        """The stages at which somebody is expected."""
        return tuple(row for row in self.rows if not row.empty)


def what_is_needed(
    *,
    today: date,
    weight: str,
    served: Mapping[int, frozenset[Stage]],
    since: Mapping[Stage, int | None],
) -> Needed:
    """The next twelve weeks, on their Mondays, in ten queries whatever they hold.

    `served`: the stages of each class; `since`: days since one was published, by stage.
    """
    weeks = weeks_ahead(today, WEEKS)
    found = needs(today=today, days=weeks)
    states = dict(FitnessClass.objects.values_list("pk", "state"))
    rows = needed.rows(
        found,
        weeks=weeks,
        weight=weight,
        finished=_suiting(served, states, classes.IN_HAND),
        making=_suiting(served, states, classes.TO_BE_MADE),
        since=since,
    )
    return Needed(
        found=found,
        weeks=weeks,
        rows=rows,
        unserved=tuple(needed.unserved_in_words(row) for row in rows if row.unserved),
        nobody=needed.nobody_in_words(rows),
        apart=needed.apart_in_words(found),
        enquiries=needed.enquiries_in_words(found, weight),
    )


def _suiting(
    served: Mapping[int, frozenset[Stage]], states: Mapping[int, str], wanted: Iterable[str]
) -> Counter[Stage]:
    """How many classes in these states suit each stage."""
    inside = set(wanted)
    return Counter(
        stage for pk, stages in served.items() if states.get(pk) in inside for stage in stages
    )
