"""Add a client, and change who she is and how to reach her."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from clients import actions
from clients.actions.from_enquiry import make_client
from clients.forms.client import ClientForm
from clients.forms.pregnancy import FirstPregnancyForm
from clients.models import Client, Enquiry
from clients.queries.enquiries import told_words
from clients.views.shared import is_step, looked_at, may_change_health
from coach.htmx import render_partial
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, may, requires

_PARTS = {"dating": "dating", "worked-out": "worked-out"}


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.CONTACT, Access.CHANGE)
def add(request: Request) -> HttpResponse:
    """A new client: name and time zone are enough; dates if they are known.

    From an enquiry what she told stands beside the dates and is filled in by nobody: a stage is
    counted from them.
    """
    enquiry = _enquiry(request)
    if enquiry and enquiry.client_id:
        return redirect("clients:client", enquiry.client_id)
    contact, first = _add_forms(request, enquiry)
    valid = [form.is_valid() for form in (contact, first) if form]
    if request.method == "POST" and not is_step(request) and all(valid):
        try:
            client = _added(request, contact, first, enquiry)
        except actions.Refused as refused:
            if first:
                first.refuse(refused.problems)
            else:
                contact.add_error(None, str(refused))
        else:
            messages.success(request, f"{client.name} is on the roster.")
            return redirect("clients:client", client.pk)
    context: dict[str, Any] = {"contact": contact, "form": first, "enquiry": enquiry}
    if enquiry and first:
        context["told"] = told_words(enquiry.told, enquiry.told_due)
    status = 422 if contact.is_bound else 200
    return render_partial(request, "clients/add.html", context, partials=_PARTS, status=status)


def _enquiry(request: Request) -> Enquiry | None:
    """The enquiry that the address names; None for none and for one that is not there."""
    wanted = request.GET.get("enquiry", "")
    if not (wanted.isascii() and wanted.isdigit() and len(wanted) < 19):
        return None
    return Enquiry.objects.filter(pk=int(wanted)).first()


def _added(
    request: Request,
    contact: ClientForm,
    first: FirstPregnancyForm | None,
    enquiry: Enquiry | None,
) -> Client:
    values = {**contact.cleaned_data, "pregnancy": first.facts if first else None}
    if enquiry:
        return make_client(by=actor_of(request), enquiry=enquiry, **values)
    return actions.add_client(by=actor_of(request), **values)


def _add_forms(
    request: Request, enquiry: Enquiry | None
) -> tuple[ClientForm, FirstPregnancyForm | None]:
    asks = may_change_health(request)
    sent: dict[str, Any] = {"data": request.POST or None}
    if is_step(request):
        sent = {"initial": request.POST.dict()}
    elif enquiry:
        sent["initial"] = {name: getattr(enquiry, name) for name in ("name", "phone", "email")}
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
