"""Where a person makes her feed address, and where calendar programs read it."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, HttpResponseBase, HttpResponseNotFound
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.cache import get_conditional_response
from django.utils.http import http_date
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_POST, require_safe

from coach import clock
from coach.feeds import actions, entries, queries
from coach.feeds.ical import CONTENT_TYPE, Calendar, etag, to_ical
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Fact, requires

P = ParamSpec("P")
View = Callable[Concatenate[Request, P], HttpResponseBase]


@require_safe
@requires(Fact.CONTENT)
def index(request: Request) -> HttpResponse:
    """Whether her address is switched on, when it was last read, and how to subscribe."""
    return render(request, "feeds/index.html", {"address": queries.live_address(request.user)})


@require_POST
@requires(Fact.CONTENT)
def make(request: Request) -> HttpResponse:
    """A new address, shown in this answer and never again."""
    token = actions.give_address(by=actor_of(request), person=request.user)
    address = request.build_absolute_uri(reverse("feeds:calendar", args=[token]))
    context = {"https": address, "webcal": f"webcal:{address.partition(':')[2]}"}
    response = render(request, "feeds/made.html", context)
    response.headers["Cache-Control"] = "no-store"
    response.headers["Referrer-Policy"] = "no-referrer"
    return response


@require_POST
@requires(Fact.CONTENT)
def switch_off(request: Request) -> HttpResponse:
    """No program can read her feed any more."""
    actions.withdraw_address(by=actor_of(request), person=request.user)
    messages.success(request, "The address is switched off. Nothing can read it any more.")
    return redirect("feeds:index")


def for_programs(view: View[P]) -> View[P]:
    """Neither sign-in nor cookie, and what is opened from the feed never hears of its address.

    A program that posts carries no CSRF token either: it is told 405, not 403.
    """

    @csrf_exempt
    @login_not_required
    @wraps(view)
    def answered(request: Request, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponseBase:
        response = view(request, *args, **kwargs)
        response.headers.setdefault("Cache-Control", "no-store")
        response.headers["Referrer-Policy"] = "no-referrer"
        # The sign-in middleware looks who it is for every page; this answer depends on no cookie.
        request.session.accessed = False
        return response

    return answered


@for_programs
@require_safe
def calendar(request: Request, token: str) -> HttpResponseBase:
    """The feed behind a secret address, for any program: no sign-in, no cookie."""
    address = queries.address_behind(token)
    if address is None:
        return HttpResponseNotFound("There is no such feed.\n", content_type="text/plain")
    actions.note_reading(address=address, now=clock.now())
    feed = entries.uploads_calendar(
        queries.uploads(),
        practice=request.practice,
        today=today(request),
        absolute=request.build_absolute_uri,
    )
    return _answer(request, feed)


def _answer(request: HttpRequest, feed: Calendar) -> HttpResponseBase:
    body = to_ical(feed)
    response = HttpResponse(
        body,
        content_type=CONTENT_TYPE,
        headers={
            "Cache-Control": "private, max-age=0, must-revalidate",
            "Content-Disposition": 'inline; filename="uploads.ics"',
            "ETag": etag(body),
            "Last-Modified": http_date(feed.stamp.timestamp()),
        },
    )
    # RFC 9110 section 13.2.2; a 304 repeats the headers that a 200 would have.
    modified = int(feed.stamp.timestamp())
    return get_conditional_response(request, etag(body), modified, response) or response
