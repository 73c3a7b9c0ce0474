"""The first page of a new practice, and nothing once there is one."""

from __future__ import annotations

import os

from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from coach.practice import actions, queries
from coach.practice.forms import BeginForm

_BACKEND = "allauth.account.auth_backends.AuthenticationBackend"


@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def begin(request: HttpRequest) -> HttpResponse:
    """Make the owner and the business, given the one-time code that `start` printed."""
    if queries.practice_or_none():
        raise Http404
    form = BeginForm(request.POST or None, expected_code=os.environ.get("COACH_BEGIN_CODE", ""))
    if request.method == "POST" and form.is_valid():
        owner = actions.begin(
            practice=form.practice_values(),
            name=form.cleaned_data["your_name"],
            email=form.cleaned_data["email"],
            password=form.cleaned_data["password"],
            address=request.META.get("REMOTE_ADDR"),
        )
        login(request, owner, _BACKEND)
        return redirect("home")
    return render(request, "practice/begin.html", {"form": form})
