"""Puts the practice on every request, and sends everything to the first page until there is one."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import redirect
from django.urls import reverse

from coach.practice import queries


class BeginFirst:
    """One query a request: `request.practice`, which every page prints in its masthead."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        practice = queries.practice_or_none()
        request.practice = practice  # type: ignore[attr-defined]  # see http.Request
        if practice is None and request.path_info != reverse("begin"):
            return redirect("begin")
        return self.get_response(request)
