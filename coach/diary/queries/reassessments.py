"""Who is to be reassessed by when and why, put together from what is stored of clients."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from zoneinfo import ZoneInfo

from django.urls import reverse

from clients.models import Standing
from clients.queries import AssessmentFacts, assessment_facts, the_scheme
from clients.queries.reassessing import (
    Answered,
    Came,
    Heard,
    allowed_spans,
    came,
    heard_since_snooze,
    on_hold,
    reassessment_rules,
    signs_answered,
)
from clients.rules.happened import HIDDEN
from clients.rules.words import unless_quiet
from coach.practice.queries import the_practice
from coach.scheduling.reassessment import (
    Due,
    Found,
    History,
    Later,
    Rules,
    due,
    lost_on,
    run_on,
)
from coach.scheduling.trimesters import TrimesterScheme
from coach.scheduling.values import Finding, Severity

AHEAD_DAYS = 14
_HOLD = Finding(
    "on-hold",
    Severity.STOP,
    "On hold: nothing is measured before a clinician has answered",
    "policy of the practice",
)


class Do(StrEnum):
    """What there is to do: never to start for whoever is on hold."""

    ASSESS = "assess"
    REASSESS = "reassess"
    WRITE = "write"


@dataclass(frozen=True, slots=True)
class Snooze:
    """Nothing is asked before a day, and why; `overtaken`: something was said since."""

    until: date
    reason: str
    overtaken: bool


@dataclass(frozen=True, slots=True)
class Reassessment:
    """One client's next assessment: the day to do it by, and how many days that is past (or 0).

    `reasons` are all that ask by then, or by today; `later` ask afterwards. `snooze`: one that
    has not ended.
    """

    client_id: int
    name: str
    quiet: bool
    email: str
    by: date
    overdue_days: int
    do: Do
    first: bool
    reasons: tuple[Finding, ...]
    later: tuple[Later, ...]
    snooze: Snooze | None

    @property
    def asleep(self) -> bool:
        """Whether she is not listed for now: a hold and what was said since are not slept over."""
        return bool(self.snooze and not self.snooze.overtaken and self.do is not Do.WRITE)

    @property
    def listed_on(self) -> date:
        """The day by which she is wanted, as the list has it."""
        return max(self.by, self.snooze.until) if self.snooze and self.asleep else self.by

    @property
    def also(self) -> tuple[Later, ...]:
        """What asks soon after it."""
        last = self.by + timedelta(days=self.overdue_days + AHEAD_DAYS)
        return tuple(one for one in self.later if one.by <= last)

    @property
    def verb(self) -> str:
        """What to do, as it begins a line."""
        return {Do.ASSESS: "Assess", Do.REASSESS: "Reassess", Do.WRITE: "Write to"}[self.do]

    @property
    def action(self) -> str:
        """What its link says."""
        return "write to her" if self.do is Do.WRITE else "start"

    @property
    def url(self) -> str:
        """Where its link leads."""
        if self.do is not Do.WRITE:
            return reverse("clients:assess", args=[self.client_id])
        if self.email:
            return f"mailto:{self.email}"
        return reverse("clients:client", args=[self.client_id])


@dataclass(frozen=True, slots=True)
class Waiting:
    """A client for whom nothing is asked until the coach resumes it."""

    client_id: int
    name: str


@dataclass(frozen=True, slots=True)
class Wanted:
    """Everybody's next assessment by day, with those snoozed; and for whom it waits."""

    found: tuple[Reassessment, ...]
    waiting: tuple[Waiting, ...]
    facts: tuple[AssessmentFacts, ...]
    rules: Rules

    @property
    def listed(self) -> list[Reassessment]:
        """Those that are not snoozed."""
        return [one for one in self.found if not one.asleep]


def reassessments(today: date, *, within_days: int | None = AHEAD_DAYS) -> list[Reassessment]:
    """Active clients to be reassessed by a day up to so many days ahead (None: any), by day.

    Not among them: whoever is past her due date with no end recorded, who is to be asked how she
    is; whose last weeks ended with a loss and who is quiet, until the coach resumes; and those
    snoozed. The number of queries does not depend on the number of clients.
    """
    last = date.max if within_days is None else today + timedelta(days=within_days)
    return [one for one in wanted(today).listed if one.by <= last]


def reassessment_of(client_id: int, today: date) -> Wanted:
    """The same of one client, however far ahead; nothing in it unless she is active."""
    return wanted(today, client_id)


def wanted(today: date, client: int | None = None) -> Wanted:
    """Everybody's next assessment, or one client's. A constant number of queries."""
    facts = tuple(one for one in assessment_facts(client) if one.standing == Standing.ACTIVE)
    paused = {one.client_id for one in facts if _waits(one, today)}
    known = _Known.of(facts, today, client)
    dues = ((one, known.due(one)) for one in facts if one.client_id not in paused)
    found = (known.reassessment(one, its) for one, its in dues if its)
    waiting = (Waiting(one.client_id, one.name) for one in facts if one.client_id in paused)
    return Wanted(
        tuple(sorted(found, key=lambda one: (one.by, one.name, one.client_id))),
        tuple(sorted(waiting, key=lambda one: (one.name, one.client_id))),
        facts,
        known.rules,
    )


def _waits(one: AssessmentFacts, today: date) -> bool:
    """Whether she is quiet after a loss that nothing came after, and the coach has not resumed."""
    lost = lost_on(one.pregnancies, today) if one.quiet else None
    resumed = one.rhythm.resumed_on
    return lost is not None and (resumed is None or resumed < lost)


@dataclass(frozen=True, slots=True)
class _Known:
    """What is read beside the facts, of everybody at once."""

    today: date
    zone: str
    scheme: TrimesterScheme
    rules: Rules
    came: Mapping[int, Came]
    held: Collection[int]
    answered: Mapping[int, list[Answered]]
    allowed: Mapping[int, list[tuple[date, date | None]]]
    heard: Mapping[int, Heard]

    @classmethod
    def of(cls, facts: Iterable[AssessmentFacts], today: date, client: int | None) -> _Known:
        snoozed = [one.client_id for one in facts if _snoozed(one, today)]
        return cls(
            today=today,
            zone=the_practice().time_zone,
            scheme=the_scheme(),
            rules=reassessment_rules(today),
            came=came(client),
            held=on_hold(client),
            answered=signs_answered(client),
            allowed=allowed_spans([one.client_id for one in facts if one.summary.last is None]),
            heard=heard_since_snooze(snoozed),
        )

    def due(self, one: AssessmentFacts) -> Due | None:
        """When hers is wanted."""
        return due(self._history(one), today=self.today, rules=self.rules, scheme=self.scheme)

    def _history(self, one: AssessmentFacts) -> History:
        pk, rhythm = one.client_id, one.rhythm
        return History(
            pregnancies=one.pregnancies,
            last=one.summary.last,
            go_ahead_on=self._allowed_on(one) if pk in self.allowed else None,
            signs_answered=tuple(each.day for each in self.answered.get(pk, ())),
            away_from=rhythm.away_from,
            back_on=rhythm.back_on,
            findings=_findings(one),
            every_weeks=rhythm.every_weeks,
            since=self.came[pk].day,
        )

    def _allowed_on(self, one: AssessmentFacts) -> date | None:
        """The first day of these weeks on which her go-ahead let her train."""
        run = run_on(one.pregnancies, self.today, self.scheme)
        begun = run.start if run else date.min
        spans = (span for span in self.allowed[one.client_id] if not span[1] or span[1] >= begun)
        return next((max(first, begun) for first, _ in spans), None)

    def reassessment(self, one: AssessmentFacts, its: Due) -> Reassessment:
        """As the list has it."""
        held, first = one.client_id in self.held, one.summary.last is None
        asks = Do.ASSESS if first else Do.REASSESS
        return Reassessment(
            client_id=one.client_id,
            name=one.name,
            quiet=one.quiet,
            email=self.came[one.client_id].email,
            by=its.by,
            overdue_days=max(0, (self.today - its.by).days),
            do=Do.WRITE if held else asks,
            first=first,
            reasons=(_HOLD, *its.reasons) if held else its.reasons,
            later=its.later,
            snooze=self._snooze(one) if _snoozed(one, self.today) else None,
        )

    def _snooze(self, one: AssessmentFacts) -> Snooze:
        until, reason = one.rhythm.snoozed_until, one.rhythm.snooze_reason
        assert until is not None  # asked of those alone who have one
        told = unless_quiet(reason, quiet=one.quiet, instead=HIDDEN)
        return Snooze(until, told, self._overtaken(one))

    def _overtaken(self, one: AssessmentFacts) -> bool:
        """Whether she felt something, or a clinician answered, since the snooze was set.

        A symptom that was told in what was kept of an assessment since counts as told since.
        """
        heard = self.heard[one.client_id]
        answers = self.answered.get(one.client_id, ())
        if any(each.kept_at > heard.set_at for each in answers):
            return True
        symptoms = [each for each in one.summary.open if each.symptom]
        set_on = heard.set_at.astimezone(ZoneInfo(self.zone)).date()
        return any(heard.measured or each.day > set_on for each in symptoms)


def _snoozed(one: AssessmentFacts, today: date) -> bool:
    return one.rhythm.snoozed_until is not None and one.rhythm.snoozed_until > today


def _findings(one: AssessmentFacts) -> tuple[Found, ...]:
    return tuple(
        Found(each.code, each.words, each.symptom, each.since, each.day)
        for each in one.summary.open
    )
