"""Reads of clients."""

from __future__ import annotations

import dataclasses
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import Prefetch

from clients.models import Client, DueDateChange, Pregnancy
from clients.rules import roster as rules
from clients.rules.needs import ACTIVE, PAUSED, Needed, Needs, count_needs
from clients.rules.pregnancies import PregnancyFacts
from clients.rules.profile import Earlier, Record
from coach.practice.permissions import TABLE, Fact
from coach.scheduling.dates import PregnancyDates
from coach.scheduling.values import Stage

_PERSON = ("pk", "name", "email", "phone", "standing", "changed_at")


@dataclass(frozen=True, slots=True)
class Roster:
    """The lines asked for, how many more there are among other standings, and all by stage.

    `stages` counts what was asked for without the filter by stage; empty for who may not see it.
    """

    lines: list[rules.Line]
    elsewhere: int
    stages: dict[Stage, int]

    @property
    def asks(self) -> int:
        """How many should be asked how they are: past the due date with nothing recorded."""
        return self.stages.get(Stage.PAST_DUE, 0)


def roster(
    today: date,
    *,
    search: str = "",
    stage: Stage | None = None,
    standing: str = rules.CURRENT,
    sort: rules.Sort = rules.Sort.NAME,
    with_stage: bool = True,
) -> Roster:
    """The roster in two queries whatever its length; in one for those who may not see stages.

    Without `with_stage` a filter or an order by stage is not followed either: it would tell.
    """
    found = [line for line in _lines(today, with_stage) if rules.matches(line.person, search)]
    standing_so = [line for line in found if line.person.standing in rules.STANDINGS[standing]]
    if not with_stage:
        stage, sort = None, rules.Sort.NAME if sort.by_stage else sort
    wanted = [line for line in standing_so if stage in {None, line.stage}]
    more = [line for line in found if stage in {None, line.stage}]
    counts = Counter(line.stage for line in standing_so if line.stage)
    return Roster(
        rules.in_order(wanted, sort),
        elsewhere=len(more) - len(wanted),
        stages={one: counts[one] for one in Stage if counts[one]},
    )


def _lines(today: date, with_stage: bool) -> list[rules.Line]:
    if not with_stage:
        return [rules.Line(_person(row)) for row in Client.objects.values(*_PERSON)]
    dates = _dates_by_client(Pregnancy.objects.all().values("client_id", *_DATES))
    return [
        rules.line_of(_person(row), dates[row["pk"]], today, quiet=row["quiet"])
        for row in Client.objects.values(*_PERSON, "quiet")
    ]


def _person(row: dict[str, Any]) -> rules.Person:
    return rules.Person(**{name: row[name] for name in _PERSON})


def needs(*, today: date, days: Sequence[date]) -> Needs:
    """Clients by stage on each day to be planned, in two queries whatever their number."""
    coached = Client.objects.filter(standing__in=(ACTIVE, PAUSED))
    dates = _dates_by_client(
        Pregnancy.objects.filter(client__standing=ACTIVE).values("client_id", *_DATES)
    )
    clients = (
        Needed(row["standing"], bool(row["quiet"]), tuple(dates[row["pk"]]))
        for row in coached.values("pk", "standing", "quiet")
    )
    return count_needs(clients, today=today, days=days)


_DATES = ("due", "ended", "ending")


def _dates_by_client(rows: Iterable[dict[str, Any]]) -> dict[int, list[PregnancyDates]]:
    found: defaultdict[int, list[PregnancyDates]] = defaultdict(list)
    for row in rows:
        facts = PregnancyFacts(**{name: row[name] for name in _DATES})
        found[row["client_id"]].append(facts.dates)
    return found


def facts_of(pregnancy: Pregnancy) -> PregnancyFacts:
    """What the rules want to know of a stored pregnancy."""
    names = (field.name for field in dataclasses.fields(PregnancyFacts))
    return PregnancyFacts(**{name: getattr(pregnancy, name) for name in names})


def records_of(client: Client) -> list[Record]:
    """Her pregnancies with their earlier due dates, in two queries; none for a new client."""
    here = ZoneInfo(client.time_zone)
    changes = DueDateChange.objects.select_related("by")
    found = client.pregnancies.prefetch_related(Prefetch("due_changes", queryset=changes))
    return [
        Record(
            row.pk,
            facts_of(row),
            tuple(
                Earlier(
                    old=one.old,
                    dated_by=one.old_dated_by,
                    on=one.at.astimezone(here).date(),
                    by=one.by.name if one.by else "nobody signed in",
                    reason=one.reason,
                )
                for one in row.due_changes.all()
            ),
        )
        for row in found
    ]


def who_sees() -> list[tuple[str, str]]:
    """Each role, and which of the facts on a client's page it sees, in words."""
    return [
        (str(role), ", ".join(words for fact, words in _FACTS.items() if facts[fact]))
        for role, facts in TABLE.items()
    ]


_FACTS = {
    Fact.CONTACT: "how to reach her",
    Fact.STAGE: "where she is",
    Fact.HEALTH: "everything else",
}
