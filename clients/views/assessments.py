"""Record an assessment."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from clients import actions
from clients.forms.assessment import AssessmentForm
from clients.models import Client
from clients.views.shared import kept
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, requires


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.HEALTH, Access.CHANGE)
def assess(request: Request, pk: int) -> HttpResponse:
    """What was measured today or on an earlier day."""
    client = get_object_or_404(Client, pk=pk)
    sent = request.POST if request.method == "POST" else None
    form = AssessmentForm(sent, today=today(request), who=request.user.name)
    if form.is_valid():
        data = form.cleaned_data
        if kept(form, lambda: actions.record_assessment(
            by=actor_of(request), client=client, day=data["day"], measures=form.measures,
            measured_by=data["by"], how=data["how"], origin=data["origin"])):  # fmt: skip
            messages.success(request, "Kept.")
            return redirect("clients:client", pk)
    context = {"client": client, "form": form}
    return render(request, "clients/assess.html", context, status=422 if form.is_bound else 200)
