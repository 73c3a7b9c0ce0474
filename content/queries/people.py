"""People as suitability asks about them: what is recorded, put together from their records."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date

from clients.models import Client, Pregnancy
from clients.queries.measuring import summaries
from clients.queries.readiness import Recorded
from clients.queries.scheme import the_scheme
from clients.rules.findings import Summary
from clients.rules.go_ahead import open_conditions
from clients.rules.roster import latest_dates
from clients.rules.screening import condition_words
from coach.scheduling.dates import gestational_age, stage_on, weeks_since
from content.rules.suitability import Person, Recovery


def person_of(client: Client, on: date) -> Person:
    """What is recorded of a client, for a day; the same number of queries for anybody."""
    return people_of(client)(on)


def people_of(client: Client) -> Callable[[date], Person]:
    """What is recorded of a client, read once, for any number of days.

    Today her go-ahead is the stricter of her date and the coach's. For a day to come it is what
    today's records say of that day: a letter that will have run out has, a birth not told of waits.
    """
    records, scheme = Recorded.of(client), the_scheme()
    told = summaries(client.pk).get(client.pk, Summary())
    rows = list(client.pregnancies.all())

    def on_day(on: date) -> Person:
        known = records.facts.known_by(on)
        dates = [one.dates for one in known.pregnancies]
        running, _ = latest_dates(dates, on)
        found = records.go_ahead(on)
        return Person(
            on=on,
            stage=stage_on(dates, on, scheme),
            age=gestational_age(running, on) if running else None,
            recoveries=tuple(_recoveries(rows, on)),
            answers=told.answers or {},
            findings=told.open,
            conditions={
                one.code: condition_words(one.code, one.text, quiet=records.quiet)
                for one, _effect in open_conditions(records.facts, on, records.in_force)
            },
            limits=found.limits,
            word=found.word,
            readiness_missing=tuple(one.reason for one in records.readiness(on).missing),
            quiet=records.quiet,
        )

    return on_day


def _recoveries(rows: Iterable[Pregnancy], on: date) -> Sequence[Recovery]:
    """Every end up to a day, whatever came after."""
    return [
        Recovery(weeks_since(row.ended, on), row.ending, row.birth_mode, row.tear, row.surgical)
        for row in rows
        if row.ended and row.ended <= on
    ]
