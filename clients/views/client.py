"""A client's page, and the switches on it."""

from __future__ import annotations

from typing import Any, NamedTuple

from django.contrib import messages
from django.http import HttpResponse, HttpResponseBadRequest
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from clients import actions, queries
from clients.forms.client import QuietForm, StandingForm
from clients.models import Client, Standing
from clients.rules.go_ahead import go_ahead
from clients.rules.go_ahead_words import standing_words
from clients.rules.profile import Profile, local_time, profile_of
from clients.rules.words import words_for
from clients.views.shared import ALL_HEALTH, looked_at
from coach import clock
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, may, requires
from coach.practice.places import zone_label


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
    found = get_object_or_404(Client, pk=pk)
    sees_health = may(request.user, Fact.HEALTH)
    if sees_health:
        looked_at(request, found, ALL_HEALTH)
    context = {
        "client": found,
        "words": words_for(found.quiet),
        "local_time": local_time(clock.now(), found.time_zone, request.practice.time_zone),
        "zone": zone_label(found.time_zone),
        "standing_buttons": [button for button in _BUTTONS if button.standing != found.standing],
        "who_sees": queries.who_sees(),
    }
    profile = None
    if may(request.user, Fact.STAGE):
        records, quiet = queries.records_of(found), bool(found.quiet)
        profile = profile_of(records, today(request), quiet=quiet, sees_health=sees_health)
    context |= {"profile": profile, **_health(request, found, profile)}
    return render(request, "clients/client.html", context)


def _health(request: Request, found: Client, profile: Profile | None) -> dict[str, Any]:
    """The go-ahead as far as the reader may know it, and her history."""
    sees_health, now = may(request.user, Fact.HEALTH), today(request)
    if not may(request.user, Fact.GO_AHEAD):
        return {}
    facts = queries.facts_for(found)
    shown: dict[str, Any] = {
        "standing": standing_words(
            go_ahead(facts, now),
            now,
            quiet=bool(found.quiet),
            sees_limits=may(request.user, Fact.LIMITS),
            sees_health=sees_health,
        )
    }
    if sees_health and profile:
        shown["history"] = queries.history_of(found, facts, profile.told, now)
    return shown


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
