"""Where a person makes her feed addresses, and where calendar programs read them."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import (
    HttpRequest,
    HttpResponse,
    HttpResponseBadRequest,
    HttpResponseBase,
    HttpResponseNotFound,
)
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.cache import get_conditional_response
from django.utils.http import http_date
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_POST, require_safe

from coach import clock
from coach.feeds import actions, entries, queries
from coach.feeds.ical import CONTENT_TYPE, Calendar, etag, to_ical
from coach.feeds.models import Kind
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Fact, requires

P = ParamSpec("P")
View = Callable[Concatenate[Request, P], HttpResponseBase]


def for_kind(view: View[[Kind]]) -> View[[]]:
    """The kind of feed that the form names (uploads if none): 400 for another, 403 for who may
    not see what it tells."""

    @wraps(view)
    def chosen(request: Request, /) -> HttpResponseBase:
        wanted = request.POST.get("kind", Kind.UPLOADS)
        if wanted not in Kind.values:
            return HttpResponseBadRequest("There is no such feed.\n", content_type="text/plain")
        kind = Kind(wanted)
        return requires(queries.FACT[kind])(view)(request, kind)

    return chosen


@require_safe
@requires(Fact.CONTENT)
def index(request: Request) -> HttpResponse:
    """Which of her addresses are switched on, when they were last read, and how to subscribe."""
    return render(request, "feeds/index.html", {"feeds": queries.addresses(request.user)})


@require_POST
@for_kind
def make(request: Request, kind: Kind) -> HttpResponse:
    """A new address, shown in this answer and never again."""
    token = actions.give_address(by=actor_of(request), person=request.user, kind=kind)
    address = request.build_absolute_uri(reverse("feeds:calendar", args=[token]))
    context = {"https": address, "webcal": f"webcal:{address.partition(':')[2]}", "kind": kind}
    response = render(request, "feeds/made.html", context)
    response.headers["Cache-Control"] = "no-store"
    response.headers["Referrer-Policy"] = "no-referrer"
    return response


@require_POST
@for_kind
def switch_off(request: Request, kind: Kind) -> HttpResponse:
    """No program can read that feed of hers any more."""
    actions.withdraw_address(by=actor_of(request), person=request.user, kind=kind)
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
    kind = Kind(address.kind)
    feed = entries.calendar_of(
        kind,
        practice=request.practice,
        today=today(request),
        absolute=request.build_absolute_uri,
    )
    return _answer(request, kind, feed)


def _answer(request: HttpRequest, kind: Kind, feed: Calendar) -> HttpResponseBase:
    body = to_ical(feed)
    response = HttpResponse(
        body,
        content_type=CONTENT_TYPE,
        headers={
            "Cache-Control": "private, max-age=0, must-revalidate",
            "Content-Disposition": f'inline; filename="{kind}.ics"',
            "ETag": etag(body),
            "Last-Modified": http_date(feed.stamp.timestamp()),
        },
    )
    # RFC 9110 section 13.2.2; a 304 repeats the headers that a 200 would have.
    modified = int(feed.stamp.timestamp())
    return get_conditional_response(request, etag(body), modified, response) or response
