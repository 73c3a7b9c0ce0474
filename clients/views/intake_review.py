"""A form that was sent: what is new and what differs, its letter, and what becomes of it."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clients.actions import Refused
from clients.actions import intake_review as actions
from clients.forms.intake_review import AsideForm, ReviewForm, WhoseForm
from clients.models import Intake
from clients.queries.intake_review import review_of
from clients.views.shared import looked_at, stored_file
from coach.practice import files
from coach.practice.audit import actor_of
from coach.practice.http import Request
from coach.practice.permissions import Access, Fact, requires


def _found(pk: int) -> Intake:
    return get_object_or_404(
        Intake.objects.select_related("client", "enquiry", "document", "reviewed_by"), pk=pk
    )


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.HEALTH, Access.CHANGE)
def review(request: Request, form: int) -> HttpResponse:
    """What is new and what differs, side by side; taken in one go."""
    intake = _found(form)
    if intake.reviewed_at and intake.client:
        return _reviewed(request, intake)
    if not intake.sent_at or intake.reviewed_at:
        return redirect("clients:intake_link", form)
    shown = review_of(intake)
    sent = ReviewForm(request.POST if request.method == "POST" else None, points=shown.points)
    if sent.is_valid():
        try:
            client = actions.accept(
                by=actor_of(request), intake=intake, choices=request.POST.dict()
            )
        except Refused as refused:
            also = refused.problems[0].field
            shown = review_of(_found(form))
            sent = ReviewForm(request.POST, points=shown.points, also=also)
            sent.refuse(refused.problems)
        else:
            messages.success(request, f"{client.name}: taken over.")
            return redirect("clients:intake_review", form)
    looked_at(request, intake, ["answers", "alarm", "document"])
    context = {"review": shown, "intake": intake, "form": sent, "whose": shown.same,
               "aside": AsideForm()}  # fmt: skip
    status = 422 if sent.is_bound else 200
    return render(request, "clients/intake_review.html", context, status=status)


def _reviewed(request: Request, intake: Intake) -> HttpResponse:
    """What is left to do once it is taken: the clearance from its letter."""
    return render(request, "clients/intake_reviewed.html", {"intake": intake})


@require_POST
@requires(Fact.HEALTH, Access.CHANGE)
def belongs_to(request: Request, form: int) -> HttpResponse:
    """The form of somebody new is that of a client."""
    intake, sent = _found(form), WhoseForm(request.POST)
    if not sent.is_valid():
        messages.error(request, "Choose whose form it is.")
        return redirect("clients:intake_link", form)
    try:
        actions.belongs_to(by=actor_of(request), intake=intake, client=sent.cleaned_data["client"])
    except Refused as refused:
        messages.error(request, str(refused))
    else:
        messages.success(request, f"It is {sent.cleaned_data['client'].name}’s form now.")
    return redirect("clients:intake_review", form)


@require_POST
@requires(Fact.HEALTH, Access.CHANGE)
def put_aside(request: Request, form: int) -> HttpResponse:
    """Nobody becomes a client by it."""
    intake, sent = _found(form), AsideForm(request.POST)
    try:
        reason = sent.cleaned_data["reason"] if sent.is_valid() else ""
        actions.put_aside(by=actor_of(request), intake=intake, reason=reason)
    except Refused as refused:
        messages.error(request, str(refused))
    else:
        messages.success(request, "Put aside; its answers are erased.")
    return redirect("clients:intake_link", form)


@require_safe
@requires(Fact.HEALTH)
def document(request: Request, form: int) -> HttpResponse:
    """The letter that came with a form, shown and never run; each look is in the trail."""
    intake = _found(form)
    letter = intake.document
    if letter is None or not intake.sent_at:
        raise Http404
    looked_at(request, intake, ["document"])
    try:
        return stored_file(letter)
    except files.FileDamaged:
        messages.error(request, "The letter cannot be opened: its file is missing or damaged.")
        return redirect("clients:intake_link", form)
