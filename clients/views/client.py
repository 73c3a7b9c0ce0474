"""A client's page, and the switches on it."""

from __future__ import annotations

from typing import Any, NamedTuple

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse, HttpResponseBadRequest
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_POST, require_safe

from clients import actions, queries
from clients.forms.client import QuietForm, StandingForm
from clients.forms.notes import EntryForm
from clients.models import Client, Standing
from clients.queries.enquiries import came_from
from clients.rules.go_ahead import may_except
from clients.rules.go_ahead_words import standing_words
from clients.rules.happened import HIDDEN, KINDS
from clients.rules.happened_writing import Reader
from clients.rules.notes import MESSAGE, NOTE
from clients.rules.profile import Profile, local_time, profile_of
from clients.rules.screening import condition_words
from clients.rules.where import Where, where_is
from clients.rules.word_alone import (
    IF_SHE_SAYS,
    bookable,
    exception_words,
    to_do,
)
from clients.rules.words import unless_quiet, words_for
from clients.views.progress import drawn
from clients.views.shared import ALL_HEALTH, looked_at
from coach import clock
from coach.htmx import render_partial
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, may, requires
from coach.practice.places import zone_label
from coach.scheduling.trimesters import SCHEMES

LINES_A_PAGE = 12
_SHOWN = (
    *ALL_HEALTH, "conditions", "consents", "entries", "exceptions", "intakes", "letters_out",
    "screenings",
)  # fmt: skip


class Button(NamedTuple):
    """A standing that she can be given, with the words around its button."""

    standing: Standing
    title: str
    label: str
    note: str


_BUTTONS = (
    Button(Standing.ACTIVE, "Coach her again", "take back", "She counts for the plan again."),
    Button(Standing.PAUSED, "She pauses", "pause", "No class is planned for her meanwhile."),
    Button(Standing.FORMER, "She leaves", "make former", "Everything about her stays."),
)
_SAID = {
    Standing.ACTIVE: "{} is coached again.",
    Standing.PAUSED: "{} pauses.",
    Standing.FORMER: "{} is no longer coached; everything about her stays.",
}


@require_safe
@requires(Fact.CONTACT)
def client(request: Request, pk: int) -> HttpResponse:
    """What is known of her, as far as the reader may know it, and what to do."""
    return her_page(request, get_object_or_404(Client, pk=pk))


def her_page(
    request: Request, found: Client, *, form: EntryForm | None = None, status: int = 200
) -> HttpResponse:
    """Her page, or of it the time line alone; `form`: a note that could not be kept."""
    sees_health = may(request.user, Fact.HEALTH)
    if sees_health:
        looked_at(request, found, _SHOWN)
    profile = _profile(request, found)
    context = {
        "client": found,
        "words": words_for(found.quiet),
        "local_time": local_time(clock.now(), found.time_zone, request.practice.time_zone),
        "zone": zone_label(found.time_zone),
        "note": unless_quiet(found.note, quiet=bool(found.quiet), instead=HIDDEN),
        "came_from": came_from(found),
        "standing_buttons": [button for button in _BUTTONS if button.standing != found.standing],
        "who_sees": queries.who_sees(),
        "profile": profile,
        "where": where_she_is(found) if may(request.user, Fact.LIMITS) else None,
        **_go_ahead(request, found),
    }
    parts = {}
    if sees_health and profile:
        context |= _happened(request, found, profile, form)
        parts = {"happened": "happened"}
    return render_partial(request, "clients/client.html", context, partials=parts, status=status)


def _profile(request: Request, found: Client) -> Profile | None:
    """Her stage and dates, as far as the reader may know them."""
    if not may(request.user, Fact.STAGE):
        return None
    sees_health, quiet = may(request.user, Fact.HEALTH), bool(found.quiet)
    named: dict[int, list[str]] = {}
    for row in queries.conditions_of(found) if sees_health else ():
        if row.pregnancy_id:
            words = condition_words(row.code, row.text, quiet=quiet)
            named.setdefault(row.pregnancy_id, []).append(words)
    return profile_of(
        queries.records_of(found),
        today(request),
        quiet=quiet,
        sees_health=sees_health,
        conditions=named,
        scheme=SCHEMES[request.practice.trimester_scheme],
    )


def where_she_is(found: Client) -> Where:
    """Her place by the date that it is where she is."""
    on = clock.today(found.time_zone)
    return where_is(queries.place_of(found), on, quiet=bool(found.quiet))


def _go_ahead(request: Request, found: Client) -> dict[str, Any]:
    """The go-ahead as far as the reader may know it."""
    sees_health, sees_limits = (may(request.user, fact) for fact in (Fact.HEALTH, Fact.LIMITS))
    if not may(request.user, Fact.GO_AHEAD):
        return {}
    now, go_ahead, quiet = today(request), queries.go_ahead_now(found), bool(found.quiet)
    shown: dict[str, Any] = {
        "standing": standing_words(
            go_ahead, now, quiet=quiet, sees_limits=sees_limits, sees_health=sees_health
        ),
    }
    if sees_health:
        row = queries.exception_on(found, now)
        shown["exception"] = row and exception_words(row.day, row.reason, quiet=quiet)
        shown["may_except"] = may_except(go_ahead) and row is None
    elif sees_limits:
        shown |= {"to_do": to_do(go_ahead), "if_she_says": IF_SHE_SAYS}
    else:
        shown["bookable"] = bookable(go_ahead.word)
    return shown


def _happened(
    request: Request, found: Client, profile: Profile, form: EntryForm | None
) -> dict[str, Any]:
    """The time line of the kind asked for, a page of it; and the forms to write into it."""
    kind, now = request.GET.get("kind", ""), today(request)
    writes = may(request.user, Fact.HEALTH, Access.CHANGE)
    reader = Reader(request.user.pk if writes else None, clock.now(), request.practice.time_zone)
    facts = queries.facts_for(found)
    kind = kind if kind in KINDS else ""
    history = queries.history_of(found, facts, profile.told, now, reader=reader, kind=kind)
    return {
        "history": history,
        "chart": drawn(history.chart) if history.chart else None,
        "kind": kind,
        "page": Paginator(history.events, LINES_A_PAGE).get_page(request.GET.get("page")),
        "writing": [
            form if form and form.kind == one else EntryForm(kind=one, today=now)
            for one in (NOTE, MESSAGE)
        ],
    }


@require_POST
@requires(Fact.CONTACT, Access.CHANGE)
def set_standing(request: Request, pk: int) -> HttpResponse:
    """Pause her, take her back, or say that she is no longer coached."""
    found, form = get_object_or_404(Client, pk=pk), StandingForm(request.POST)
    if not form.is_valid():
        return HttpResponseBadRequest("That is none of the standings.")
    standing = form.cleaned_data["standing"]
    actions.set_standing(by=actor_of(request), client=found, standing=standing)
    messages.success(request, _SAID[standing].format(found.name))
    return redirect("clients:client", pk)


@require_POST
@requires(Fact.HEALTH, Access.CHANGE)
def set_quiet(request: Request, pk: int) -> HttpResponse:
    """Turn quiet on or off."""
    found, form = get_object_or_404(Client, pk=pk), QuietForm(request.POST)
    if not form.is_valid():
        return HttpResponseBadRequest("Quiet is on or off.")
    quiet = form.cleaned_data["quiet"]
    actions.set_quiet(by=actor_of(request), client=found, quiet=quiet)
    messages.success(request, "Quiet is on." if quiet else "Quiet is off.")
    return redirect("clients:client", pk)
