"""The first page of the section, a month summed up by client, and what a client's page shows."""

from __future__ import annotations

from datetime import timedelta

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from clients.models import Client
from coach.billing.forms.filters import month_named
from coach.billing.queries.pages import overview
from coach.billing.queries.summary import account_of, month_sums
from coach.billing.queries.summary import summary as month_of_clients
from coach.billing.rules.months import last_of
from coach.practice.http import Request, today
from coach.practice.permissions import Fact, requires


@require_safe
@requires(Fact.MONEY)
def index(request: Request) -> HttpResponse:
    """What is open and what to do."""
    return render(request, "billing/index.html", {"page": overview(today(request))})


@require_safe
@requires(Fact.MONEY)
def summary(request: Request) -> HttpResponse:
    """A month by client, to print."""
    month = month_named(request.GET.get("month", ""), today(request))
    rows = month_of_clients(month)
    later = last_of(month) + timedelta(days=1)
    context = {
        "month": month,
        "rows": rows,
        "sums": month_sums(rows),
        "earlier": month - timedelta(days=1),
        "later": later if later <= today(request) else None,
    }
    return render(request, "billing/summary.html", context)


@require_safe
@requires(Fact.MONEY)
def of_client(request: Request, pk: int) -> HttpResponse:
    """Her balance and her sales, as a part of her page."""
    client = get_object_or_404(Client.objects.only("pk", "name"), pk=pk)
    context = {"client": client, "account": account_of(pk, today(request))}
    return render(request, "billing/_of_client.html", context)
