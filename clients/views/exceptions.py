"""One session trained by exception, over stale paperwork and nothing else."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from clients import actions, queries
from clients.forms.notes import ReasonForm
from clients.models import Client
from clients.rules.go_ahead import in_the_way, may_except
from clients.rules.go_ahead_words import sentence
from clients.views.shared import done, looked_at
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, requires


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.HEALTH, Access.CHANGE)
def train_by_exception(request: Request, pk: int) -> HttpResponse:
    """What is stale, and why she trains today all the same; a sentence where it cannot be."""
    client = get_object_or_404(Client, pk=pk)
    found = queries.go_ahead_now(client)
    form = ReasonForm(request.POST if request.method == "POST" else None)
    if done(form, lambda: actions.train_by_exception(
        by=actor_of(request), client=client, reason=form.cleaned_data["reason"])):  # fmt: skip
        messages.success(request, "Kept, for today alone.")
        return redirect("clients:client", pk)
    looked_at(request, client, ["clearances", "screenings"])
    context = {
        "client": client,
        "form": form,
        "word": found.word,
        "title": sentence(str(found.word)),
        "in_the_way": in_the_way(found),
        "may_except": may_except(found),
        "exception": queries.exception_on(client, today(request)),
    }
    status = 422 if form.is_bound else 200
    return render(request, "clients/exception.html", context, status=status)
