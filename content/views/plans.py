"""Earlier plans of a month: the list, one of them, put back, taken back."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, requires
from content.actions import earlier as actions
from content.actions.uploads import Refused
from content.models import EarlierPlan, Proposal
from content.queries import plans
from content.rules.months import Month


@require_safe
@requires(Fact.CONTENT)
def earlier(request: Request, month: Month) -> HttpResponse:
    """The month's earlier plans."""
    context = {"month": month, "plans": plans.earlier_plans(month)}
    return render(request, "content/plans.html", context)


@require_safe
@requires(Fact.CONTENT)
def earlier_plan(request: Request, month: Month, number: int) -> HttpResponse:
    """One earlier plan, and what became of it."""
    return render(request, "content/plan.html", {"page": plans.plan_page(_plan(month, number))})


@require_POST
@requires(Fact.CONTENT, Access.CHANGE)
def restore_plan(request: Request, month: Month, number: int) -> HttpResponse:
    """Make it the proposal again."""
    plan = _plan(month, number)
    return _try(
        request,
        plan,
        lambda: actions.restore_plan(by=actor_of(request), plan=plan, today=today(request)),
    )


@require_POST
@requires(Fact.CONTENT, Access.CHANGE)
def take_back_plan(request: Request, month: Month, number: int) -> HttpResponse:
    """Take off what it made and is not out yet, and propose that again."""
    plan = _plan(month, number)
    return _try(
        request,
        plan,
        lambda: actions.take_back_plan(by=actor_of(request), plan=plan, today=today(request)),
    )


def _plan(month: Month, number: int) -> EarlierPlan:
    plan = plans.earlier_plan(month, number)
    if plan is None:
        raise Http404("this month has no such plan")
    return plan


def _try(request: Request, plan: EarlierPlan, act: Callable[[], Proposal]) -> HttpResponse:
    """Do it and show the month; where a rule is against it, say so on the plan's page."""
    try:
        act()
    except Refused as refused:
        context = {"page": plans.plan_page(plan), "refused": str(refused)}
        return render(request, "content/plan.html", context, status=422)
    messages.success(request, f"Plan {plan.number} is the proposal again.")
    return redirect("uploads:month", Month.of(plan.month))
