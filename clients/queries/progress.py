"""Reads of her assessments over time."""

from __future__ import annotations

from dataclasses import dataclass

from clients.models import Assessment, Client
from clients.queries.facts import facts_for
from clients.queries.measuring import as_measured, assessments_of, catalogue
from clients.rules.assessment import Catalogue, Measured
from clients.rules.findings import OpenFinding, Summary, summary
from clients.rules.progress import Progress, progress


@dataclass(frozen=True, slots=True)
class Taken:
    """One assessment in the list of all, as it is kept and in words."""

    row: Assessment
    measured: Measured

    @property
    def finished(self) -> bool:
        """Whether it counts as taken."""
        return self.measured.finished


@dataclass(frozen=True, slots=True)
class HerProgress:
    """All her assessments that count, the latest first, and what they come to."""

    taken: tuple[Taken, ...]
    progress: Progress
    found: Summary
    known: Catalogue

    @property
    def open(self) -> tuple[OpenFinding, ...]:
        """What is open now."""
        return self.found.open


def progress_of(client: Client) -> HerProgress:
    """Her assessments over time; the same number of queries however many there are."""
    known = catalogue(quiet=bool(client.quiet))
    rows = [row for row in assessments_of(client) if row.withdrawn_on is None]
    taken = tuple(Taken(row, as_measured(row)) for row in rows)
    every = [one.measured for one in taken]
    finished = [one for one in every if one.finished]
    dates = [one.dates for one in facts_for(client).pregnancies]
    found = progress(finished, dates, known, quiet=bool(client.quiet))
    return HerProgress(taken, found, summary(every, known), known)
