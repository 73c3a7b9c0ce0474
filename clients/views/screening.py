"""The health questions asked on a call, and conditions that a clinician named."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from clients import actions, queries
from clients.forms.screening import ConditionForm, EndConditionForm, ScreeningForm
from clients.models import Client, Condition
from clients.queries.days import days_of
from clients.rules.known_day import KnownDay
from clients.rules.screening import (
    CONDITION,
    YES,
    condition_words,
    judged,
    questions,
    questions_for,
)
from clients.rules.warning_signs import AFTER, PREGNANT, warning_signs
from clients.views.client import where_she_is
from clients.views.shared import done, kept, looked_at
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, requires
from coach.scheduling.dates import GestationalAge, stage_on

# The names of the sets as a page holds them: a quiet client's page too.
_SETS = {"running": PREGNANT, "ended": AFTER}


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.HEALTH, Access.CHANGE)
def screening(request: Request, pk: int) -> HttpResponse:
    """The questions of her phase; a yes acts as it is kept, and what is left open stays open."""
    client = get_object_or_404(Client, pk=pk)
    # What was asked is what is kept, also where her phase changed while it was being asked.
    phase = _SETS.get(request.POST.get("asked", ""), "") or _phase(client)
    form = ScreeningForm(
        request.POST if request.method == "POST" else None,
        questions=questions_for(phase),
        quiet=bool(client.quiet),
        today=days_of(client).earlier,
    )
    if form.is_valid():
        row = kept(form, lambda: actions.record_screening(
            by=actor_of(request), client=client, phase=phase, answers=form.answers,
            answered_on=form.cleaned_data["answered_on"], how="call"))  # fmt: skip
        if row:
            _say(request, form, _age(client))
            sign = _gravest_sign(client, form)
            return redirect("clients:sign", pk, sign) if sign else redirect("clients:client", pk)
    looked_at(request, client, ["pregnancies"])
    context = {
        "client": client,
        "form": form,
        "asked": next(name for name, one in _SETS.items() if one == phase),
        "where": where_she_is(client),
    }
    status = 422 if form.is_bound else 200
    return render(request, "clients/screening.html", context, status=status)


def _phase(client: Client) -> str:
    """Which set is hers; where her stage is not known that of a pregnancy, the longer one."""
    dates = [one.dates for one in queries.facts_for(client).pregnancies]
    stage = stage_on(dates, days_of(client).earlier)
    over = [one for one in dates if one.over]
    return PREGNANT if stage.pregnant or len(over) < len(dates) or not dates else AFTER


def _age(client: Client) -> GestationalAge | None:
    """Her age of the pregnancy that runs; None where none does or it is not known."""
    on, in_force = days_of(client).later, queries.policies()
    return KnownDay.of(queries.facts_for(client), on, in_force.on(on)).age


def _gravest_sign(client: Client, form: ScreeningForm) -> int | None:
    """The unanswered sign that the answers made or found there, an emergency before others."""
    said = {code for code, answer in form.answers.items() if answer == YES}
    signs = [one for one in queries.unanswered_signs(client, on=days_of(client).later)
             if one.code in said]  # fmt: skip
    kinds = warning_signs()
    by_grave = sorted(signs, key=lambda one: not kinds[one.code].emergency)
    return by_grave[0].pk if by_grave else None


def _say(request: Request, form: ScreeningForm, age: GestationalAge | None) -> None:
    """What the answers do, in a sentence above the next page."""
    if form.still_open:
        messages.warning(
            request,
            f"Kept, not finished: {form.still_open} without an answer. Until all are answered it "
            "counts only for what was not answered with no.",
        )
    grave = judged(form.answers, age)
    if grave == "stop":
        messages.error(request, "Stop: no exercise now. She is on hold.")
    elif grave == "hold":
        messages.warning(request, "An answer wants a clinician: until one answers it, this waits.")
    elif not form.still_open:
        messages.success(request, "Kept: every question has its answer.")


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.HEALTH, Access.CHANGE)
def add_condition(request: Request, pk: int) -> HttpResponse:
    """What a clinician named: it acts by its rule from this moment."""
    client = get_object_or_404(Client, pk=pk)
    phase = _phase(client)
    wanted = [
        one
        for one in questions().values()
        if one.kind == CONDITION and one.asked and phase in one.phases
    ]
    form = ConditionForm(
        request.POST if request.method == "POST" else None,
        questions=wanted,
        quiet=bool(client.quiet),
        initial={"named_on": today(request)},
    )
    if done(form, lambda: actions.name_condition(
        by=actor_of(request), client=client, **form.cleaned_data)):  # fmt: skip
        messages.success(request, "Kept.")
        return redirect("clients:client", pk)
    return _page(request, "clients/condition.html", {"client": client, "form": form})


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.HEALTH, Access.CHANGE)
def end_condition(request: Request, pk: int, which: int) -> HttpResponse:
    """A clinician said that it is over."""
    rows = Condition.objects.select_related("client")
    found = get_object_or_404(rows, pk=which, client_id=pk)
    form = EndConditionForm(
        request.POST if request.method == "POST" else None, initial={"over_on": today(request)}
    )
    if done(form, lambda: actions.end_condition(
        by=actor_of(request), condition=found, **form.cleaned_data)):  # fmt: skip
        messages.success(request, "Kept: it counts no more from that day on.")
        return redirect("clients:client", pk)
    words = condition_words(found.code, found.text, quiet=bool(found.client.quiet))
    context = {"client": found.client, "form": form, "condition": found, "words": words}
    return _page(request, "clients/condition_end.html", context)


def _page(request: Request, template: str, context: dict[str, Any]) -> HttpResponse:
    looked_at(request, context["client"], ["conditions"])
    status = 422 if context["form"].is_bound else 200
    return render(request, template, context, status=status)
