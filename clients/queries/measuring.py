"""Reads of assessments, and of what the practice has chosen about them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any
from uuid import UUID

from clients.models import (
    Assessment,
    Client,
    FingerWidth,
    Measurements,
    MeasuringPolicy,
    OwnMeasure,
    Pregnancy,
    Rhythm,
)
from clients.queries.days import practice_today
from clients.queries.roster import dates_by_client
from clients.rules.assessment import Catalogue, Measured, Own
from clients.rules.findings import Summary, summary
from clients.rules.measuring import COACH, HERSELF
from clients.rules.measuring_policy import Measuring, MeasuringPolicies
from clients.rules.words import unless_quiet
from coach.practice.models import User
from coach.scheduling.dates import PregnancyDates
from coach.scheduling.values import Finding, Severity

_OF_ASSESSMENT = (
    "id", "client_id", "day", "measures", "by", "who", "method", "position", "finger_mm",
    "finished_at", "origin", "created_at",
)  # fmt: skip
Row = dict[str, Any]


def measured_row(row: Row) -> Measured:
    """A stored assessment as the rules read it."""
    return Measured(
        pk=row["id"],
        day=row["day"],
        values=row["measures"],
        by=row["by"],
        who=row["who"],
        method=row["method"],
        position=row["position"],
        finger_mm=row["finger_mm"],
        finished=row["finished_at"] is not None,
        origin=row["origin"],
        at=row["created_at"],
    )


def as_measured(row: Assessment) -> Measured:
    """The same of a model's row."""
    return measured_row(row.__dict__)


def assessments_of(client: Client) -> list[Assessment]:
    """Her assessments, the latest first, with those being taken and those withdrawn."""
    rows = client.assessments.all()
    return sorted(rows, key=lambda row: (row.day, row.pk), reverse=True)


def measured_of(client: Client, *, finished: bool = True) -> list[Measured]:
    """What counts of them, the latest first; `finished` False: those being taken as well."""
    rows = (row for row in assessments_of(client) if row.withdrawn_on is None)
    return [as_measured(row) for row in rows if row.finished_at or not finished]


def unfinished_of(client: Client) -> Assessment | None:
    """The latest assessment that is still being taken; None: none is."""
    open_ones = (one for one in assessments_of(client) if one.withdrawn_on is None)
    return next((one for one in open_ones if one.finished_at is None), None)


def assessment_by_key(client: Client, key: UUID) -> Assessment | None:
    """Her assessment with a key; None: nothing of it is kept yet."""
    return client.assessments.filter(key=key).first()


def measuring_policies() -> MeasuringPolicies:
    """The practice's choices by their first days, in one query."""
    return MeasuringPolicies.of(MeasuringPolicy.objects.values_list("begins", "values"))


def measuring_now() -> Measuring:
    """What the practice has chosen, as of today; in two queries."""
    return measuring_policies().on(practice_today())


def own_measures(*, retired: bool = True) -> list[Own]:
    """The practice's own measures in their order; `retired` False: only those still asked."""
    rows = OwnMeasure.objects.all()
    return [
        Own(one.pk, one.name, one.unit, one.better, _limit(one.least), _limit(one.most))
        for one in (rows if retired else rows.filter(retired=False))
    ]


def _limit(text: str) -> Decimal | None:
    return Decimal(text) if text else None


def catalogue(*, quiet: bool = False) -> Catalogue:
    """What this practice measures, retired measures too, in three queries.

    `quiet`: for a page that may not say everything, without the name of a measure that does.
    """
    chosen = measuring_now()
    own = {one.pk: replace(one, name=_named(one, quiet)) for one in own_measures()}
    return Catalogue(chosen.sites, own, chosen.asked)


def _named(one: Own, quiet: bool) -> str:
    return unless_quiet(one.name, quiet=quiet, instead="a measure not named while quiet is on")


def finger_of(who: str, *, user: User | None = None, client: Client | None = None) -> int | None:
    """The width of the finger of the coach or of a client, in mm; None: not known."""
    rows = FingerWidth.objects.none()
    if who == COACH and user:
        rows = FingerWidth.objects.filter(user=user)
    elif who == HERSELF and client:
        rows = FingerWidth.objects.filter(client=client)
    return next((one.mm for one in rows), None)


@dataclass(frozen=True, slots=True)
class RhythmFacts:
    """When she is seen again, as far as it was decided for her; see models.Rhythm."""

    every_weeks: int | None = None
    snoozed_until: date | None = None
    snooze_reason: str = ""
    resumed_on: date | None = None
    away_from: date | None = None
    back_on: date | None = None


@dataclass(frozen=True, slots=True)
class AssessmentFacts:
    """What the list of reassessments wants to know of a client."""

    client_id: int
    name: str
    standing: str
    quiet: bool
    pregnancies: tuple[PregnancyDates, ...]
    summary: Summary
    rhythm: RhythmFacts


_OF_RHYTHM = (
    "every_weeks", "snoozed_until", "snooze_reason", "resumed_on", "away_from", "back_on",
)  # fmt: skip


def assessment_facts(client: int | None = None) -> list[AssessmentFacts]:
    """All clients, former ones too, or one, with what their assessments come to; in four queries.

    However long their histories are: a summary of each is kept.
    """
    mine: dict[str, int] = {} if client is None else {"client": client}
    dates = dates_by_client(Pregnancy.objects.filter(**mine))
    found = summaries(client)
    rhythms = {
        row.pop("client_id"): RhythmFacts(**row)
        for row in Rhythm.objects.filter(**mine).values("client_id", *_OF_RHYTHM)
    }
    people = Client.objects.filter(pk=client) if client else Client.objects.all()
    return [
        AssessmentFacts(
            client_id=row["pk"],
            name=row["name"],
            standing=row["standing"],
            quiet=bool(row["quiet"]),
            pregnancies=tuple(dates[row["pk"]]),
            summary=found.get(row["pk"], Summary()),
            rhythm=rhythms.get(row["pk"], RhythmFacts()),
        )
        for row in people.values("pk", "name", "standing", "quiet")
    ]


def summaries(client: int | None = None) -> dict[int, Summary]:
    """What her assessments come to, of each client who has any, as kept; in one query."""
    rows = Measurements.objects.filter(pk=client) if client else Measurements.objects.all()
    return {pk: Summary.of(kept) for pk, kept in rows.values_list("pk", "summary")}


def wanted_summary(client: int, known: Catalogue) -> Summary:
    """What should be kept of one client's assessments."""
    rows = Assessment.objects.filter(client=client).values(*_OF_ASSESSMENT, "withdrawn_on")
    return summary([measured_row(row) for row in rows if row["withdrawn_on"] is None], known)


def stale_summaries() -> Mapping[int, Summary]:
    """The summaries that should be kept, for each client whose kept one is another."""
    known, kept = catalogue(), summaries()
    by_client: defaultdict[int, list[Measured]] = defaultdict(list)
    for row in Assessment.objects.order_by("pk").values(*_OF_ASSESSMENT, "withdrawn_on"):
        if row["withdrawn_on"] is None:
            by_client[row["client_id"]].append(measured_row(row))
    wanted = {pk: summary(by_client.get(pk, []), known) for pk in {*by_client, *kept}}
    return {pk: one for pk, one in wanted.items() if kept.get(pk, Summary()).stored != one.stored}


def summaries_as_the_assessments_say() -> list[Finding]:
    """What `check_data` asks: every kept summary is what her assessments come to."""
    return [
        Finding(
            "measurements",
            Severity.STOP,
            f"What is kept of the assessments of client {pk} is not what they come to.",
            "policy of the practice",
        )
        for pk in stale_summaries()
    ]


@dataclass(frozen=True, slots=True)
class Unfinished:
    """An assessment that is still being taken."""

    client_id: int
    name: str
    key: UUID
    day: date


def unfinished() -> list[Unfinished]:
    """Assessments that were begun and not finished, the oldest first; in one query."""
    rows = Assessment.objects.filter(finished_at=None, withdrawn_on__isnull=True).order_by("pk")
    return [Unfinished(*row) for row in rows.values_list("client_id", "client__name", "key", "day")]
