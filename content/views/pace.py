"""The pace of publishing, and what the roster will need."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from coach.practice.http import Request, today
from coach.practice.permissions import Fact, may, requires
from content.queries.pace import whole_pace


@require_safe
@requires(Fact.CONTENT)
def pace(request: Request) -> HttpResponse:
    """The strip of weeks with its figures; the table of stages for who may see them."""
    sees_stages = may(request.user, Fact.STAGE)
    page = whole_pace(today=today(request), with_needs=sees_stages)
    return render(request, "content/pace.html", {"page": page})
