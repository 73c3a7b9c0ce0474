"""Enquiries: the list, somebody new in a moment, her page, the next step, her form, the end."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clients.actions import Refused
from clients.actions import enquiries as actions
from clients.forms.enquiry import (
    AddEnquiryForm,
    CloseForm,
    EnquiryFilterForm,
    EnquiryForm,
    StepForm,
)
from clients.models import Enquiry
from clients.queries import enquiries as queries
from clients.rules import enquiries as rules
from clients.views.shared import kept, looked_at
from coach.htmx import render_partial
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, may, requires

ENQUIRIES_A_PAGE = 25


@require_safe
@requires(Fact.CONTACT)
def enquiries(request: Request) -> HttpResponse:
    """Everybody who wrote, those first who wait for an answer; and what brings who stays."""
    form, now = EnquiryFilterForm(request.GET, auto_id="filter_%s"), today(request)
    everybody = queries.enquired()
    page = Paginator(form.found(everybody), ENQUIRIES_A_PAGE).get_page(request.GET.get("page"))
    sees_stage = may(request.user, Fact.STAGE)
    told = queries.told_by(one.pk for one in page) if sees_stage else {}
    context = {
        "form": form,
        "page": page,
        "lines": [rules.line_of(one, now, told=told.get(one.pk, "")) for one in page],
        "late": sum(one.late(now) for one in everybody),
        "classes": rules.by_class(everybody, queries.class_titles()),
        "places": rules.by_place(everybody),
    }
    parts = {"enquiries": "enquiries"}
    return render_partial(request, "clients/enquiries.html", context, partials=parts)


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.CONTACT, Access.CHANGE)
def add_enquiry(request: Request) -> HttpResponse:
    """A name and one way to reach her are enough."""
    form = AddEnquiryForm(
        request.POST if request.method == "POST" else None,
        places=queries.places(),
        titles=queries.class_titles(),
        **_shown(request),
    )
    if form.is_valid():
        values = form.values(today(request))
        if made := kept(form, lambda: actions.add_enquiry(by=actor_of(request), **values)):
            messages.success(request, f"{made.name} is kept.")
            return redirect("clients:enquiries")
    status = 422 if form.is_bound else 200
    context = {"form": form, "steps": rules.STEPS}
    return render(request, "clients/enquiry_add.html", context, status=status)


def _shown(request: Request) -> dict[str, bool]:
    """Which facts beyond the ways to reach her this person may change."""
    return {
        "with_stage": may(request.user, Fact.STAGE, Access.CHANGE),
        "with_note": may(request.user, Fact.HEALTH, Access.CHANGE),
    }


@require_safe
@requires(Fact.CONTACT)
def enquiry(request: Request, enquiry: int) -> HttpResponse:
    """What is known of her and what is next."""
    return _her_page(request, _found(enquiry))


def _found(pk: int) -> Enquiry:
    return get_object_or_404(Enquiry.objects.select_related("client"), pk=pk)


def _her_page(
    request: Request, row: Enquiry, *, step: StepForm | None = None, close: CloseForm | None = None
) -> HttpResponse:
    """Her page; `step` and `close`: a form that could not be kept."""
    one, now = queries.as_enquired(row), today(request)
    context = {
        "enquiry": one,
        "line": rules.line_of(one, now),
        "client": row.client,
        "form_made": queries.latest_form(row),
        "steps": rules.STEPS,
        **_told(request, row, quiet=one.quiet),
    }
    if one.running and may(request.user, Fact.CONTACT, Access.CHANGE):
        context |= {
            "step": step or StepForm(),
            "close": close or CloseForm(),
            "reasons": queries.reasons(),
        }
    status = 422 if step or close else 200
    return render(request, "clients/enquiry.html", context, status=status)


def _told(request: Request, row: Enquiry, *, quiet: bool) -> dict[str, Any]:
    """What she told and the note, for who may see each; a quiet client's page has neither."""
    if quiet:
        return {}
    told: dict[str, Any] = {}
    if may(request.user, Fact.STAGE):
        told["told"] = queries.told_words(row.told, row.told_due)
    if row.note and may(request.user, Fact.HEALTH):
        looked_at(request, row, ["note"])
        told["note"] = row.note
    return told


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.CONTACT, Access.CHANGE)
def edit_enquiry(request: Request, enquiry: int) -> HttpResponse:
    """Who she is, how she is reached, where from; what she told for those who may."""
    row = _found(enquiry)
    quiet = bool(row.client and row.client.quiet)
    form = EnquiryForm(
        request.POST if request.method == "POST" else None,
        enquiry=row,
        places=queries.places(quiet=quiet),
        titles=queries.class_titles(),
        quiet=quiet,
        **_shown(request),
    )
    if form.is_valid():
        values = form.about()
        if kept(form, lambda: actions.change_enquiry(by=actor_of(request), enquiry=row, **values)):
            messages.success(request, "Kept.")
            return redirect("clients:enquiry", enquiry)
    if row.note and "note" in form.fields:
        looked_at(request, row, ["note"])
    status = 422 if form.is_bound else 200
    context = {"form": form, "enquiry": row}
    return render(request, "clients/enquiry_edit.html", context, status=status)


@require_POST
@requires(Fact.CONTACT, Access.CHANGE)
def next_step(request: Request, enquiry: int) -> HttpResponse:
    """The step so far is done; what comes next, or nothing."""
    row, form = _found(enquiry), StepForm(request.POST)
    if form.is_valid():
        values = form.step(today(request))
        if kept(form, lambda: actions.set_next_step(by=actor_of(request), enquiry=row, **values)):
            messages.success(request, "Done, and the next step is kept.")
            return redirect("clients:enquiries")
    return _her_page(request, row, step=form)


@require_POST
@requires(Fact.CONTACT, Access.CHANGE)
def close_enquiry(request: Request, enquiry: int) -> HttpResponse:
    """Nothing comes of it."""
    row, form = _found(enquiry), CloseForm(request.POST)
    if form.is_valid():
        why = form.cleaned_data["why"]
        if kept(form, lambda: actions.close_enquiry(by=actor_of(request), enquiry=row, why=why)):
            messages.success(request, f"The enquiry of {row.name} is closed.")
            return redirect("clients:enquiries")
    return _her_page(request, row, close=form)


@require_POST
@requires(Fact.CONTACT, Access.CHANGE)
def reopen_enquiry(request: Request, enquiry: int) -> HttpResponse:
    """A closed one is open again."""
    row = _found(enquiry)
    if _done(request, lambda: actions.reopen_enquiry(by=actor_of(request), enquiry=row)):
        messages.success(request, f"The enquiry of {row.name} is open again.")
    return redirect("clients:enquiry", enquiry)


@require_POST
@requires(Fact.CONTACT, Access.CHANGE)
def send_form(request: Request, enquiry: int) -> HttpResponse:
    """Her form by link, in one tap: on to its address."""
    row = _found(enquiry)
    made = _done(request, lambda: actions.send_form(by=actor_of(request), enquiry=row))
    if made is None:
        return redirect("clients:enquiry", enquiry)
    return redirect("clients:intake_link", made.pk)


def _done(request: Request, act: Callable[[], Any]) -> Any:
    """What a button did; None, with the reason said above the page, when it was refused."""
    try:
        return act()
    except Refused as refused:
        messages.error(request, str(refused))
        return None
