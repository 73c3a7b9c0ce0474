"""Reads of assessments."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from clients.models import Assessment, Client, Pregnancy
from clients.queries.roster import dates_by_client
from coach.scheduling.dates import PregnancyDates


@dataclass(frozen=True, slots=True)
class AssessmentFacts:
    """What the list of reassessments wants to know of a client."""

    client_id: int
    name: str
    standing: str
    quiet: bool
    pregnancies: tuple[PregnancyDates, ...]
    assessed_on: tuple[date, ...]


def assessment_facts() -> list[AssessmentFacts]:
    """All clients, former ones too, with the days they were assessed on; in three queries."""
    dates = dates_by_client(Pregnancy.objects.all())
    days: defaultdict[int, list[date]] = defaultdict(list)
    for pk, day in Assessment.objects.values_list("client_id", "day"):
        days[pk].append(day)
    return [
        AssessmentFacts(
            client_id=row["pk"],
            name=row["name"],
            standing=row["standing"],
            quiet=bool(row["quiet"]),
            pregnancies=tuple(dates[row["pk"]]),
            assessed_on=tuple(sorted(days[row["pk"]])),
        )
        for row in Client.objects.values("pk", "name", "standing", "quiet")
    ]


def assessments_of(client: Client) -> list[Assessment]:
    """Her assessments, the latest first."""
    return sorted(client.assessments.all(), key=lambda row: (row.day, row.pk), reverse=True)
