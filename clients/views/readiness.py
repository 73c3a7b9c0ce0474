"""Readiness for impact, and how she was the day after her tests."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from clients import actions
from clients.forms.readiness import NextDayForm
from clients.models import Client
from clients.queries.days import days_of
from clients.queries.readiness import readiness_of, to_ask_after
from clients.rules.go_ahead_words import not_checked_words
from clients.rules.impact_tests import Result
from clients.rules.measuring import YES
from clients.rules.readiness_policy import positions, rules
from clients.rules.readiness_tests import Outcome
from clients.rules.readiness_words import Missing
from clients.views.shared import done, looked_at
from coach.htmx import render_partial
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, requires

_SHOWN = ("assessments", "clearances", "conditions", "pregnancies", "screenings", "signs")
_MARKS = {Result.PASS: "done", Result.FAIL: "missed", Result.INCOMPLETE: "waiting"}
_DATES = ("stage", "operation")
_LETTERS = ("go-ahead", "limit", "limit-in-words", "gentle")


class Line(NamedTuple):
    """One thing that is missing, and where it is mended; "" for what only time mends."""

    missing: Missing
    url: str
    label: str


class TestRow(NamedTuple):
    """One test with the mark of its latest result."""

    outcome: Outcome
    mark: str


@require_safe
@requires(Fact.HEALTH)
def readiness(request: Request, pk: int) -> HttpResponse:
    """What is missing; for htmx the part that other pages hold, whose look those note."""
    client = get_object_or_404(Client, pk=pk)
    found = readiness_of(client, today(request))
    to_ask = to_ask_after(client, found)
    context = {
        "client": client,
        "found": found,
        "lines": [_line(client, one, to_ask) for one in found.told],
        "tests": [TestRow(one, _MARKS.get(one.result, "not known")) for one in found.tests],
        "unchecked": not_checked_words(found.unchecked),
        "positions": positions(),
        "asked": rules().values(),
    }
    if not request.htmx:
        looked_at(request, client, _SHOWN)
    return render_partial(
        request, "clients/readiness.html", context, partials={"readiness": "readiness"}
    )


def _line(client: Client, one: Missing, to_ask: Sequence[tuple[UUID, date]]) -> Line:
    """Where each kind is mended."""
    if one.kind == "time":
        return Line(one, "", "")
    if one.kind == "next-day" and to_ask:
        return Line(one, reverse("clients:next_day", args=(client.pk, to_ask[0][0])), "ask")
    if one.kind in _DATES:
        return Line(one, reverse("clients:client", args=(client.pk,)), "her dates")
    if one.kind in _LETTERS:
        return Line(one, reverse("clients:add_clearance", args=(client.pk,)), "a letter")
    return Line(one, reverse("clients:assess", args=(client.pk,)), "assess")


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.HEALTH, Access.CHANGE)
def next_day(request: Request, pk: int, key: UUID) -> HttpResponse:
    """Whether she had symptoms after the tests; nothing is chosen beforehand."""
    client = get_object_or_404(Client, pk=pk)
    row = get_object_or_404(client.assessments, key=key)
    sent = request.POST if request.method == "POST" else None
    form = NextDayForm(sent, initial={"on": days_of(client).later})
    if done(form, lambda: actions.record_next_day(
        by=actor_of(request), assessment=row, **form.cleaned_data)):  # fmt: skip
        _say(request, form.cleaned_data["answer"])
        return redirect("clients:readiness", pk)
    looked_at(request, client, ["assessments"])
    context = {"client": client, "form": form, "assessment": row}
    status = 422 if form.is_bound else 200
    return render(request, "clients/next_day.html", context, status=status)


def _say(request: Request, answer: str) -> None:
    if answer == YES:
        messages.warning(
            request, "Kept. If it is new or worse, it may be a warning sign: record that as well."
        )
    else:
        messages.success(request, "Kept: nothing the day after.")
