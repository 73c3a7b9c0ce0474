"""The stored go-ahead spans: written anew from the facts, inside the transaction of who asks."""

from __future__ import annotations

from django.db import transaction

from clients.models import Client, GoAheadSpan
from clients.queries import facts_for, wanted_spans


@transaction.atomic
def rewrite_spans(client: Client) -> None:
    """Make her stored spans what the facts say now; call it after the facts are saved."""
    wanted = wanted_spans(client, facts_for(client))
    kept = tuple(client.spans.values_list("first", "last", "word"))
    if kept == tuple((span.first, span.last, str(span.word)) for span in wanted):
        return
    client.spans.all().delete()
    GoAheadSpan.objects.bulk_create(
        GoAheadSpan(client=client, first=span.first, last=span.last, word=str(span.word))
        for span in wanted
    )


@transaction.atomic
def rewrite_all_spans() -> None:
    """Make everybody's spans anew: after a policy changed, or where rows came without actions."""
    for client in Client.objects.all():
        rewrite_spans(client)
