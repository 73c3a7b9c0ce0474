"""Reads of what asks for the next assessment beside her measurements.

Each takes ids of clients, or none for all, and costs the same whatever their number.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping
from datetime import date, datetime
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo

from django.db.models import F

from clients.models import (
    Assessment,
    Clearance,
    Client,
    GoAheadSpan,
    Rhythm,
    Standing,
    WarningSign,
)
from clients.queries.go_ahead import go_ahead_now, words_now
from clients.queries.measuring import measuring_policies
from clients.rules.facts import ClearanceFact, ClearanceWord, KnownBy
from coach.scheduling.reassessment import Rules, rules_with
from coach.scheduling.values import GoAheadWord

_NOBODY = (0,)  # asked of nobody as well, so that the number of queries never differs
_MAY_TRAIN = [str(word) for word in GoAheadWord if word.may_train]
_OF_CLEARANCE = ("client_id", "created_at", "said_on", "known_on", "word", "known_by", "answers",
                 "withdrawn_on")  # fmt: skip


class Came(NamedTuple):
    """The day a client was put on the roster by her own clock, and how to write to her."""

    day: date
    email: str


class Answered(NamedTuple):
    """The day from which a clinician's answer to a warning sign counts, and when it was kept."""

    day: date
    kept_at: datetime


class Heard(NamedTuple):
    """When a snooze was set, and whether anything was kept of an assessment of hers since."""

    set_at: datetime
    measured: bool


def reassessment_rules(on: date) -> Rules:
    """What the practice asks on a day, in one query."""
    return rules_with(measuring_policies().on(on).reassessment)


def came(client: int | None = None) -> Mapping[int, Came]:
    """The day each client came, in one query."""
    people = Client.objects.filter(pk=client) if client else Client.objects.all()
    return {
        pk: Came(made.astimezone(ZoneInfo(zone)).date(), email)
        for pk, made, zone, email in people.values_list("pk", "created_at", "time_zone", "email")
    }


def on_hold(client: int | None = None) -> Collection[int]:
    """Who is on hold at this moment: of all by the stored spans, of one by her facts."""
    if client is None:
        return {pk for pk, row in words_now().items() if row.word is GoAheadWord.ON_HOLD}
    word = go_ahead_now(Client.objects.get(pk=client)).word
    return {client} if word is GoAheadWord.ON_HOLD else set()


def signs_answered(client: int | None = None) -> Mapping[int, list[Answered]]:
    """What clinicians answered by name of each active client's warning signs, in two queries.

    Only answers that can lift, of signs that were no mistake; whoever never had a sign is left out.
    """
    mine: dict[str, Any] = {"client": client} if client else {}
    signs = WarningSign.objects.filter(client__standing=Standing.ACTIVE, **mine)
    real = {pk for pk, withdrawn in signs.values_list("pk", "withdrawn_on") if not withdrawn}
    found: defaultdict[int, list[Answered]] = defaultdict(list)
    rows = Clearance.objects.filter(client__in=signs.order_by().values("client"))
    for row in rows.values(*_OF_CLEARANCE):
        if row["withdrawn_on"] is None and real.intersection(row["answers"]):
            fact = _clearance(row)
            if fact.lifts:
                found[row["client_id"]].append(Answered(fact.counts_from, row["created_at"]))
    return found


def _clearance(row: Mapping[str, Any]) -> ClearanceFact:
    return ClearanceFact(
        row["said_on"], ClearanceWord(row["word"]), KnownBy(row["known_by"]), row["known_on"]
    )


def allowed_spans(clients: Collection[int]) -> Mapping[int, list[tuple[date, date | None]]]:
    """First and last days on which their stored go-ahead let these clients train, in one query."""
    found: defaultdict[int, list[tuple[date, date | None]]] = defaultdict(list)
    rows = GoAheadSpan.objects.filter(client__in=clients or _NOBODY, word__in=_MAY_TRAIN)
    for pk, first, last in rows.order_by("client", "first").values_list(
        "client_id", "first", "last"
    ):
        found[pk].append((first, last))
    return found


def heard_since_snooze(clients: Collection[int]) -> Mapping[int, Heard]:
    """What came after these clients' snoozes, in two queries.

    A rhythm's `changed_at` is the moment of its snooze: see actions.rhythm.
    """
    asked = clients or _NOBODY
    since = Assessment.objects.filter(
        client__in=asked, changed_at__gt=F("client__rhythm__changed_at")
    )
    measured = set(since.values_list("client_id", flat=True))
    rows = Rhythm.objects.filter(client__in=asked).values_list("client_id", "changed_at")
    return {pk: Heard(at, pk in measured) for pk, at in rows}
