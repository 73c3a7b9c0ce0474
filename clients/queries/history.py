"""What a client's page tells of her: the time line, and the distances over time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from clients.models import Client
from clients.queries.facts import clearance_fact, condition_key, sign_fact
from clients.queries.go_ahead import clearances_of, policies, signs_of
from clients.queries.history_writing import consents, entries, forms, letters_out
from clients.queries.measuring import as_measured, assessments_of, catalogue
from clients.queries.screening import conditions_of, exceptions_of, screenings_of
from clients.rules.facts import ClientFacts
from clients.rules.go_ahead import open_conditions, unanswered
from clients.rules.happened import (
    Choice,
    Event,
    Named,
    Said,
    choices,
    clearance_event,
    dates_event,
    newest_first,
    of_kind,
    said_words,
)
from clients.rules.happened_health import (
    Asked,
    Condition,
    Excepted,
    Noticed,
    condition_event,
    exception_event,
    screening_event,
    sign_event,
)
from clients.rules.happened_measured import Taken, assessment_events
from clients.rules.happened_writing import NOBODY, Reader
from clients.rules.policy import Policies
from clients.rules.profile import Told
from clients.rules.progress import ChartOf, glance
from clients.rules.screening import condition_words
from clients.rules.warning_signs import sign_words


@dataclass(frozen=True, slots=True)
class History:
    """The time line, newest first: `events` are those asked for, `every` all of them.

    `chart`: the one width of her page, where any was measured.
    """

    every: list[Event]
    events: list[Event]
    choices: list[Choice]
    chart: ChartOf | None

    @property
    def letter(self) -> Event | None:
        """The latest clearance that has its letter and was no mistake."""
        letters = (one for one in self.every if one.kind == "clearance" and one.letter)
        return next((one for one in letters if not one.void), None)


def history_of(
    client: Client,
    facts: ClientFacts,
    told: Sequence[Told],
    today: date,
    *,
    reader: Reader,
    kind: str = "",
) -> History:
    """All of it, in eleven queries beside those of `facts` and `told`, whatever its length."""
    quiet = bool(client.quiet)
    taken = [
        Taken(as_measured(row), row.withdrawn_on, row.withdrawn_reason)
        for row in assessments_of(client)
    ]
    measured = [one.measured for one in taken if one.withdrawn_on is None]
    every = newest_first(
        [
            *_health(client, facts, today),
            *assessment_events(taken, catalogue(quiet=quiet), quiet=quiet),
            *map(dates_event, told),
            *entries(client, reader),
            *letters_out(client),
            *forms(client, reader.zone),
            *consents(client, reader.zone),
        ]
    )
    pregnancies = [one.dates for one in facts.pregnancies]
    return History(
        every,
        of_kind(every, kind),
        choices(every, kind, quiet=quiet),
        glance([one for one in measured if one.finished], pregnancies, quiet=quiet),
    )


def _health(client: Client, facts: ClientFacts, today: date) -> list[Event]:
    quiet, in_force = bool(client.quiet), policies()
    waiting = {one.pk for one in unanswered(facts, today)}
    signs = _signs(client, waiting, quiet)
    conditions = _conditions(client, facts, today, in_force)
    rows = clearances_of(client)
    named = Named(
        signs={one.fact.pk: one.label for one in signs},
        conditions={condition_key(one.pk): one.label for one in conditions},
        clearances={row.pk: said_words(row.word, row.said_on) for row in rows},
    )
    said = [
        Said(
            fact=clearance_fact(row.__dict__),
            note=row.note,
            letter=row.document_id is not None,
            withdrawn_reason=row.withdrawn_reason,
            origin=row.origin,
            at=row.created_at,
        )
        for row in rows
    ]
    return [
        *(clearance_event(one, named, quiet=quiet) for one in said),
        *(sign_event(one, quiet=quiet) for one in signs),
        *(condition_event(one, quiet=quiet) for one in conditions),
        *_screenings(client, quiet),
        *_exceptions(client, quiet),
    ]


def _signs(client: Client, waiting: set[int], quiet: bool) -> list[Noticed]:
    return [
        Noticed(
            fact=sign_fact(row.__dict__),
            label=sign_words(row.code, row.text, quiet=quiet),
            waits=row.pk in waiting,
            from_form=row.intake_id is not None,
            followed_up_on=row.followed_up_on,
            advised_by=row.advised_by,
            advice=row.advice,
            graded_return=row.graded_return,
            withdrawn_reason=row.withdrawn_reason,
            at=row.created_at,
        )
        for row in signs_of(client)
    ]


def _conditions(
    client: Client, facts: ClientFacts, today: date, in_force: Policies
) -> list[Condition]:
    does = {one.key: str(effect) for one, effect in open_conditions(facts, today, in_force)}
    return [
        Condition(
            pk=row.pk,
            label=condition_words(row.code, row.text, quiet=bool(client.quiet)),
            named_on=row.named_on,
            known_on=row.known_on,
            answer=row.answer,
            origin=row.origin,
            clinician=row.clinician,
            does=does.get(condition_key(row.pk), ""),
            over_on=row.over_on,
            over_said_by=row.over_said_by,
            at=row.created_at,
        )
        for row in conditions_of(client)
    ]


def _screenings(client: Client, quiet: bool) -> list[Event]:
    def said(answers: dict[str, dict[str, str]]) -> list[tuple[str, str]]:
        return [
            (one["answer"], condition_words(code, quiet=quiet))
            for code, one in answers.items()
            if one["answer"] in ("yes", "unsure")
        ]

    return [
        screening_event(
            Asked(
                pk=row.pk,
                on=row.answered_on,
                phase=row.phase,
                how=row.how,
                complete=bool(row.complete),
                said=said(row.answers),
                at=row.created_at,
            ),
            quiet=quiet,
        )
        for row in screenings_of(client)
    ]


def _exceptions(client: Client, quiet: bool) -> list[Event]:
    return [
        exception_event(
            Excepted(
                pk=row.pk,
                day=row.day,
                reason=row.reason,
                over=row.over,
                by=row.by.name if row.by else NOBODY,
                at=row.created_at,
            ),
            quiet=quiet,
        )
        for row in exceptions_of(client)
    ]
