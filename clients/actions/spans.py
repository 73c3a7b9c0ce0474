"""The stored go-ahead spans: written anew from the facts, inside the transaction of who asks."""

from __future__ import annotations

from django.db import transaction

from clients.models import Client, GoAheadSpan
from clients.queries import facts_for, policies, stale_spans, wanted_spans
from clients.rules.go_ahead import Span

_AT_ONCE = 500  # clients whose spans one statement deletes


@transaction.atomic
def rewrite_spans(client: Client) -> None:
    """Make her stored spans what the facts say now; call it after the facts are saved."""
    wanted = wanted_spans(client, facts_for(client), policies())
    kept = tuple(client.spans.values_list("first", "last", "word"))
    if kept == tuple((span.first, span.last, str(span.word)) for span in wanted):
        return
    client.spans.all().delete()
    GoAheadSpan.objects.bulk_create(_rows(client.pk, wanted))


@transaction.atomic
def rewrite_all_spans() -> None:
    """Make everybody's spans anew: after a policy or the rules changed, or without actions.

    Few queries, whatever the number of clients; who reads right is left as she is.
    """
    stale = stale_spans()
    pks = list(stale)
    for begin in range(0, len(pks), _AT_ONCE):
        GoAheadSpan.objects.filter(client__in=pks[begin : begin + _AT_ONCE]).delete()
    GoAheadSpan.objects.bulk_create(
        row for pk, wanted in stale.items() for row in _rows(pk, wanted)
    )


def _rows(pk: int, wanted: tuple[Span, ...]) -> list[GoAheadSpan]:
    return [
        GoAheadSpan(client_id=pk, first=span.first, last=span.last, word=str(span.word))
        for span in wanted
    ]
