"""Reads of the diary: who is to be reassessed, put together from what other rooms know."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from clients.models import Client, Standing
from clients.queries import AssessmentFacts, assessment_facts, go_aheads, the_scheme
from coach.scheduling.dates import stage_on
from coach.scheduling.reassessment import FIRST, Due, due, policy
from coach.scheduling.values import Finding, GoAhead, GoAheadWord, Severity, Stage

AHEAD_DAYS = 28
LETTERS_AHEAD_DAYS = 30


@dataclass(frozen=True, slots=True)
class Reassessment:
    """One client's next assessment: the day to do it by, and how many days that is past (or 0)."""

    client_id: int
    name: str
    quiet: bool
    by: date
    overdue_days: int
    reasons: tuple[Finding, ...]

    @property
    def first(self) -> bool:
        """True when none was ever recorded."""
        return self.reasons[0].kind == FIRST


@dataclass(frozen=True, slots=True)
class Asked:
    """A client to be asked how she is before anything is measured."""

    client_id: int
    name: str


@dataclass(frozen=True, slots=True)
class ClearanceWanted:
    """A client whose clearance needs something: since `day`, or by it where a letter runs out."""

    client_id: int
    name: str
    word: GoAheadWord
    day: date
    reasons: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class DiaryPage:
    """Who is to be reassessed now, who soon, whom to ask first, and where the rules come from."""

    now: tuple[Reassessment, ...]
    soon: tuple[Reassessment, ...]
    ask: tuple[Asked, ...]
    sources: tuple[str, ...]


def reassessments(today: date, *, within_days: int | None = AHEAD_DAYS) -> list[Reassessment]:
    """Active clients to be reassessed by a day up to so many days ahead (None: any), by day.

    Whoever is past her due date with no end recorded is not among them: she is to be asked how
    she is. The number of queries does not depend on the number of clients.
    """
    return _within(_wanted(_active(), today), today, within_days)


def reassessment_of(client_id: int, today: date) -> Reassessment | None:
    """The next assessment of one client, however far ahead; None where none is wanted."""
    wanted = reassessments(today, within_days=None)
    return next((one for one in wanted if one.client_id == client_id), None)


def clearances(today: date) -> list[ClearanceWanted]:
    """Active clients without a letter in force, and letters about to run out, by day.

    The number of queries does not depend on the number of clients.
    """
    active = go_aheads(on=today, standing=(Standing.ACTIVE,))
    found = (_clearance(one.client, one.found) for one in active)
    return sorted((one for one in found if one), key=lambda one: one.day)


def _clearance(client: Client, answer: GoAhead) -> ClearanceWanted | None:
    """What her go-ahead wants on its day; nothing where a letter counts for a while yet."""
    if not answer.word.may_train:
        day = answer.since or _came_on(client.created_at, client.time_zone)
        return ClearanceWanted(client.pk, client.name, answer.word, day, answer.reasons)
    if answer.until is None or (answer.until - answer.on).days > LETTERS_AHEAD_DAYS:
        return None
    reasons = (*answer.reasons, _runs_out(answer.until))
    return ClearanceWanted(client.pk, client.name, answer.word, answer.until, reasons)


def _runs_out(last: date) -> Finding:
    reason = f"The last day of the letter or of the answers is {last.day} {last:%B %Y}"
    return Finding("letter", Severity.CAUTION, reason, "policy of the practice")


def diary_page(today: date) -> DiaryPage:
    """All that the page prints, in the same queries."""
    facts = _active()
    wanted = _within(_wanted(facts, today), today, AHEAD_DAYS)
    return DiaryPage(
        now=tuple(one for one in wanted if one.by <= today),
        soon=tuple(one for one in wanted if one.by > today),
        ask=tuple(
            Asked(one.client_id, one.name)
            for one in sorted(facts, key=lambda one: (one.name, one.client_id))
            if stage_on(one.pregnancies, today) is Stage.PAST_DUE
        ),
        sources=tuple(sorted({rule.source for rule in policy().values()})),
    )


def _active() -> list[AssessmentFacts]:
    return [one for one in assessment_facts() if one.standing == Standing.ACTIVE]


def _wanted(facts: list[AssessmentFacts], today: date) -> list[Reassessment]:
    came, scheme = _came(), the_scheme()
    found = (
        (
            one,
            due(
                one.pregnancies,
                one.assessed_on,
                today=today,
                rules=policy(),
                since=came[one.client_id],
                scheme=scheme,
            ),
        )
        for one in facts
    )
    return sorted(
        (_reassessment(one, wanted, today) for one, wanted in found if wanted),
        key=lambda one: (one.by, one.name, one.client_id),
    )


def _came() -> dict[int, date]:
    """The day each client was put on the roster, by her own clock."""
    rows = Client.objects.values_list("pk", "created_at", "time_zone")
    return {pk: _came_on(made, zone) for pk, made, zone in rows}


def _came_on(made: datetime, zone: str) -> date:
    return made.astimezone(ZoneInfo(zone)).date()


def _reassessment(one: AssessmentFacts, wanted: Due, today: date) -> Reassessment:
    return Reassessment(
        client_id=one.client_id,
        name=one.name,
        quiet=one.quiet,
        by=wanted.by,
        overdue_days=max(0, (today - wanted.by).days),
        reasons=wanted.reasons,
    )


def _within(found: list[Reassessment], today: date, days: int | None) -> list[Reassessment]:
    last = date.max if days is None else today + timedelta(days=days)
    return [one for one in found if one.by <= last]
