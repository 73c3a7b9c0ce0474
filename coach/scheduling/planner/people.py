"""Who is told of in reasons: clients at a stage, and how many of them have a go-ahead by then.

What plans are weighed by counts enquiries too; sentences speak of clients. A class is never said
to serve more of them than have a go-ahead that lasts until its day.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from coach.scheduling.planner import words
from coach.scheduling.planner.problem import Need, Problem
from coach.scheduling.values import Stage


@dataclass(frozen=True, slots=True)
class People:
    """Clients expected, and those of them with a go-ahead; None where that is not asked."""

    clients: int
    ready: int | None = None

    def __add__(self, other: People) -> People:
        known = self.ready is not None and other.ready is not None
        ready = (self.ready or 0) + (other.ready or 0) if known else None
        return People(self.clients + other.clients, ready)

    @property
    def named(self) -> str:
        """ "seven clients"; where nobody but enquiries is expected, those."""
        return words.count(self.clients, "client") if self.clients else "some who enquired"

    @property
    def with_go_ahead(self) -> str:
        """An insertion that says how many have one: ", five of them with …", or nothing."""
        if self.ready is None or not self.clients:
            return ""
        lasts = "a go-ahead that lasts until then"
        if self.clients == 1:
            return f", {'with' if self.ready else 'without'} {lasts}"
        if not self.ready:
            return f", and none of them has {lasts}"
        many = (
            "all of them" if self.ready >= self.clients else f"{words.number(self.ready)} of them"
        )
        return f", {many} with {lasts}"


def people(problem: Problem, day: date, stage: Stage) -> People:
    """The clients expected at a stage on a day; by `need` where clients are not told apart."""
    clients = _count(problem.need if problem.clients is None else problem.clients, day, stage)
    if problem.ready is None:
        return People(clients)
    return People(clients, min(clients, _count(problem.ready, day, stage)))


def _count(table: Need, day: date, stage: Stage) -> int:
    return next((dict(row).get(stage, 0) for on, row in table if on == day), 0)
