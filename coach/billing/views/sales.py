"""Sales: sell a package, what is left of each, sessions used and taken back."""

from __future__ import annotations

import uuid
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from coach.billing.actions import sales as actions
from coach.billing.actions.invoices import draft_from_sale
from coach.billing.actions.once import AlreadyKept, sell_once, use_once
from coach.billing.actions.shared import Refused
from coach.billing.forms.filters import SaleFilterForm, client_named
from coach.billing.forms.sales import SellForm, UseForm
from coach.billing.forms.shared import ReasonForm
from coach.billing.models import Sale, SessionUse
from coach.billing.queries.pages import last_payer, last_sale
from coach.billing.queries.sales import SalePage
from coach.billing.queries.sales import sales as find_sales
from coach.billing.views.shared import done, kept, sale_or_404, sent, twice
from coach.htmx import render_partial
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, requires

SALES_A_PAGE = 40


@require_safe
@requires(Fact.MONEY)
def sales(request: Request) -> HttpResponse:
    """What was sold, with what is left of it."""
    form = SaleFilterForm(request.GET, auto_id="filter_%s")
    found = form.found(find_sales(today(request), states=form.states))
    page = Paginator(found, SALES_A_PAGE).get_page(request.GET.get("page"))
    context = {"form": form, "page": page}
    return render_partial(request, "billing/sales.html", context, partials={"sales": "sales"})


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.MONEY, Access.CHANGE)
def sell(request: Request) -> HttpResponse:
    """Sell a package, and begin its invoice at once if asked."""
    form = SellForm(sent(request), initial=_sell_initial(request))
    try:
        sale = kept(form, lambda: sell_once(by=actor_of(request), **form.values()))
    except AlreadyKept as already:
        twice(request)
        return redirect("accounts:sale", already.uid)
    if sale:
        messages.success(request, f"“{sale.title}” is sold to {sale.client.name}.")
        return _bill(request, sale) if "bill" in request.POST else _to(sale.uid)
    status = 422 if form.is_bound else 200
    return render_partial(
        request, "billing/sell.html", {"form": form}, partials={"payer": "payer"}, status=status
    )


def _sell_initial(request: Request) -> dict[str, Any]:
    """Today, and what the address names: a package, a client with who paid for her last."""
    client = client_named(request.GET)
    return {
        "sold_on": today(request),
        "seen": last_sale(),
        "package": request.GET.get("package"),
        "client": client and client.pk,
        **(SellForm.payer_initial(client, last_payer(client.pk)) if client else {}),
    }


@require_safe
@requires(Fact.MONEY)
def sale(request: Request, uid: uuid.UUID) -> HttpResponse:
    """One sale: what is left, its sessions, its bill."""
    return _sale_page(request, sale_or_404(uid, today(request)))


@require_POST
@requires(Fact.MONEY, Access.CHANGE)
def use(request: Request, uid: uuid.UUID) -> HttpResponse:
    """Count a session; on a list its line is drawn anew, elsewhere its page."""
    page, form = sale_or_404(uid, today(request)), UseForm(request.POST)
    try:
        used = kept(form, lambda: use_once(by=actor_of(request), sale=page.sale, **form.given()))
    except AlreadyKept:
        twice(request)
        return _after_use(request, uid)
    if used:
        messages.success(request, f"A session of {page.row.client} is counted.")
    elif not request.htmx:
        return _sale_page(request, page, use_form=form, status=422)
    else:
        messages.error(request, form.all_said)
    return _after_use(request, uid)


def _after_use(request: Request, uid: uuid.UUID) -> HttpResponse:
    if not request.htmx:
        return _to(uid)
    context = {"row": sale_or_404(uid, today(request)).row}
    return render(request, "billing/_sale_line.html", context)


@require_POST
@requires(Fact.MONEY, Access.CHANGE)
def undo_use(request: Request, uid: uuid.UUID, pk: int) -> HttpResponse:
    """Take back a session counted by mistake."""
    found = get_object_or_404(SessionUse.objects.select_related("sale"), pk=pk, sale__uid=uid)
    said = "It is taken back: the session is hers again."
    done(request, lambda: actions.undo_use(by=actor_of(request), use=found), said)
    return _to(uid)


@require_POST
@requires(Fact.MONEY, Access.CHANGE)
def bill(request: Request, uid: uuid.UUID) -> HttpResponse:
    """Begin the invoice of a sale, or open the one it is on already."""
    return _bill(request, sale_or_404(uid, today(request)).sale)


def _bill(request: Request, sale: Sale) -> HttpResponse:
    try:
        invoice = draft_from_sale(by=actor_of(request), sale=sale)
    except Refused as refused:
        row = sale_or_404(sale.uid, today(request)).row
        messages.info(request, str(refused))
        return redirect("accounts:invoice", row.bill) if row.bill else _to(sale.uid)
    return redirect("accounts:draft", invoice.uid)


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.MONEY, Access.CHANGE)
def cancel(request: Request, uid: uuid.UUID) -> HttpResponse:
    """Take a sale back that should not have been."""
    page, form = sale_or_404(uid, today(request)), ReasonForm(sent(request))
    if kept(
        form,
        lambda: actions.cancel_sale(by=actor_of(request), sale=page.sale, **form.cleaned_data),
    ):
        messages.success(request, f"“{page.row.title}” for {page.row.client} is cancelled.")
        return _to(uid)
    context = {"form": form, "row": page.row}
    status = 422 if form.is_bound else 200
    return render(request, "billing/sale_cancel.html", context, status=status)


def _to(uid: uuid.UUID) -> HttpResponse:
    return redirect("accounts:sale", uid)


def _sale_page(
    request: Request, page: SalePage, *, use_form: UseForm | None = None, status: int = 200
) -> HttpResponse:
    initial = {"on": today(request), "seen": page.row.used}
    context = {
        "page": page,
        "row": page.row,
        "use_form": use_form or UseForm(initial=initial),
        "can_use": page.row.left != 0 and not page.sale.cancelled_on,
        "can_cancel": not (page.sale.cancelled_on or page.row.used or page.row.bill),
    }
    return render(request, "billing/sale.html", context, status=status)
