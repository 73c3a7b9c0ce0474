"""The first page."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from coach.practice.http import Request, today
from coach.today.queries import today_page


@require_safe
def home(request: Request) -> HttpResponse:
    """What is next, and what needs whoever is signed in."""
    page = today_page(request.user, today=today(request))
    return render(request, "today/home.html", {"page": page})
