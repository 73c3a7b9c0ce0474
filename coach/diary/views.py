"""The page of who is to be reassessed, and why."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from coach.diary.queries import diary_page, reassessment_of
from coach.practice import audit
from coach.practice.http import Request, today
from coach.practice.permissions import Fact, requires


@require_safe
@requires(Fact.HEALTH)
def index(request: Request) -> HttpResponse:
    """Who is to be reassessed. Being asked for tells of measurements, so it is a health fact."""
    page = diary_page(today(request))
    audit.record(
        by=audit.actor_of(request),
        verb="looked at",
        fields=("assessments", "pregnancies"),
        reason="who is to be reassessed",
    )
    return render(request, "diary/index.html", {"page": page})


@require_safe
@requires(Fact.HEALTH)
def of_client(request: Request, pk: int) -> HttpResponse:
    """By when to reassess one client and why, as a part of her page, which notes the look."""
    found = reassessment_of(pk, today(request))
    return render(request, "diary/_of_client.html", {"one": found, "client_id": pk})
