"""The page of who is to be reassessed and why; a snooze, and how often somebody is seen."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe
from django_htmx.http import retarget

from clients import actions
from clients.forms.rhythm import IntervalForm, SnoozeForm
from clients.models import Client
from clients.views.shared import done, looked_at
from coach.diary.queries import diary_page, reassessment_of
from coach.htmx import render_partial
from coach.practice import audit
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, requires


@require_safe
@requires(Fact.HEALTH)
def index(request: Request) -> HttpResponse:
    """Who is to be reassessed. Being asked for tells of measurements, so it is a health fact."""
    return _page(request)


def _page(request: Request) -> HttpResponse:
    """The page, or what changes of it."""
    context = {"page": diary_page(today(request))}
    audit.record(
        by=actor_of(request),
        verb="looked at",
        fields=("assessments", "pregnancies"),
        reason="who is to be reassessed",
    )
    return render_partial(request, "diary/index.html", context, partials={"diary": "diary"})


@require_safe
@requires(Fact.HEALTH)
def of_client(request: Request, pk: int) -> HttpResponse:
    """By when to reassess one client and why, as a part of her page, which notes the look."""
    context = _of_client(get_object_or_404(Client, pk=pk), request)
    return render(request, "diary/_of_client.html", context)


def _of_client(client: Client, request: Request) -> dict[str, Any]:
    """Hers, and whether it waits until it is resumed."""
    found = reassessment_of(client.pk, today(request))
    return {"client": client, "one": next(iter(found.found), None), "waits": bool(found.waiting)}


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.HEALTH, Access.CHANGE)
def snooze(request: Request, pk: int) -> HttpResponse:
    """Ask nothing before a day, for a reason; or ask again at once."""
    client = get_object_or_404(Client, pk=pk)
    if "end" in request.POST:
        actions.end_snooze(by=actor_of(request), client=client)
        messages.success(request, f"{client.name} is asked for again.")
        return _back(request, pk)
    form = SnoozeForm(request.POST if request.method == "POST" else None, client=pk)
    if done(form, lambda: actions.snooze(by=actor_of(request), client=client, **form.facts)):
        messages.success(request, f"{client.name} is snoozed.")
        return _back(request, pk)
    status, place = 422 if form.is_bound else 200, f"snooze-{pk}"
    context = {"client": client, "form": form, "back": request.POST.get("back") and "rhythm"}
    parts = {"diary": "form", place: "form"}
    answer = render_partial(request, "diary/snooze.html", context, partials=parts, status=status)
    return retarget(answer, f"#{place}") if request.htmx else answer


def _back(request: Request, pk: int) -> HttpResponse:
    """The list as it is now, in its place or by its address; or the page that it was sent from."""
    if request.htmx:
        return _page(request)
    return redirect("diary:rhythm", pk) if request.POST.get("back") else redirect("diary:index")


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.HEALTH, Access.CHANGE)
def rhythm(request: Request, pk: int) -> HttpResponse:
    """How often she is seen, with her snooze and what there is to resume."""
    client = get_object_or_404(Client, pk=pk)
    every = client.rhythm.every_weeks if hasattr(client, "rhythm") else None
    data = request.POST if request.method == "POST" else None
    form = IntervalForm(data, initial={"every_weeks": every})
    if done(form, lambda: actions.set_interval(
        by=actor_of(request), client=client, **form.cleaned_data)):  # fmt: skip
        messages.success(request, "Kept.")
        return redirect("diary:rhythm", pk)
    looked_at(request, client, ["assessments", "pregnancies"])
    context = {**_of_client(client, request), "form": form, "snooze": SnoozeForm(client=pk)}
    status = 422 if form.is_bound else 200
    return render(request, "diary/rhythm.html", context, status=status)


@require_POST
@requires(Fact.HEALTH, Access.CHANGE)
def resume(request: Request, pk: int) -> HttpResponse:
    """Ask for her again, after it was paused."""
    client = get_object_or_404(Client, pk=pk)
    actions.resume(by=actor_of(request), client=client)
    messages.success(request, f"{client.name} is asked for again.")
    return _back(request, pk)
