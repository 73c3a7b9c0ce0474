"""A warning sign: two taps from her page, and at once what to do."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from clients import actions, queries
from clients.forms.sign import SignForm
from clients.models import Client, WarningSign
from clients.rules.facts import SignFact
from clients.rules.go_ahead import unanswered
from clients.rules.warning_signs import sign_source, sign_words, signs_for, warning_signs
from clients.views.shared import kept, looked_at
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, requires
from coach.scheduling.dates import stage_on


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.HEALTH, Access.CHANGE)
def warning_sign(request: Request, pk: int) -> HttpResponse:
    """The list; a tap on one records it."""
    client = get_object_or_404(Client, pk=pk)
    now = today(request)
    dates = [record.facts.dates for record in queries.records_of(client)]
    signs = signs_for(stage_on(dates, now))
    form = SignForm(request.POST if request.method == "POST" else None, signs=signs, today=now)
    if form.is_valid():
        row = _there_already(client, form) or kept(form, lambda: actions.record_warning_sign(
            by=actor_of(request), client=client, **form.facts))  # fmt: skip
        if row:
            return redirect("clients:sign", pk, row.pk)
    looked_at(request, client, ["pregnancies"])
    context = {"client": client, "form": form, "signs": signs}
    status = 422 if form.is_bound else 200
    return render(request, "clients/signs.html", context, status=status)


def _there_already(client: Client, form: SignForm) -> SignFact | None:
    """The same sign of the same day, still unanswered: a thumb taps twice."""
    wanted = (form.facts["code"], form.facts["happened_on"], form.facts["text"])
    waiting = unanswered(queries.facts_for(client), form.today)
    return next((s for s in waiting if (s.code, s.happened_on, s.text) == wanted), None)


@require_safe
@requires(Fact.HEALTH)
def sign(request: Request, pk: int, which: int) -> HttpResponse:
    """What to do now: emergency help first, stop, refer, on hold until it is answered by name."""
    rows = WarningSign.objects.select_related("client")
    found = get_object_or_404(rows, pk=which, client_id=pk)
    client = found.client
    looked_at(request, found, ["code", "text", "happened_on"])
    open_signs = unanswered(queries.facts_for(client), today(request))
    context = {
        "client": client,
        "sign": found,
        "kind": warning_signs().get(found.code),
        "source": sign_source(found.code),
        "label": sign_words(found.code, found.text, quiet=bool(client.quiet)),
        "waits": found.pk in {one.pk for one in open_signs},
    }
    return render(request, "clients/sign.html", context)
