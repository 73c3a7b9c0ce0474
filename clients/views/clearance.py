"""What a clinician said: record it, open its letter, withdraw what was a mistake."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from clients import actions, queries
from clients.forms.clearance import ClearanceForm
from clients.forms.sign import WithdrawForm
from clients.models import Clearance, Client
from clients.queries.intake import letter_from_form
from clients.rules.documents import Document
from clients.rules.facts import ClientFacts
from clients.rules.go_ahead import open_conditions, unanswered
from clients.rules.go_ahead_words import sentence
from clients.rules.happened import said_words
from clients.rules.policy import Policies
from clients.rules.screening import condition_words
from clients.rules.warning_signs import sign_words
from clients.views.shared import kept, looked_at, stored_file
from coach.practice import files
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, requires
from coach.scheduling.dates import stage_on

LONGEST_NUMBER = 18  # digits that a key of the database can have


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.HEALTH, Access.CHANGE)
def add_clearance(request: Request, pk: int) -> HttpResponse:
    """Who said what, when, with which limits, until when, to which signs; and the letter."""
    client = get_object_or_404(Client, pk=pk)
    form, came = _form(request, client), _came(request, client)
    if form.is_valid():
        data = form.cleaned_data
        row = kept(form, lambda: actions.record_clearance(
            by=actor_of(request), client=client, facts=form.facts, note=data["note"],
            origin=data["origin"], document=data["document"] or came))  # fmt: skip
        if row:
            messages.success(request, "Kept.")
            return redirect("clients:client", pk)
    looked_at(request, client, ["signs", "conditions", "clearances"])
    context = {"client": client, "form": form, "came": came, "form_pk": request.GET.get("form")}
    status = 422 if form.is_bound else 200
    return render(request, "clients/clearance.html", context, status=status)


def _came(request: Request, client: Client) -> Document | None:
    """The letter that came with a form of hers, where she is recorded from it."""
    form = request.GET.get("form", "")
    known = form.isdecimal() and len(form) <= LONGEST_NUMBER
    return letter_from_form(client, int(form)) if known else None


def _form(request: Request, client: Client) -> ClearanceForm:
    facts, now, in_force = queries.facts_for(client), today(request), queries.policies()
    stands = in_force.on(now)
    sent = (request.POST, request.FILES) if request.method == "POST" else ()
    return ClearanceForm(
        *sent,
        quiet=bool(client.quiet),
        choices=_choices(facts, now, in_force, quiet=bool(client.quiet)),
        running=stage_on([one.dates for one in facts.pregnancies], now).pregnant,
        counts_weeks=stands.letter_counts_weeks if stands.checks("policy-end") else None,
    )


def _choices(
    facts: ClientFacts, now: date, in_force: Policies, *, quiet: bool
) -> dict[str, list[tuple[Any, str]]]:
    """What of hers waits for a clinician, and what was said before."""
    return {
        "answers": [
            (sign.pk, sign_words(sign.code, sign.text, quiet=quiet))
            for sign in unanswered(facts, now, in_force)
        ],
        "answers_conditions": [
            (one.key, sentence(condition_words(one.code, one.text, quiet=quiet)))
            for one, _ in open_conditions(facts, now, in_force)
        ],
        "replaces": [
            (one.pk, sentence(said_words(one.word, one.said_on)))
            for one in sorted(facts.clearances, key=lambda one: one.said_on, reverse=True)
            if one.withdrawn_on is None
        ],
    }


@require_safe
@requires(Fact.HEALTH)
def letter(request: Request, pk: int, which: int) -> HttpResponse:
    """The letter as it was sent in, shown and never run; each look is in the trail."""
    rows = Clearance.objects.select_related("document").exclude(document=None)
    clearance = get_object_or_404(rows, pk=which, client_id=pk)
    document = clearance.document
    assert document is not None
    looked_at(request, clearance, ["document"])
    try:
        return stored_file(document)
    except files.FileDamaged:
        messages.error(request, "The letter cannot be opened: its file is missing or damaged.")
        return redirect("clients:client", pk)


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.HEALTH, Access.CHANGE)
def withdraw_clearance(request: Request, pk: int, which: int) -> HttpResponse:
    """It was recorded by mistake: it counts no more and stays in the history."""
    rows = Clearance.objects.select_related("client")
    clearance = get_object_or_404(rows, pk=which, client_id=pk)
    form = WithdrawForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        row = kept(form, lambda: actions.withdraw_clearance(
            by=actor_of(request), clearance=clearance,
            reason=form.cleaned_data["reason"]))  # fmt: skip
        if row:
            messages.success(request, "Withdrawn: it counts for nothing from now on.")
            return redirect("clients:client", pk)
    looked_at(request, clearance, ["word", "said_on"])
    context = {
        "client": clearance.client,
        "form": form,
        "what": said_words(clearance.word, clearance.said_on),
    }
    status = 422 if form.is_bound else 200
    return render(request, "clients/withdraw.html", context, status=status)
