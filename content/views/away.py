"""Days away: what would slip, doing it, taking it back. Plain forms throughout."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django.contrib import messages
from django.http import HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, requires
from content.actions import away as actions
from content.actions.uploads import Refused
from content.forms.away import AwayForm
from content.models import Away
from content.queries.away import slipping, times_away
from content.rules.away_words import gone_in_words, taken_back_in_words


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.CONTENT)
def away(request: Request) -> HttpResponseBase:
    """The form and the times away; with days asked for, what they would move; POST does it."""
    if request.method == "POST":
        return _go(request)
    asked = "first" in request.GET
    form = AwayForm(request.GET if asked else None, today=today(request))
    return _show(request, form, status=422 if asked and not form.is_valid() else 200)


@require_POST
@requires(Fact.CONTENT, Access.CHANGE)
def back(request: Request, pk: int) -> HttpResponse:
    """Take a time away back; says what could not return to its day."""
    try:
        found = actions.take_back(by=actor_of(request), away=get_object_or_404(Away, pk=pk))
    except Refused as refused:
        messages.error(request, str(refused))
        return redirect("uploads:away")
    messages.success(request, taken_back_in_words(found))
    for one in found:
        if one.why:
            messages.warning(request, f"“{one.title}” could not go back. {one.why}")
    return redirect("uploads:away")


@requires(Fact.CONTENT, Access.CHANGE)
def _go(request: Request) -> HttpResponse:
    form = AwayForm(request.POST, today=today(request))
    if not form.is_valid():
        return _show(request, form, status=422)
    try:
        done = actions.go_away(by=actor_of(request), **form.cleaned_data)
    except Refused as refused:
        form.add_error(None, str(refused))
        return _show(request, form, status=422)
    messages.success(request, gone_in_words(len(done.moved), len(done.days)))
    return redirect("uploads:away")


def _show(request: Request, form: AwayForm, *, status: int = 200) -> HttpResponse:
    on, found = today(request), None
    days = getattr(form, "cleaned_data", {})
    if days.get("first") and days.get("last"):
        found = slipping(days["first"], days["last"], today=on)
    context: dict[str, Any] = {
        "form": form,
        "found": found,
        "why": days.get("why", ""),
        "times": times_away(today=on),
        "tomorrow": on + timedelta(days=1),
        "sunday": on + timedelta(days=6 - on.weekday()),
    }
    return render(request, "content/away.html", context, status=status)
