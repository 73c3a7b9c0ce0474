"""Reads of the go-ahead: one client's from her facts, everybody's from the stored spans."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date
from functools import reduce

from django.db.models import FilteredRelation, Q

from clients.models import Clearance, Client, GoAheadPolicy, GoAheadSpan, WarningSign
from clients.queries.days import Days, days_in, days_of
from clients.queries.facts import facts_by_client, facts_for, wanted_spans
from clients.rules.facts import ClientFacts, SignFact
from clients.rules.go_ahead import Span, go_ahead, letter_until, strictest, unanswered
from clients.rules.go_ahead_words import STRICTEST_FIRST
from clients.rules.needs import ACTIVE, PAUSED
from clients.rules.policy import Policies
from clients.rules.words import stage_words
from coach.practice.queries import the_practice
from coach.scheduling.dates import SCHEMES, TrimesterScheme, stage_on
from coach.scheduling.values import Finding, GoAhead, GoAheadWord, Severity, Stage

COACHED = (ACTIVE, PAUSED)
_LISTED = ("name", "email", "phone", "time_zone", "standing", "quiet", "created_at", "changed_at")
# A letter can be in force beside each of these: something else may be waited for.
_WITH_LETTER = (GoAheadWord.YES, GoAheadWord.YES_WITH_LIMITS, GoAheadWord.WAITING)
Kept = tuple[date, date | None, str]


@dataclass(frozen=True, slots=True)
class SpanRow:
    """The word of a day with the span it lies in. `last` may be a due date: never print it."""

    word: GoAheadWord
    first: date | None
    last: date | None


_WAITS = SpanRow(GoAheadWord.WAITING, None, None)


def policies() -> Policies:
    """The practice's policies of the go-ahead by their first days, in one query."""
    return Policies.of(GoAheadPolicy.objects.values_list("begins", "values"))


def go_ahead_of(client: Client, *, on: date, known: date | None = None) -> GoAhead:
    """Her go-ahead on a day, worked out from the facts known up to another; in six queries."""
    return go_ahead(facts_for(client), on, policies(), known)


def go_ahead_now(client: Client) -> GoAhead:
    """Her go-ahead at this moment, in seven queries.

    Where the coach's and her date differ it is the stricter of both: a letter ends at the earlier
    of the two midnights, a wait at the later.
    """
    return reduce(strictest, go_aheads_now(client))


def go_aheads_now(client: Client) -> tuple[GoAhead, ...]:
    """Her go-ahead on the coach's date and on hers: one, or two where they differ."""
    return _on_both(facts_for(client), policies(), days_of(client))


def _on_both(
    facts: ClientFacts, in_force: Policies, days: Days, known: date | None = None
) -> tuple[GoAhead, ...]:
    return tuple(go_ahead(facts, on, in_force, known) for on in sorted(set(days)))


@dataclass(frozen=True, slots=True)
class ClientGoAhead:
    """A client with her stage and her go-ahead on the day asked for."""

    client: Client
    stage: Stage
    found: GoAhead
    scheme: TrimesterScheme

    @property
    def quiet(self) -> bool:
        """Whether nothing about her may name a baby, a birth or a due date."""
        return bool(self.client.quiet)

    @property
    def stage_words(self) -> str:
        """Her stage in words."""
        return stage_words(self.stage, quiet=self.quiet, scheme=self.scheme)


def go_aheads(
    *,
    on: date | None = None,
    known: date | None = None,
    standing: Collection[str] | None = COACHED,
) -> list[ClientGoAhead]:
    """Everybody's go-ahead by name, worked out from the facts; eight queries for any number.

    The clients hold what _LISTED names; anything else of them would be asked for one by one.
    `on` None is now, as in go_ahead_now; `known` None is the day asked for; `standing` None is any.
    """
    practice, in_force = the_practice(), policies()
    rows = Client.objects.only(*_LISTED)
    clients = list(rows if standing is None else rows.filter(standing__in=standing))
    facts = facts_by_client(None, {one.pk: bool(one.quiet) for one in clients})
    scheme = SCHEMES[practice.trimester_scheme]

    def of(one: Client) -> ClientGoAhead:
        days = Days(on, on) if on else days_in(one.time_zone, practice.time_zone)
        hers = facts[one.pk]
        dates = [each.dates for each in hers.known_by(days.later, known).pregnancies]
        stage = stage_on(dates, days.later, scheme)
        found = reduce(strictest, _on_both(hers, in_force, days, known))
        return ClientGoAhead(one, stage, found, scheme)

    return [of(one) for one in clients]


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


def words_now() -> Mapping[int, SpanRow]:
    """Everybody's word at this moment from the stored spans, in three queries.

    For each client the stricter of the practice's date and her own.
    """
    zone = the_practice().time_zone
    days = {
        pk: days_in(hers, zone)
        for pk, hers in Client.objects.order_by("pk").values_list("pk", "time_zone")
    }
    earliest = min((one.earlier for one in days.values()), default=date.min)
    latest = max((one.later for one in days.values()), default=date.min)
    spans = GoAheadSpan.objects.filter(Q(last=None) | Q(last__gte=earliest), first__lte=latest)
    found: defaultdict[int, list[SpanRow]] = defaultdict(list)
    for pk, word, first, last in spans.values_list("client_id", "word", "first", "last"):
        found[pk].append(SpanRow(GoAheadWord(word), first, last))
    return {pk: _stricter(found[pk], one) for pk, one in days.items()}


def _stricter(rows: list[SpanRow], days: Days) -> SpanRow:
    """The stricter of the words of two days; a day without a span waits."""
    of_days = (next((row for row in rows if _holds(row, day)), _WAITS) for day in set(days))
    return min(of_days, key=lambda row: STRICTEST_FIRST.index(row.word))


def _holds(row: SpanRow, day: date) -> bool:
    return row.first is not None and row.first <= day and (row.last is None or row.last >= day)


def letters_running_out(today: date, within_days: int = 30) -> list[tuple[int, str, date]]:
    """Clients being coached whose letter ends soon: (id, name, its last day), soonest first.

    With limits or without, also where something else is waited for; letters until the birth are
    not among them. Seven queries whatever their number.
    """
    spans = GoAheadSpan.objects.filter(
        Q(last=None) | Q(last__gte=today),
        word__in=[str(word) for word in _WITH_LETTER],
        first__lte=today,
        client__standing__in=COACHED,
    )
    names = {row.client_id: row.client for row in spans.select_related("client")}
    facts = facts_by_client(names, {pk: bool(one.quiet) for pk, one in names.items()})
    in_force = policies()
    found = [
        (last, one.name, pk)
        for pk, one in names.items()
        if (last := letter_until(facts[pk], today, in_force))
        if (last - today).days <= within_days
    ]
    return [(pk, name, last) for last, name, pk in sorted(found)]


def unanswered_signs(client: Client, *, on: date) -> list[SignFact]:
    """Her warning signs that no clinician has answered by name, as known on a day."""
    return unanswered(facts_for(client), on, policies())


def clearances_of(client: Client) -> list[Clearance]:
    """Everything clinicians said of her, the latest said first, withdrawn ones too."""
    rows = client.clearances.select_related("document")
    return sorted(rows, key=lambda row: (row.said_on, row.pk), reverse=True)


def signs_of(client: Client) -> list[WarningSign]:
    """Her warning signs, the latest first."""
    return sorted(client.signs.all(), key=lambda row: (row.happened_on, row.pk), reverse=True)


def stale_spans() -> dict[int, tuple[Span, ...]]:
    """The spans that should be stored, for each client whose stored ones are others.

    Eight queries whatever the number of clients.
    """
    clients = list(Client.objects.order_by("pk").only("quiet", "created_at"))
    facts = facts_by_client(None, {one.pk: bool(one.quiet) for one in clients})
    in_force, kept = policies(), _kept_spans()
    wanted = ((one.pk, wanted_spans(one, facts[one.pk], in_force)) for one in clients)
    return {
        pk: spans
        for pk, spans in wanted
        if kept[pk] != [(one.first, one.last, str(one.word)) for one in spans]
    }


def _kept_spans() -> defaultdict[int, list[Kept]]:
    found: defaultdict[int, list[Kept]] = defaultdict(list)
    rows = GoAheadSpan.objects.order_by("client", "first")
    for pk, first, last, word in rows.values_list("client_id", "first", "last", "word"):
        found[pk].append((first, last, word))
    return found


def spans_as_the_facts_say() -> list[Finding]:
    """What `check_data` asks: every client's stored spans are those that her facts give."""
    return [
        Finding(
            "go-ahead",
            Severity.STOP,
            f"The stored go-ahead of client {pk} is not what her records come to.",
            "policy of the practice",
        )
        for pk in stale_spans()
    ]
