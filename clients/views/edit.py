"""Add a client, and change who she is and how to reach her."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from clients import actions
from clients.forms.client import ClientForm
from clients.forms.pregnancy import FirstPregnancyForm
from clients.models import Client
from clients.views.shared import is_step, looked_at, may_change_health
from coach.htmx import render_partial
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, may, requires

_PARTS = {"dating": "dating", "worked-out": "worked-out"}


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.CONTACT, Access.CHANGE)
def add(request: Request) -> HttpResponse:
    """A new client: name and time zone are enough; dates if they are known."""
    contact, first = _add_forms(request)
    valid = [form.is_valid() for form in (contact, first) if form]
    if request.method == "POST" and not is_step(request) and all(valid):
        try:
            client = actions.add_client(
                by=actor_of(request),
                **contact.cleaned_data,
                pregnancy=first.facts if first else None,
            )
        except actions.Refused as refused:
            if first:
                first.refuse(refused.problems)
        else:
            messages.success(request, f"{client.name} is on the roster.")
            return redirect("clients:client", client.pk)
    context = {"contact": contact, "form": first}
    status = 422 if contact.is_bound else 200
    return render_partial(request, "clients/add.html", context, partials=_PARTS, status=status)


def _add_forms(request: Request) -> tuple[ClientForm, FirstPregnancyForm | None]:
    asks = may_change_health(request)
    sent = {"initial": request.POST.dict()} if is_step(request) else {"data": request.POST or None}
    contact = ClientForm(**sent, here=request.practice.time_zone, with_note=asks)
    return contact, FirstPregnancyForm(**sent, today=today(request)) if asks else None


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.CONTACT, Access.CHANGE)
def edit(request: Request, pk: int) -> HttpResponse:
    """Her name, how to reach her, her time zone; the note for those who may."""
    client = get_object_or_404(Client, pk=pk)
    form = ClientForm(
        request.POST or None,
        initial=ClientForm.initial_from(client),
        here=request.practice.time_zone,
        with_note=may(request.user, Fact.HEALTH, Access.CHANGE),
    )
    if request.method == "POST" and form.is_valid():
        actions.change_client(by=actor_of(request), client=client, **form.cleaned_data)
        messages.success(request, "Kept.")
        return redirect("clients:client", pk)
    if "note" in form.fields:
        looked_at(request, client, ["note"])
    context = {"client": client, "form": form}
    return render(request, "clients/edit.html", context, status=422 if form.is_bound else 200)
