"""What a client's page tells of her health: the time line, and the distances over time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from clients.models import Assessment, Client
from clients.queries.facts import clearance_fact
from clients.queries.go_ahead import clearances_of
from clients.queries.measuring import assessments_of
from clients.rules.assessment import Measures
from clients.rules.distances import Distances, distances
from clients.rules.facts import ClientFacts
from clients.rules.go_ahead import unanswered
from clients.rules.happened import (
    Event,
    Measured,
    Said,
    assessment_events,
    clearance_event,
    dates_event,
    newest_first,
    sign_event,
)
from clients.rules.profile import Told
from clients.rules.warning_signs import sign_words


@dataclass(frozen=True, slots=True)
class History:
    """The time line, newest first; the distances, where any was measured."""

    events: list[Event]
    distances: Distances | None

    @property
    def letter(self) -> Event | None:
        """The latest clearance that has its letter and was no mistake."""
        letters = (one for one in self.events if one.letter and not one.void)
        return next(letters, None)


def history_of(client: Client, facts: ClientFacts, told: Sequence[Told], today: date) -> History:
    """All of it, in two queries beside those of `facts` and `told`."""
    quiet = bool(client.quiet)
    signs = {one.pk: sign_words(one.code, one.text, quiet=quiet) for one in facts.signs}
    waiting = {one.pk for one in unanswered(facts, today)}
    measured = [_measured(row) for row in assessments_of(client)]
    events = [
        *(clearance_event(one, signs, quiet=quiet) for one in _said(client)),
        *(sign_event(one, signs[one.pk], waits=one.pk in waiting) for one in facts.signs),
        *assessment_events(measured, quiet=quiet),
        *map(dates_event, told),
    ]
    pregnancies = [one.dates for one in facts.pregnancies]
    return History(newest_first(events), distances(measured, pregnancies))


def _said(client: Client) -> list[Said]:
    return [
        Said(
            fact=clearance_fact(row.__dict__),
            note=row.note,
            letter=row.document_id is not None,
            withdrawn_reason=row.withdrawn_reason,
        )
        for row in clearances_of(client)
    ]


def _measured(row: Assessment) -> Measured:
    return Measured(row.pk, row.day, Measures.of(row.measures), row.by, row.how)
