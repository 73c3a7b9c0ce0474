"""Take an assessment, continue one, put one right, say that one was a mistake."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any
from uuid import UUID, uuid4
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clients import actions, queries
from clients.actions.measuring import GONE, Saved, save_and_finish
from clients.forms.assessment import Entry
from clients.forms.assessment_lines import Beside, typed_of
from clients.forms.withdrawing import WithdrawAssessmentForm
from clients.models import Assessment, Client
from clients.queries.entry import EntryFacts, entry_facts
from clients.queries.measuring import assessment_by_key, unfinished_of
from clients.rules.entry_words import begun_words
from clients.rules.go_ahead_words import standing_words
from clients.rules.readiness_tests import was_tested
from clients.views.shared import done, looked_at
from coach import clock
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, requires
from coach.scheduling.values import GoAheadWord

GET_AND_POST = ("GET", "HEAD", "POST")
_SHOWN = ("assessments", "pregnancies", "clearances")


@require_safe
@requires(Fact.HEALTH, Access.CHANGE)
def assess(request: Request, pk: int) -> HttpResponse:
    """The one that was begun, or a fresh page; nothing is kept before the first value."""
    client = get_object_or_404(Client, pk=pk)
    row = None if "new" in request.GET else unfinished_of(client)
    return _page(request, client, row, row.key if row else uuid4())


@require_http_methods(GET_AND_POST)
@requires(Fact.HEALTH, Access.CHANGE)
def assessment(request: Request, pk: int, key: UUID) -> HttpResponse:
    """Continue one or put it right; sent as a whole, it is kept and finished."""
    client = get_object_or_404(Client, pk=pk)
    row = assessment_by_key(client, key)
    if row and row.withdrawn_on:
        messages.info(request, GONE)
        return redirect("clients:client", pk)
    if request.method != "POST":
        return _page(request, client, row, key)
    typed, sure = typed_of(request.POST), request.POST.getlist("sure")
    try:
        saved = save_and_finish(
            by=actor_of(request), client=client, key=key, typed=typed, sure=sure
        )
    except actions.Refused as refused:
        saved = Saved(None, refused.problems)
    if saved.assessment and not saved.problems and not saved.asked:
        messages.success(request, _kept_words(saved.assessment))
        return redirect("clients:assessments", pk)
    row = assessment_by_key(client, key)
    return _page(request, client, row, key, typed=typed, saved=saved, status=422)


def _kept_words(row: Assessment) -> str:
    after = " Ask her tomorrow how she was." if was_tested(row.measures) else ""
    return f"Kept.{after}"


@require_POST
@requires(Fact.HEALTH, Access.CHANGE)
def save_assessment(request: Request, pk: int, key: UUID) -> HttpResponse:
    """A part of it, as it is typed: what was kept, and what stands beside the fields."""
    client = get_object_or_404(Client, pk=pk)
    typed = typed_of(request.POST)
    refused, problems = "", []
    try:
        saved = actions.save_assessment(by=actor_of(request), client=client, key=key, typed=typed)
        problems = saved.problems
        refused = " ".join(one.words for one in saved.asked)
    except actions.Refused as found:
        refused = " ".join(one.sentence for one in found.problems)
    row = assessment_by_key(client, key)
    facts = entry_facts(client, row, _day(request, row), user=request.user)
    entry = _entry(request, facts, typed=typed, beside=Beside.of(problems))
    context = {
        "row": row, "kept_at": _local(request, row), "refused": refused, "client": client,
        "entry": entry, "lines": entry.lines_of(typed), "tests": entry.tests,
    }  # fmt: skip
    return render(request, "clients/assess/saved.html", context)


@require_http_methods(GET_AND_POST)
@requires(Fact.HEALTH, Access.CHANGE)
def withdraw_assessment(request: Request, pk: int, key: UUID) -> HttpResponse:
    """Say that it was a mistake, with the reason; what was never begun is dropped."""
    client = get_object_or_404(Client, pk=pk)
    row = get_object_or_404(Assessment, client=client, key=key)
    form = WithdrawAssessmentForm(request.POST if request.method == "POST" else None)
    if done(form, lambda: _withdrawn(request, row, form)):
        messages.success(request, "It counts for nothing any more.")
        return redirect("clients:client", pk)
    context = {"client": client, "row": row, "form": form}
    status = 422 if form.is_bound else 200
    return render(request, "clients/assess/withdraw.html", context, status=status)


def _withdrawn(request: Request, row: Assessment, form: WithdrawAssessmentForm) -> bool:
    reason = form.cleaned_data["reason"]
    actions.withdraw_assessment(by=actor_of(request), assessment=row, reason=reason)
    return True


def _page(
    request: Request,
    client: Client,
    row: Assessment | None,
    key: UUID,
    *,
    typed: dict[str, str] | None = None,
    saved: Saved | None = None,
    status: int = 200,
) -> HttpResponse:
    """The page of one, with what a request held over what is kept."""
    looked_at(request, client, _SHOWN)
    facts = entry_facts(client, row, _day(request, row), user=request.user)
    if facts.refused and typed is None:
        return _closed(request, client, facts)
    beside = Beside.of(saved.problems, saved.asked) if saved else Beside()
    entry = _entry(request, facts, typed=typed, beside=beside)
    names = {"pk": client.pk, "key": key}
    context = {
        "client": client, "row": row, "key": key, "entry": entry, "looks": entry.looks,
        "here": reverse("clients:assessment", kwargs=names),
        "save_to": reverse("clients:save_assessment", kwargs=names),
        "mine": request.user.pk,
        "finished": bool(row and row.finished_at),
        "kept_at": _local(request, row),
        "begun": _begun(request, row),
        "another": _another(request, client, row),
        "on_hold": facts.found.word is GoAheadWord.ON_HOLD,
    }  # fmt: skip
    return render(request, "clients/assess.html", context, status=status)


def _entry(
    request: Request, facts: EntryFacts, *, typed: dict[str, str] | None, beside: Beside
) -> Entry:
    return Entry(facts, you=request.user.name, today=today(request), typed=typed, beside=beside)


def _day(request: Request, row: Assessment | None) -> date:
    return row.day if row else today(request)


def _local(request: Request, row: Assessment | None) -> Any:
    zone = ZoneInfo(request.practice.time_zone)
    return row.changed_at.astimezone(zone) if row else None


def _begun(request: Request, row: Assessment | None) -> str:
    """When one that is not finished was begun."""
    if row is None or row.finished_at:
        return ""
    zone = ZoneInfo(request.practice.time_zone)
    return begun_words(row.created_at.astimezone(zone), clock.now().astimezone(zone))


def _another(request: Request, client: Client, row: Assessment | None) -> str:
    """Where to begin one for today beside one that was begun on another day."""
    if row is None or row.finished_at or row.day == today(request):
        return ""
    return f"{reverse('clients:assess', args=[client.pk])}?new=1"


def _closed(request: Request, client: Client, facts: EntryFacts) -> HttpResponse:
    """She is on hold: nothing is begun, and what to do instead."""
    quiet = bool(client.quiet)
    standing = standing_words(
        facts.found, today(request), quiet=quiet, sees_limits=True, sees_health=True
    )
    signs: Sequence[Any] = queries.unanswered_signs(client, on=today(request))
    context = {
        "client": client, "refused": facts.refused, "standing": standing,
        "sign": signs[0] if signs else None,
    }  # fmt: skip
    return render(request, "clients/assess/closed.html", context)
