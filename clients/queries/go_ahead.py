"""Reads of the go-ahead: one client's from her facts, everybody's from the stored spans."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import FilteredRelation, Q

from clients.models import Clearance, Client, GoAheadSpan, WarningSign
from clients.queries.facts import facts_by_client, facts_for, wanted_spans
from clients.rules.facts import SignFact
from clients.rules.go_ahead import go_ahead, letter_until, unanswered
from clients.rules.needs import ACTIVE, PAUSED
from coach.scheduling.values import Finding, GoAhead, GoAheadWord, Severity


@dataclass(frozen=True, slots=True)
class SpanRow:
    """The word of a day with the span it lies in. `last` may be a due date: never print it."""

    word: GoAheadWord
    first: date | None
    last: date | None


def go_ahead_of(client: Client, *, on: date) -> GoAhead:
    """Her go-ahead on a day, worked out from the facts, in three queries."""
    return go_ahead(facts_for(client), on)


def words_on(day: date) -> Mapping[int, SpanRow]:
    """Everybody's word on a day from the stored spans, in one query.

    Every client is in it: where no span is stored the word is "waiting".
    """
    holds = Q(spans__first__lte=day) & (Q(spans__last=None) | Q(spans__last__gte=day))
    rows = (
        Client.objects.annotate(span=FilteredRelation("spans", condition=holds))
        .order_by("pk")
        .values_list("pk", "span__word", "span__first", "span__last")
    )
    return {
        pk: SpanRow(GoAheadWord(word or GoAheadWord.WAITING), first, last)
        for pk, word, first, last in rows
    }


def letters_running_out(today: date, within_days: int = 30) -> list[tuple[int, str, date]]:
    """Clients being coached whose letter ends soon: (id, name, its last day), soonest first.

    Letters until the birth are not among them. Four queries whatever their number.
    """
    spans = GoAheadSpan.objects.filter(
        word=str(GoAheadWord.LETTER_ON_FILE),
        first__lte=today,
        last__gte=today,
        last__lte=today + timedelta(days=within_days),
        client__standing__in=(ACTIVE, PAUSED),
    )
    names = {row.client_id: row.client for row in spans.select_related("client")}
    facts = facts_by_client(names, {pk: bool(one.quiet) for pk, one in names.items()})
    found = [
        (last, one.name, pk)
        for pk, one in names.items()
        if (last := letter_until(facts[pk], today))
        if (last - today).days <= within_days
    ]
    return [(pk, name, last) for last, name, pk in sorted(found)]


def unanswered_signs(client: Client, *, on: date) -> list[SignFact]:
    """Her warning signs that no clinician has answered by name, as known on a day."""
    return unanswered(facts_for(client), on)


def clearances_of(client: Client) -> list[Clearance]:
    """Everything clinicians said of her, the latest said first, withdrawn ones too."""
    rows = client.clearances.select_related("document")
    return sorted(rows, key=lambda row: (row.said_on, row.pk), reverse=True)


def signs_of(client: Client) -> list[WarningSign]:
    """Her warning signs, the latest first."""
    return sorted(client.signs.all(), key=lambda row: (row.happened_on, row.pk), reverse=True)


def spans_as_the_facts_say() -> list[Finding]:
    """What `check_data` asks: every client's stored spans are those that her facts give."""
    clients = list(Client.objects.order_by("pk").prefetch_related("spans"))
    facts = facts_by_client(None, {one.pk: bool(one.quiet) for one in clients})
    return [
        Finding(
            "go-ahead",
            Severity.STOP,
            f"The stored go-ahead of client {one.pk} is not what her records come to.",
            "policy of the practice",
        )
        for one in clients
        if [(row.first, row.last, row.word) for row in one.spans.all()]
        != [(row.first, row.last, str(row.word)) for row in wanted_spans(one, facts[one.pk])]
    ]
