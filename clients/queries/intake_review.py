"""A sent form beside what is on record, for the page on which the coach takes it or leaves it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from clients.models import Client, Intake
from clients.queries.intake import Recorded, recorded_of, same_person, sent_day, whose
from clients.queries.roster import facts_of
from clients.rules import intake as rules
from clients.rules import intake_review as points
from clients.rules import intake_told
from clients.rules.consents import purposes
from clients.rules.intake import NO, Step
from clients.rules.intake_health import asked_in, in_words
from clients.rules.intake_review import CONTACT, Kept, Point
from clients.rules.screening import Question, questions

ANSWERS = {"yes": "yes", "no": "no", "unsure": "does not know"}


@dataclass(frozen=True, slots=True)
class Answer:
    """An answer as the page tells it; `was` says that it was another one before, and when."""

    words: str
    answer: str
    was: str = ""

    @property
    def status(self) -> str:
        """Which mark stands beside it: none of them looks like a go ahead."""
        return "not known" if self.answer == ANSWERS["unsure"] else "warning"


@dataclass(frozen=True, slots=True)
class Review:
    """All that the page shows. `answers` are those that are not "no"; `noes` and `open` count."""

    intake: Intake
    client: Client | None
    quiet: bool
    phase: str
    sent_on: date
    situation: str
    points: list[Point]
    in_words: list[str]
    answers: list[Answer]
    noes: int
    open: int
    consents: list[str]
    same: list[Client]

    @property
    def asks(self) -> list[Point]:
        """What the coach chooses."""
        return [one for one in self.points if one.asks]

    @property
    def new(self) -> list[Point]:
        """What is taken without a choice: nothing is on record."""
        return [one for one in self.points if not one.asks]


def review_of(intake: Intake) -> Review:
    """In a number of queries that does not depend on what was told."""
    draft, client = intake.answers, whose(intake)
    told = draft.get("told", {})
    recorded = recorded_of(client)
    quiet = rules.is_quiet(draft, recorded=recorded.quiet)
    sent_on = sent_day(intake)
    phase = rules.phase_of(draft, recorded.phase)
    answers, noes, is_open = _answers(intake, recorded, quiet=quiet)
    titles = {code: one.title for code, one in purposes().items()}
    return Review(
        intake=intake,
        client=client,
        quiet=quiet,
        phase=phase,
        sent_on=sent_on,
        situation=intake_told.told_situation(told, quiet=quiet),
        points=_points(intake, quiet=quiet),
        in_words=intake_told.in_words_only(told, quiet=quiet),
        answers=answers,
        noes=noes,
        open=is_open,
        consents=[words for code, words in titles.items() if code in draft.get("ticked", {})],
        same=same_person(intake),
    )


def _points(intake: Intake, *, quiet: bool) -> list[Point]:
    draft, client = intake.answers, whose(intake)
    told, born = draft.get("told", {}), draft.get("born")
    stored = {name: getattr(client, name) for name in CONTACT} if client else {}
    kept = [Kept(row.pk, facts_of(row)) for row in client.pregnancies.all()] if client else []
    titles = {code: one.title for code, one in purposes().items()}
    return [
        *points.contact_points(told, stored),
        *points.age_point(
            date.fromisoformat(born) if born else None,
            client.birth_date if client else None,
            quiet=quiet,
        ),
        *points.pregnancy_points(told, kept, quiet=quiet),
        *points.consent_points(draft.get("ticked", {}), _given(client), titles),
    ]


def _given(client: Client | None) -> dict[str, date]:
    """The consents on record that hold, with the day they were given."""
    if client is None:
        return {}
    zone = ZoneInfo(client.time_zone)
    rows = client.consents.filter(withdrawn_at=None, purpose__in=purposes())
    return {row.purpose: row.given_at.astimezone(zone).date() for row in rows}


def _answers(intake: Intake, recorded: Recorded, *, quiet: bool) -> tuple[list[Answer], int, int]:
    """Those that are no "no" or once were not, and how many are "no" and open."""
    draft = intake.answers
    given, phase = rules.health_answers(draft), rules.phase_of(draft, recorded.phase)
    asked: dict[str, Question] = {
        code: one
        for step in (Step.SIGNS, Step.HEALTH)
        for code, one in asked_in(step, phase).items()
    }
    every = questions()
    # What was said to a question that her later answers left out is told as well.
    asked |= {code: every[code] for code in draft.get("said", {}) if code in every}
    found = [
        Answer(in_words(one, quiet=quiet), ANSWERS[given[code]], _was(draft, code))
        for code, one in asked.items()
        if code in given and (given[code] != NO or _was(draft, code))
    ]
    found += [
        Answer(
            in_words(asked[code], quiet=quiet), "no answer any more", _was(draft, code, gone=True)
        )
        for code in draft.get("said", {})
        if code in asked and code not in given
    ]
    noes = sum(given.get(code) == NO for code in asked)
    return found, noes, sum(code not in given for code in asked)


def _was(draft: dict[str, Any], code: str, *, gone: bool = False) -> str:
    """ "was “yes” on 3 December 2026, changed afterwards"; empty for an answer that stands."""
    said = draft.get("said", {}).get(code)
    if not said or not (gone or code in draft.get("was_yes", {})):
        return ""
    return f"was “{ANSWERS[said['answer']]}” on {_day_words(said['on'])}; it counts"


def _day_words(text: str) -> str:
    day = date.fromisoformat(text)
    return f"{day.day} {day:%B %Y}"
