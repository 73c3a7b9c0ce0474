"""People as suitability asks about them: what is recorded, put together from their records."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from clients.models import Client, Pregnancy
from clients.queries import facts_for, go_ahead_now, go_ahead_of, policies
from clients.queries.days import days_of
from clients.queries.measuring import summaries
from clients.queries.readiness import readiness_of
from clients.queries.scheme import the_scheme
from clients.rules.findings import Summary
from clients.rules.go_ahead import open_conditions
from clients.rules.roster import latest_dates
from clients.rules.screening import condition_words
from coach.scheduling.dates import gestational_age, stage_on, weeks_since
from content.rules.suitability import Person, Recovery


def person_of(client: Client, on: date) -> Person:
    """What is recorded of a client, for a day; the same number of queries for anybody.

    Today her go-ahead is the stricter of her date and the coach's.
    """
    now = days_of(client)
    facts, quiet = facts_for(client), bool(client.quiet)
    known = facts.known_by(on)
    dates = [one.dates for one in known.pregnancies]
    found = go_ahead_now(client) if now.earlier <= on <= now.later else go_ahead_of(client, on=on)
    told = summaries(client.pk).get(client.pk, Summary())
    running, _ = latest_dates(dates, on)
    missing = readiness_of(client, on).missing
    return Person(
        on=on,
        stage=stage_on(dates, on, the_scheme()),
        age=gestational_age(running, on) if running else None,
        recoveries=tuple(_recoveries(client.pregnancies.all(), on)),
        answers=told.answers or {},
        findings=told.open,
        conditions={
            one.code: condition_words(one.code, one.text, quiet=quiet)
            for one, _effect in open_conditions(facts, on, policies())
        },
        limits=found.limits,
        word=found.word,
        readiness_missing=tuple(one.reason for one in missing),
        quiet=quiet,
    )


def _recoveries(rows: Iterable[Pregnancy], on: date) -> Sequence[Recovery]:
    """Every end up to a day, whatever came after."""
    return [
        Recovery(weeks_since(row.ended, on), row.ending, row.birth_mode, row.tear, row.surgical)
        for row in rows
        if row.ended and row.ended <= on
    ]
