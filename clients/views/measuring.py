"""Practice › Assessments: what is measured and how, readiness, and when she is seen again."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from clients import actions
from clients.forms.measuring import MeasuringForm
from clients.forms.own_measures import OwnMeasureForm, initial_of
from clients.forms.readiness import FingerForm
from clients.models import Client, FingerWidth, OwnMeasure
from clients.queries.measuring import measuring_now
from clients.queries.measuring_settings import finger_row, measuring_history, own_lines
from clients.rules.own_measures import OwnFacts
from clients.rules.readiness_policy import positions
from clients.views.shared import done, looked_at
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, requires

_FINGER = "mm"


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.PRACTICE, Access.CHANGE)
def measuring(request: Request) -> HttpResponse:
    """What stands, and what to change from today on; and the width of the coach's own finger."""
    sent = request.POST if request.method == "POST" else None
    is_finger = sent is not None and _FINGER in sent
    form = MeasuringForm(None if is_finger else sent, stands=measuring_now())
    finger = _finger_form(request, finger_row(user=request.user), is_sent=is_finger)
    if done(form, lambda: actions.change_measuring(
        by=actor_of(request), values=form.values, reason=form.cleaned_data["reason"])):  # fmt: skip
        messages.success(request, "Kept, from today on.")
        return redirect("clients:measuring")
    if done(finger, lambda: actions.set_finger(
        by=actor_of(request), user=request.user, **finger.cleaned_data)):  # fmt: skip
        messages.success(request, "Kept: it counts for assessments from now on.")
        return redirect("clients:measuring")
    context = {
        "form": form,
        "finger": finger,
        "history": measuring_history(),
        "own": own_lines(),
        "positions": positions(),
    }
    return render(request, "clients/measuring.html", context, status=422 if sent else 200)


def _finger_form(request: Request, row: FingerWidth | None, *, is_sent: bool) -> FingerForm:
    kept = {"mm": row.mm, "measured_on": row.measured_on} if row else {}
    return FingerForm(
        request.POST if is_sent else None, initial={"measured_on": today(request), **kept}
    )


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.HEALTH, Access.CHANGE)
def finger(request: Request, pk: int) -> HttpResponse:
    """The width of a client's own finger, for what she measures on herself."""
    client = get_object_or_404(Client, pk=pk)
    row = finger_row(client=client)
    form = _finger_form(request, row, is_sent=request.method == "POST")
    if done(form, lambda: actions.set_finger(
        by=actor_of(request), client=client, **form.cleaned_data)):  # fmt: skip
        messages.success(request, "Kept: it counts for assessments from now on.")
        return redirect("clients:client", pk)
    looked_at(request, client, ["finger"])
    context = {"client": client, "form": form, "row": row}
    status = 422 if form.is_bound else 200
    return render(request, "clients/finger.html", context, status=status)


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.PRACTICE, Access.CHANGE)
def add_own_measure(request: Request) -> HttpResponse:
    """A measure that no list has."""
    form = OwnMeasureForm(request.POST if request.method == "POST" else None)
    if done(form, lambda: actions.add_own_measure(by=actor_of(request), facts=form.facts)):
        messages.success(request, "Kept: it is asked from the next assessment on.")
        return redirect("clients:measuring")
    return _page(request, {"form": form})


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.PRACTICE, Access.CHANGE)
def own_measure(request: Request, which: int) -> HttpResponse:
    """A measure of the practice's own: put it in other words, ask it no more, or again."""
    row = get_object_or_404(OwnMeasure, pk=which)
    if request.method == "POST" and "retired" in request.POST:
        retired = request.POST["retired"] == "yes"
        actions.retire_own_measure(by=actor_of(request), measure=row, retired=retired)
        messages.success(request, "It is asked no more." if retired else "It is asked again.")
        return redirect("clients:measuring")
    facts = OwnFacts(row.name, row.unit, row.better)
    kept = {**initial_of(facts), "least": row.least, "most": row.most}
    form = OwnMeasureForm(request.POST if request.method == "POST" else None, initial=kept)
    if done(form, lambda: actions.change_own_measure(
        by=actor_of(request), measure=row, facts=form.facts)):  # fmt: skip
        messages.success(request, "Kept.")
        return redirect("clients:measuring")
    return _page(request, {"form": form, "measure": row})


def _page(request: Request, context: dict[str, Any]) -> HttpResponse:
    status = 422 if context["form"].is_bound else 200
    return render(request, "clients/own_measure.html", context, status=status)
