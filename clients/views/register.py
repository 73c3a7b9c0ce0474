"""The register: everyone being coached by her go-ahead word."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from clients import queries
from clients.rules.go_ahead_words import by_word
from clients.rules.roster import Sort
from coach.practice.http import Request, today
from coach.practice.permissions import Fact, may, requires

DAYS_AHEAD = 30


@require_safe
@requires(Fact.GO_AHEAD)
def register(request: Request) -> HttpResponse:
    """Those on hold first; then the letters that run out soon, for who may see until when."""
    now = today(request)
    with_stage = may(request.user, Fact.STAGE)
    found = queries.roster(now, with_stage=with_stage, sort=Sort.WORD)
    context = {"groups": by_word(found.lines), "days": DAYS_AHEAD}
    if may(request.user, Fact.LIMITS):
        context["running_out"] = queries.letters_running_out(now, DAYS_AHEAD)
    return render(request, "clients/register.html", context)
