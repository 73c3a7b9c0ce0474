"""The month page: look, propose, accept, move, days off. Every change also works without htmx."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

from django import forms
from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from coach.htmx import render_partial
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, requires
from content.actions import planning as actions
from content.actions import uploads
from content.forms.planning import AcceptForm, DayForm, DayOffForm, PinForm, PlaceForm
from content.forms.wishes import WishesForm
from content.models import DayOff, Proposal, Upload
from content.queries import planning
from content.queries.month import month_page
from content.rules.months import Month

_change = requires(Fact.CONTENT, Access.CHANGE)


@require_safe
@requires(Fact.CONTENT)
def now(request: Request) -> HttpResponse:
    """The month to look at: this one while it has a publish day to come, else the next."""
    month = Month.of(today(request))
    to_come = any(day > today(request) for day in planning.publish_days(month))
    return redirect("uploads:month", month if to_come else month.next)


@require_safe
@requires(Fact.CONTENT)
def month(request: Request, month: Month) -> HttpResponse:
    """A month with what stands and what is proposed."""
    return _show(request, month)


@require_POST
@_change
def propose(request: Request, month: Month) -> HttpResponse:
    """Plan the month; what was proposed before is replaced, what stands is not."""
    actions.propose(by=actor_of(request), month=month, today=today(request))
    return _back(request, month, planned=True)


@require_POST
@_change
def pin(request: Request, month: Month) -> HttpResponse:
    """Keep a class on a day and plan the rest anew."""
    form = PinForm(request.POST)
    if not form.is_valid():
        return _refuse(request, month, form)
    return _try(
        request,
        month,
        lambda: actions.pin(
            by=actor_of(request), month=month, today=today(request), **form.cleaned_data
        ),
        planned=True,
    )


@require_POST
@_change
def unpin(request: Request, month: Month, day: date) -> HttpResponse:
    """Let a pinned class go where it fits best."""
    return _try(
        request,
        month,
        lambda: actions.unpin(by=actor_of(request), month=month, day=day, today=today(request)),
        planned=True,
    )


@require_POST
@_change
def accept(request: Request, month: Month) -> HttpResponse:
    """Accept everything proposed, or the days that are ticked: those the form names."""
    proposal = _proposal(month)
    form = AcceptForm(request.POST, proposed=[slot["day"] for slot in proposal.slots])
    if not form.is_valid():
        return _refuse(request, month, form)
    chosen = form.cleaned_data["day"]
    return _try(
        request,
        month,
        lambda: actions.accept(
            by=actor_of(request), proposal=proposal, days=chosen, today=today(request)
        ),
    )


@require_POST
@_change
def put_on(request: Request, month: Month, day: date) -> HttpResponse:
    """Take a proposed class and put it on a day of her own."""
    proposal, form = _proposal(month), DayForm(request.POST)
    if not form.is_valid():
        return _refuse(request, month, form)
    return _try(
        request,
        month,
        lambda: actions.put_on(
            by=actor_of(request),
            proposal=proposal,
            day=day,
            to=form.cleaned_data["day"],
            today=today(request),
        ),
    )


@require_POST
@_change
def leave_out(request: Request, month: Month, day: date) -> HttpResponse:
    """Take one class out of the proposal."""
    proposal = _proposal(month)
    return _try(
        request,
        month,
        lambda: actions.leave_out(
            by=actor_of(request), proposal=proposal, day=day, today=today(request)
        ),
    )


@require_POST
@_change
def drop(request: Request, month: Month) -> HttpResponse:
    """Take the whole proposal away."""
    actions.drop(by=actor_of(request), proposal=_proposal(month))
    return _back(request, month)


@require_POST
@_change
def move(request: Request, month: Month, pk: int) -> HttpResponse:
    """Move an upload to another day; `month` is the one she looks at."""
    upload = get_object_or_404(
        Upload.objects.select_related("item"), pk=pk, cancelled_at__isnull=True
    )
    form = DayForm(request.POST)
    if not form.is_valid():
        return _refuse(request, month, form)
    day = form.cleaned_data["day"]
    return _try(request, month, lambda: uploads.move(by=actor_of(request), upload=upload, day=day))


@require_POST
@_change
def place(request: Request, month: Month) -> HttpResponse:
    """Put a class on a day by hand."""
    return _filled(request, month, "place_form", PlaceForm(request.POST), uploads.place)


@require_POST
@_change
def add_day_off(request: Request, month: Month) -> HttpResponse:
    """Mark a day off."""
    form = DayOffForm(request.POST)
    return _filled(request, month, "off_form", form, actions.add_day_off)


@require_POST
@_change
def remove_day_off(request: Request, month: Month, pk: int) -> HttpResponse:
    """Make a day off an ordinary day again."""
    actions.remove_day_off(by=actor_of(request), off=get_object_or_404(DayOff, pk=pk))
    return _back(request, month)


@require_http_methods(["GET", "HEAD", "POST"])
@_change
def wishes(request: Request) -> HttpResponse:
    """How she wants to publish."""
    initial = WishesForm.initial_from(planning.wishes())
    form = WishesForm(request.POST if request.method == "POST" else None, initial=initial)
    if form.is_valid():
        actions.change_wishes(by=actor_of(request), **form.values())
        messages.success(request, "Your wishes are kept. Plans made from now on follow them.")
        return redirect("uploads:now")
    status = 422 if form.errors else 200
    return render(request, "content/wishes.html", {"form": form}, status=status)


def _proposal(month: Month) -> Proposal:
    proposal = planning.proposal_of(month)
    if proposal is None:
        raise Http404("nothing is proposed for this month")
    return proposal


def _try(
    request: Request, month: Month, act: Callable[[], object], *, planned: bool = False
) -> HttpResponse:
    """Do it, and where a rule is against it say so on the page; either way show the month."""
    try:
        act()
    except uploads.Refused as refused:
        return _show(request, month, status=422, refused=str(refused))
    return _back(request, month, planned=planned)


def _filled(
    request: Request, month: Month, name: str, form: Any, act: Callable[..., object]
) -> HttpResponse:
    """Do what a form asks; what is wrong, or a rule against it, stands beside its fields."""
    if form.is_valid():
        try:
            act(by=actor_of(request), **form.cleaned_data)
        except uploads.Refused as refused:
            form.add_error("day", str(refused))
        else:
            return _back(request, month)
    return _show(request, month, status=422, **{name: form})


def _refuse(request: Request, month: Month, form: forms.Form) -> HttpResponse:
    said = [str(sentence) for errors in form.errors.values() for sentence in errors]
    return _show(request, month, status=422, refused=" ".join(said))


def _back(request: Request, month: Month, *, planned: bool = False) -> HttpResponse:
    """The month as it is now; `planned`: what changed by it is read first."""
    if request.htmx:
        return _show(request, month, planned=planned)
    return redirect("uploads:month", month)


def _show(request: Request, month: Month, *, status: int = 200, **more: Any) -> HttpResponse:
    context = {
        "page": month_page(month, today=today(request)),
        "place_form": PlaceForm(),
        "off_form": DayOffForm(),
        **more,
    }
    return render_partial(
        request, "content/month.html", context, partials={"month": "month"}, status=status
    )
