"""A warning sign: two taps from her page, at once what to do, and what follows the next day."""

from __future__ import annotations

from datetime import date
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clients import actions, queries
from clients.forms.sign import FollowUpForm, SignForm, WithdrawForm
from clients.models import Client, WarningSign
from clients.rules.facts import SignFact
from clients.rules.go_ahead import unanswered
from clients.rules.happened import HIDDEN
from clients.rules.warning_signs import sign_source, sign_words, signs_for, warning_signs
from clients.rules.words import unless_quiet
from clients.views.client import where_she_is
from clients.views.shared import done, kept, looked_at
from coach.practice import registry
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, Role, may, requires
from coach.scheduling.dates import stage_on

_FOLLOW_UP = ("advised_by", "advice", "graded_return")


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.HEALTH, Access.CHANGE)
def warning_sign(request: Request, pk: int) -> HttpResponse:
    """The list; a tap on one records it."""
    client = get_object_or_404(Client, pk=pk)
    now = today(request)
    dates = [record.facts.dates for record in queries.records_of(client)]
    signs = signs_for(stage_on(dates, now))
    form = SignForm(request.POST if request.method == "POST" else None, signs=signs, today=now)
    if form.is_valid():
        row = _there_already(client, form) or kept(form, lambda: actions.record_warning_sign(
            by=actor_of(request), client=client, **form.facts))  # fmt: skip
        if row:
            return redirect("clients:sign", pk, row.pk)
    looked_at(request, client, ["pregnancies"])
    context = {"client": client, "form": form, "signs": signs, "where": where_she_is(client)}
    status = 422 if form.is_bound else 200
    return render(request, "clients/signs.html", context, status=status)


def _there_already(client: Client, form: SignForm) -> SignFact | None:
    """The same sign of the same day, still unanswered: a thumb taps twice."""
    names = ("code", "happened_on", "text")
    wanted = tuple(form.facts[name] for name in names)
    waiting = unanswered(queries.facts_for(client), form.today)
    return next((s for s in waiting if (s.code, s.happened_on, s.text) == wanted), None)


@require_safe
@requires(Fact.HEALTH)
def sign(request: Request, pk: int, which: int) -> HttpResponse:
    """What to do now: emergency help first, stop, refer, on hold until it is answered by name."""
    return _page(request, _found(pk, which), FollowUpForm())


@require_POST
@requires(Fact.HEALTH, Access.CHANGE)
def follow_up(request: Request, pk: int, which: int) -> HttpResponse:
    """Close the follow-up: who advised what, and how she goes back. It lifts nothing."""
    found, form = _found(pk, which), FollowUpForm(request.POST)
    if done(form, lambda: actions.close_follow_up(
        by=actor_of(request), sign=found, **form.cleaned_data)):  # fmt: skip
        messages.success(request, "Followed up.")
        return redirect("clients:sign", pk, which)
    return _page(request, found, form, status=422)


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.HEALTH, Access.CHANGE)
def withdraw_sign(request: Request, pk: int, which: int) -> HttpResponse:
    """It was tapped by mistake today: it counts no more and stays in the history."""
    found = _found(pk, which)
    form = WithdrawForm(request.POST if request.method == "POST" else None)
    if done(form, lambda: actions.withdraw_warning_sign(
        by=actor_of(request), sign=found, reason=form.cleaned_data["reason"])):  # fmt: skip
        messages.success(request, "Withdrawn: it counts for nothing from now on.")
        return redirect("clients:client", pk)
    looked_at(request, found, ["code", "text", "happened_on"])
    context = {"client": found.client, "form": form, "what": _label(found)}
    status = 422 if form.is_bound else 200
    return render(request, "clients/withdraw.html", context, status=status)


def _found(pk: int, which: int) -> WarningSign:
    rows = WarningSign.objects.select_related("client")
    return get_object_or_404(rows, pk=which, client_id=pk)


def _label(found: WarningSign) -> str:
    return sign_words(found.code, found.text, quiet=bool(found.client.quiet))


def _page(
    request: Request, found: WarningSign, form: FollowUpForm, *, status: int = 200
) -> HttpResponse:
    client = found.client
    looked_at(request, found, ["code", "text", "happened_on"])
    open_signs = unanswered(queries.facts_for(client), today(request))
    context = {
        "client": client,
        "sign": found,
        "kind": warning_signs().get(found.code),
        "source": sign_source(found.code),
        "label": _label(found),
        "given": _given(client),
        "waits": found.pk in {one.pk for one in open_signs},
        "where": where_she_is(client),
        "form": form,
        "followed_up": _typed(found, *_FOLLOW_UP) if found.followed_up_on else [],
        "withdrawn_reason": _typed(found, "withdrawn_reason")[0],
        "may_withdraw": _may_withdraw(request, found),
    }
    return render(request, "clients/sign.html", context, status=status)


def _given(client: Client) -> list[tuple[date, str]]:
    """The classes that she has: each title as far as her page may hold it."""
    quiet = bool(client.quiet)
    return [
        (day, unless_quiet(title, quiet=quiet, instead=HIDDEN))
        for day, title in registry.given(client.pk)
    ]


def _typed(found: WarningSign, *names: str) -> list[str]:
    """What somebody typed, as far as her page may hold it."""
    quiet = bool(found.client.quiet)
    return [unless_quiet(getattr(found, name), quiet=quiet, instead=HIDDEN) for name in names]


def _may_withdraw(request: Request, found: WarningSign) -> bool:
    """Whether the link to take it back is shown; the action itself decides."""
    zone = ZoneInfo(request.practice.time_zone)
    is_of_today = found.created_at.astimezone(zone).date() == today(request)
    hers = request.user.role == Role.OWNER and may(request.user, Fact.HEALTH, Access.CHANGE)
    return hers and is_of_today and not (found.withdrawn_on or found.intake_id)
