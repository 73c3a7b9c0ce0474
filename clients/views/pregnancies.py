"""Add and change a pregnancy, and record how it ended."""

from __future__ import annotations

from typing import Any, TypeVar

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_http_methods

from clients import actions, queries
from clients.forms.pregnancy import PregnancyForm
from clients.forms.pregnancy_changes import ChangePregnancyForm, EndForm
from clients.models import Client, Pregnancy
from clients.rules.words import words_for
from clients.views.shared import is_step, kept, looked_at
from coach.htmx import render_partial
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, requires
from coach.scheduling.dates import Ending

_PARTS = {"dating": "dating", "worked-out": "worked-out"}
_Form = TypeVar("_Form", bound=PregnancyForm)


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.STAGE, Access.CHANGE)
@requires(Fact.HEALTH, Access.CHANGE)
def add_pregnancy(request: Request, pk: int) -> HttpResponse:
    """A pregnancy that runs or is over."""
    client = get_object_or_404(Client, pk=pk)
    form = _form(PregnancyForm, request, client)
    if _sent_right(request, form) and form.facts:
        facts = form.facts
        if kept(form, lambda: actions.add_pregnancy(
            by=actor_of(request), client=client, facts=facts)):  # fmt: skip
            return _back(request, client)
    return _page(request, client, form, words_for(client.quiet).add)


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.STAGE, Access.CHANGE)
@requires(Fact.HEALTH, Access.CHANGE)
def edit_pregnancy(request: Request, pk: int, which: int) -> HttpResponse:
    """Change one; another due date asks for a reason."""
    pregnancy = _found(pk, which)
    stored = queries.facts_of(pregnancy)
    initial = ChangePregnancyForm.initial_from(stored)
    form = _form(ChangePregnancyForm, request, pregnancy.client, kept=stored, initial=initial)
    if _sent_right(request, form) and form.facts:
        facts, reason = form.facts, form.cleaned_data["reason"]
        if kept(form, lambda: actions.change_pregnancy(
            by=actor_of(request), pregnancy=pregnancy, facts=facts, reason=reason)):  # fmt: skip
            return _back(request, pregnancy.client)
    looked_at(request, pregnancy, initial)
    return _page(request, pregnancy.client, form, words_for(pregnancy.client.quiet).one)


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.STAGE, Access.CHANGE)
@requires(Fact.HEALTH, Access.CHANGE)
def record_end(request: Request, pk: int, which: int) -> HttpResponse:
    """How and when it ended, once; corrections are made where it is changed."""
    pregnancy = _found(pk, which)
    if pregnancy.ending:
        return redirect("clients:edit_pregnancy", pk, which)
    form = _form(EndForm, request, pregnancy.client)
    if _sent_right(request, form) and (facts := form.facts) and facts.ended:
        ended = facts.ended
        if kept(form, lambda: actions.record_end(
            by=actor_of(request), pregnancy=pregnancy, ending=Ending(facts.ending), ended=ended,
            **facts.of_the_end)):  # fmt: skip
            return _back(request, pregnancy.client)
    return _page(request, pregnancy.client, form, "How it ended")


def _found(pk: int, which: int) -> Pregnancy:
    return get_object_or_404(Pregnancy.objects.select_related("client"), pk=which, client_id=pk)


def _form(
    kind: type[_Form], request: Request, client: Client, *, initial: Any = None, **kwargs: Any
) -> _Form:
    """The form: empty or as kept; as sent; or, for a step, showing what was typed unjudged."""
    if is_step(request):
        initial = request.POST.dict()
    data = request.POST if request.method == "POST" and not is_step(request) else None
    return kind(data, initial=initial, today=today(request), quiet=client.quiet, **kwargs)


def _sent_right(request: Request, form: PregnancyForm) -> bool:
    return request.method == "POST" and form.is_valid()


def _back(request: Request, client: Client) -> HttpResponse:
    messages.success(request, "Kept.")
    return redirect("clients:client", client.pk)


def _page(request: Request, client: Client, form: PregnancyForm, title: str) -> HttpResponse:
    context = {"client": client, "form": form, "title": title}
    status = 422 if form.is_bound else 200
    return render_partial(
        request, "clients/pregnancy.html", context, partials=_PARTS, status=status
    )
