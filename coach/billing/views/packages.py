"""Packages: what is sold."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from coach.billing.actions import packages as actions
from coach.billing.forms.packages import PackageForm
from coach.billing.models import Package
from coach.billing.queries import packages as queries
from coach.billing.views.shared import kept, sent
from coach.practice.audit import actor_of
from coach.practice.http import Request
from coach.practice.permissions import Access, Fact, requires


@require_safe
@requires(Fact.MONEY)
def packages(request: Request) -> HttpResponse:
    """What is sold, and what no longer is."""
    every = queries.packages(retired=None)
    context = {
        "packages": [row for row in every if not row.retired],
        "retired": [row for row in every if row.retired],
    }
    return render(request, "billing/packages.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.MONEY, Access.CHANGE)
def add(request: Request) -> HttpResponse:
    """Add a package, in the practice's currency."""
    form = PackageForm(
        sent(request),
        initial=PackageForm.new_from(request.practice),
        currency=request.practice.currency,
    )
    if kept(form, lambda: actions.add_package(by=actor_of(request), **form.cleaned_data)):
        messages.success(request, f"“{form.cleaned_data['title']}” can be sold now.")
        return redirect("accounts:packages")
    return _form_page(request, form)


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.MONEY, Access.CHANGE)
def edit(request: Request, pk: int) -> HttpResponse:
    """Change a package; what was sold stays as it was sold."""
    package = get_object_or_404(Package, pk=pk)
    initial = PackageForm.initial_from(package)
    form = PackageForm(sent(request), initial=initial, currency=package.currency)
    if kept(
        form,
        lambda: actions.change_package(by=actor_of(request), package=package, **form.cleaned_data),
    ):
        messages.success(request, f"“{package.title}” is kept. What was sold stays as it was.")
        return redirect("accounts:packages")
    return _form_page(request, form, get_object_or_404(Package, pk=pk))


@require_POST
@requires(Fact.MONEY, Access.CHANGE)
def retire(request: Request, pk: int) -> HttpResponse:
    """Sell it no more."""
    package = get_object_or_404(Package, pk=pk)
    actions.retire_package(by=actor_of(request), package=package)
    messages.success(request, f"“{package.title}” is sold no more; its sales go on.")
    return redirect("accounts:packages")


@require_POST
@requires(Fact.MONEY, Access.CHANGE)
def offer_again(request: Request, pk: int) -> HttpResponse:
    """Sell a retired package again."""
    package = get_object_or_404(Package, pk=pk)
    actions.offer_again(by=actor_of(request), package=package)
    messages.success(request, f"“{package.title}” can be sold again.")
    return redirect("accounts:packages")


def _form_page(request: Request, form: PackageForm, package: Package | None = None) -> HttpResponse:
    context = {"form": form, "package": package}
    status = 422 if form.is_bound else 200
    return render(request, "billing/package_form.html", context, status=status)
