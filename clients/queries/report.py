"""Reads for a progress report of one client."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from clients.models import Client
from clients.queries.letters import consented_on
from clients.queries.measuring import as_measured, assessments_of, catalogue
from clients.queries.roster import dates_by_client
from clients.queries.screening import place_of
from clients.rules.report import ReportFacts, since_of
from clients.rules.roster import latest_dates
from clients.rules.where import where_is
from coach.practice.queries import the_practice
from coach.scheduling.dates import TERM_DAYS, PregnancyDates, stage_on
from coach.scheduling.trimesters import SCHEMES


@dataclass(frozen=True, slots=True)
class Reportable:
    """What a report of her can be made of on a day, with the choices that a form begins with.

    `being_taken`: the day of an assessment that is not finished, whose answers would be missing.
    """

    facts: ReportFacts
    being_taken: date | None


def reportable_of(client: Client, *, today: date, coach: str) -> Reportable:
    """All that counts of her assessments, and what stands around them; in nine queries."""
    practice, rows = the_practice(), assessments_of(client)
    counted = [row for row in rows if row.withdrawn_on is None]
    measured = tuple(as_measured(row) for row in counted if row.finished_at)
    dates = tuple(dates_by_client(client.pregnancies.all())[client.pk])
    days = [one.day for one in measured]
    facts = ReportFacts(
        client=client.name,
        born=client.birth_date,
        quiet=bool(client.quiet),
        stage=stage_on(dates, today, SCHEMES[practice.trimester_scheme]),
        practice=practice.name,
        coach=coach,
        today=today,
        since=since_of(days, _run_from(dates, today), today),
        measured=measured,
        known=catalogue(),
        pregnancies=dates,
        consented_on=consented_on(client),
        number=where_is(place_of(client), today, quiet=bool(client.quiet)).number,
    )
    being_taken = [row.day for row in counted if row.finished_at is None]
    return Reportable(facts, max(being_taken, default=None))


def _run_from(dates: tuple[PregnancyDates, ...], today: date) -> date | None:
    """The first day of the weeks that run now, or the latest end; None: not known."""
    running, ended = latest_dates(dates, today)
    return running - timedelta(days=TERM_DAYS) if running else ended
