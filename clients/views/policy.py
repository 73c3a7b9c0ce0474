"""Practice › Who may train: every rule of the go-ahead with its source, and what it was before."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from clients import actions, queries
from clients.forms.policy import PolicyForm
from clients.views.shared import done
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, requires


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.PRACTICE, Access.CHANGE)
def policy(request: Request) -> HttpResponse:
    """What stands, and what to change from a day on; what is past stays as it was judged."""
    sent = request.POST if request.method == "POST" else None
    form = PolicyForm(sent, policies=queries.policies(), today=today(request))
    if done(form, lambda: actions.change_policy(
        by=actor_of(request), values=form.values, reason=form.cleaned_data["reason"],
        begins=form.cleaned_data["begins"])):  # fmt: skip
        messages.success(request, "Kept. Days before it stay as they were.")
        return redirect("clients:policy")
    history = queries.policy_history()
    coming = [one for one in history if one.begins > form.today]
    context = {"form": form, "history": history, "coming": coming}
    status = 422 if form.is_bound else 200
    return render(request, "clients/policy.html", context, status=status)
