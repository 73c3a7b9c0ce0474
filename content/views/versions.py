"""A version of a class for a stage or for one client: what would change, to accept one by one."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from clients.models import Client
from coach.practice import audit
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, may, requires
from coach.scheduling.values import SERVABLE_STAGES, Stage
from content.actions.uploads import Refused
from content.actions.versions import make_version
from content.models import FitnessClass
from content.queries.versions import Version, version_for_client, version_for_stage
from content.views.suits import MARKS

GET_AND_POST = ("GET", "HEAD", "POST")
SHOWN = ("assessments", "pregnancies", "clearances", "conditions")


@require_http_methods(GET_AND_POST)
@requires(Fact.CONTENT, Access.CHANGE)
def version(request: Request, pk: int, code: str) -> HttpResponse:
    """A class rewritten for a stage."""
    item = get_object_or_404(FitnessClass, pk=pk)
    try:
        stage = Stage(code)
    except ValueError:
        raise Http404("no such stage") from None
    if stage not in SERVABLE_STAGES:
        raise Http404("no class is made for this stage")
    context = {"whom": stage.label, "stages": SERVABLE_STAGES, "stage": stage}
    return _answer(request, version_for_stage(item, stage), f"{item.title}, {stage.label}", context)


@require_http_methods(GET_AND_POST)
@requires(Fact.HEALTH)
def version_for(request: Request, pk: int, client: int) -> HttpResponse:
    """A class rewritten for one client, by what is recorded of her today."""
    item = get_object_or_404(FitnessClass, pk=pk)
    her = get_object_or_404(Client, pk=client)
    if request.method == "POST" and not may(request.user, Fact.CONTENT, Access.CHANGE):
        return HttpResponse(status=403)
    audit.record(by=actor_of(request), verb="looked at", subject=her, fields=SHOWN)
    found = version_for_client(item, her, today(request))
    # The title is published: it never carries her name.
    context = {"client": her, "whom": her.name}
    return _answer(request, found, f"{item.title}, second version", context)


def _answer(request: Request, found: Version, title: str, context: dict[str, Any]) -> HttpResponse:
    wrong, status, ticked = "", 200, [one.change.key for one in found.lines]
    if request.method == "POST":
        title, ticked = request.POST.get("title", ""), request.POST.getlist("changes")
        accepted = found.accepted(ticked)
        try:
            made = make_version(by=actor_of(request), item=found.item, title=title,
                                accepted=accepted)  # fmt: skip
        except Refused as refused:
            wrong, status = str(refused), 422
        else:
            messages.success(request, f"“{made.title}” is made: look at it as a whole.")
            return redirect("classes:design", made.pk)
    context |= {
        "item": found.item, "found": found, "title": title, "wrong": wrong, "ticked": ticked,
        "can_make": may(request.user, Fact.CONTENT, Access.CHANGE),
        "any": any(one.new for one in found.lines),
        "comes_to": MARKS[found.after.verdict],
    }  # fmt: skip
    return render(request, "content/version.html", context, status=status)
