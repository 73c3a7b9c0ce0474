"""Reads of the letters to clinicians, and what a new one is made of."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from clients.models import Clearance, Client, Consent, LetterOut
from clients.queries.facts import facts_for
from clients.queries.go_ahead import policies
from clients.queries.roster import records_of
from clients.rules.facts import ConditionFact, SignFact
from clients.rules.go_ahead import go_ahead, open_conditions, unanswered
from clients.rules.go_ahead_words import limit_words
from clients.rules.letter_words import About, named_condition, named_sign
from clients.rules.letters import CONSENT, TITLES, WAYS, LetterFact, State
from clients.rules.profile import profile_of
from clients.rules.words import short_day_words
from coach.practice.queries import the_practice
from coach.scheduling.dates import SCHEMES
from coach.scheduling.values import GoAheadWord


def letter_fact(row: LetterOut) -> LetterFact:
    """A stored letter as the rules read it."""
    return LetterFact(
        kind=row.kind,
        made_on=row.made_on,
        sent_on=row.sent_on,
        sent_how=row.sent_how,
        chased=tuple(date.fromisoformat(day) for day in row.chased),
        answered_on=row.answered_on,
    )


@dataclass(frozen=True, slots=True)
class Letter:
    """A letter of hers with how far it has come, in words."""

    row: LetterOut
    state: State
    title: str
    to: str
    notes: tuple[str, ...]


def letters_of(client: Client, *, today: date) -> list[Letter]:
    """Her letters to clinicians, the latest first; one query."""
    rows = client.letters_out.select_related("clearance").order_by("-pk")
    return [_letter(row, today) for row in rows]


def _letter(row: LetterOut, today: date) -> Letter:
    fact = letter_fact(row)
    to = ", ".join(filter(None, (row.to_name, row.to_kind))) or "her clinician"
    return Letter(row, fact.state(today), TITLES[row.kind], to, tuple(_notes(fact)))


def _notes(fact: LetterFact) -> list[str]:
    sent = f"Sent on {short_day_words(fact.sent_on)}" if fact.sent_on else ""
    asked = ", ".join(short_day_words(day) for day in fact.chased)
    return [
        *([f"{sent}, {WAYS.get(fact.sent_how, fact.sent_how)}."] if sent else []),
        *([f"Asked again on {asked}."] if asked else []),
        *([f"Answered on {short_day_words(fact.answered_on)}."] if fact.answered_on else []),
    ]


@dataclass(frozen=True, slots=True)
class ToChase:
    """A letter that has waited for its answer since `since`: to be asked for again."""

    client_id: int
    client_name: str
    letter: int
    since: date


def to_chase(today: date) -> list[ToChase]:
    """Letters whose answer is to be asked for again, the longest wait first; one query.

    Of former clients too: what was asked is answered, or somebody says that it is not wanted.
    """
    rows = LetterOut.objects.filter(sent_on__isnull=False, answered_on__isnull=True)
    found = [
        ToChase(row.client_id, row.client.name, row.pk, asked)
        for row in rows.select_related("client")
        if (fact := letter_fact(row)).state(today) is State.LATE and (asked := fact.last_asked)
    ]
    return sorted(found, key=lambda one: (one.since, one.client_name, one.letter))


def consent_of(client: Client) -> Consent | None:
    """Her consent to contact her clinician, if it is on record and not taken back; one query."""
    rows = client.consents.filter(purpose=CONSENT, withdrawn_at=None).order_by("-pk")
    return rows.first()


def consented_on(client: Client) -> date | None:
    """The day she gave that consent, where the practice is; None: it is not on record."""
    consent = consent_of(client)
    zone = ZoneInfo(the_practice().time_zone)
    return consent.given_at.astimezone(zone).date() if consent else None


@dataclass(frozen=True, slots=True)
class Asked:
    """What a letter tells of her, and what it asks to have answered by name.

    `told` holds every warning sign that stands, `signs` those of them that are unanswered.
    """

    about: About
    told: tuple[SignFact, ...]
    signs: tuple[SignFact, ...]
    conditions: tuple[ConditionFact, ...]
    held: bool

    @property
    def named(self) -> tuple[str, ...]:
        """Everything that is open, in words."""
        quiet = self.about.quiet
        return (
            *(named_sign(one, quiet=quiet) for one in self.signs),
            *(named_condition(one, quiet=quiet) for one in self.conditions),
        )


def asked_of(client: Client, *, today: date) -> Asked:
    """What is recorded of her and open on a day, for a letter; nine queries."""
    quiet, practice = bool(client.quiet), the_practice()
    facts, in_force = facts_for(client), policies()
    profile = profile_of(
        records_of(client),
        today,
        quiet=quiet,
        sees_health=True,
        scheme=SCHEMES[practice.trimester_scheme],
    )
    found = go_ahead(facts, today, in_force)
    limits = limit_words(found.limits, quiet=quiet)
    return Asked(
        about=About(client.name, client.birth_date, profile, limits, quiet),
        told=facts.known_by(today).signs,
        signs=tuple(unanswered(facts, today, in_force)),
        conditions=tuple(one for one, _ in open_conditions(facts, today, in_force)),
        held=found.word is GoAheadWord.ON_HOLD,
    )


def answers_to(letter: LetterOut) -> list[Clearance]:
    """What clinicians have said since a letter was made, the latest first; one query."""
    rows = Clearance.objects.filter(client_id=letter.client_id, withdrawn_on__isnull=True)
    since = [row for row in rows if row.known_on >= letter.made_on]
    return sorted(since, key=lambda row: (row.said_on, row.pk), reverse=True)
