"""Issued papers: the list of them, one of them frozen, its PDF, and money that comes and goes."""

from __future__ import annotations

import uuid
from collections.abc import Callable

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from coach.billing.actions import payments as payment_actions
from coach.billing.actions.invoices import credit as credit_invoice
from coach.billing.actions.once import AlreadyKept, pay_once, refund_once
from coach.billing.documents import invoice_pdf
from coach.billing.forms.filters import InvoiceFilterForm
from coach.billing.forms.payments import PaymentForm, RefundForm
from coach.billing.forms.shared import BillingForm, ReasonForm
from coach.billing.models import Payment
from coach.billing.papers import in_words, paper_of
from coach.billing.queries.invoices import InvoicePage
from coach.billing.queries.invoices import invoices as find_invoices
from coach.billing.views.shared import kept, paper_or_404, sent, twice
from coach.htmx import render_partial
from coach.money import Money
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, requires

INVOICES_A_PAGE = 40


@require_safe
@requires(Fact.MONEY)
def invoices(request: Request) -> HttpResponse:
    """Invoices, drafts and credit notes, narrowed by the filters."""
    form = InvoiceFilterForm(request.GET, auto_id="filter_%s")
    found = find_invoices(today(request), **form.wanted())
    page = Paginator(found, INVOICES_A_PAGE).get_page(request.GET.get("page"))
    context = {"form": form, "page": page}
    return render_partial(
        request, "billing/invoices.html", context, partials={"invoices": "invoices"}
    )


@require_safe
@requires(Fact.MONEY)
def invoice(request: Request, uid: uuid.UUID) -> HttpResponse:
    """One issued paper; a draft leads to where it is changed."""
    page = paper_or_404(uid, today(request))
    if page.invoice.is_draft:
        return redirect("accounts:draft", uid)
    return _page(request, page)


@require_safe
@requires(Fact.MONEY)
def pdf(request: Request, uid: uuid.UUID) -> HttpResponse:
    """The paper to print or to send; a draft’s says that it is one."""
    page = paper_or_404(uid, today(request))
    name = page.row.number or "draft"
    return HttpResponse(
        invoice_pdf(paper_of(page, request.practice)),
        content_type="application/pdf",
        headers={
            "Content-Disposition": f'inline; filename="{name}.pdf"',
            "Cache-Control": "no-store",
            "X-Content-Type-Options": "nosniff",
        },
    )


@require_POST
@requires(Fact.MONEY, Access.CHANGE)
def pay(request: Request, uid: uuid.UUID) -> HttpResponse:
    """Record money received."""
    page = paper_or_404(uid, today(request))
    form = PaymentForm(request.POST, currency=page.invoice.currency, auto_id="pay_%s")
    recorded = _record(request, page, form, pay_once, "is recorded")
    return recorded or _page(request, page, pay=form)


@require_POST
@requires(Fact.MONEY, Access.CHANGE)
def refund(request: Request, uid: uuid.UUID) -> HttpResponse:
    """Record money paid back."""
    page = paper_or_404(uid, today(request))
    form = RefundForm(request.POST, currency=page.invoice.currency, auto_id="refund_%s")
    recorded = _record(request, page, form, refund_once, "paid back is recorded")
    return recorded or _page(request, page, refund=form)


def _record(
    request: Request, page: InvoicePage, form: BillingForm, act: Callable[..., Payment], what: str
) -> HttpResponse | None:
    """Back to the paper once the action has kept the money; None when the form is refused."""
    try:
        row = kept(
            form, lambda: act(by=actor_of(request), invoice=page.invoice, **form.cleaned_data)
        )
    except AlreadyKept:
        twice(request)
        return redirect("accounts:invoice", page.invoice.uid)
    if row is None:
        return None
    _said(request, page, row, what)
    return redirect("accounts:invoice", page.invoice.uid)


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.MONEY, Access.CHANGE)
def reverse(request: Request, uid: uuid.UUID, pk: int) -> HttpResponse:
    """Take back a payment or refund that was a mistake."""
    payment = get_object_or_404(
        Payment.objects.select_related("invoice"), pk=pk, invoice__uid=uid, reverses=None
    )
    form = ReasonForm(sent(request))
    if kept(
        form,
        lambda: payment_actions.reverse_payment(
            by=actor_of(request), payment=payment, **form.cleaned_data
        ),
    ):
        _said(request, paper_or_404(uid, today(request)), payment, "is taken back")
        return redirect("accounts:invoice", uid)
    amount = Money(abs(payment.amount_minor), payment.invoice.currency)
    context = {"form": form, "payment": payment, "amount": amount}
    status = 422 if form.is_bound else 200
    return render(request, "billing/payment_reverse.html", context, status=status)


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.MONEY, Access.CHANGE)
def credit(request: Request, uid: uuid.UUID) -> HttpResponse:
    """Take an issued invoice back whole, by a credit note."""
    page, form = paper_or_404(uid, today(request)), ReasonForm(sent(request))
    note = kept(
        form,
        lambda: credit_invoice(
            by=actor_of(request), invoice=page.invoice, today=today(request), **form.cleaned_data
        ),
    )
    if note:
        messages.success(request, f"Credit note {note.number} is issued.")
        return redirect("accounts:invoice", note.uid)
    context = {"form": form, "page": page, "row": page.row}
    status = 422 if form.is_bound else 200
    return render(request, "billing/credit.html", context, status=status)


def _said(request: Request, page: InvoicePage, payment: Payment, what: str) -> None:
    amount = Money(abs(payment.amount_minor), page.invoice.currency)
    messages.success(request, f"{amount.shown()} {what}.")


def _page(
    request: Request,
    page: InvoicePage,
    *,
    pay: PaymentForm | None = None,
    refund: RefundForm | None = None,
) -> HttpResponse:
    row, on, currency = page.row, today(request), page.invoice.currency
    context = {
        "page": page,
        "row": row,
        "paper": in_words(paper_of(page, request.practice)),
        "pay_form": pay
        or PaymentForm(
            initial=PaymentForm.initial_from(row, on), currency=currency, auto_id="pay_%s"
        ),
        "refund_form": refund
        or RefundForm(
            initial=RefundForm.initial_from(row, on), currency=currency, auto_id="refund_%s"
        ),
    }
    return render(request, "billing/invoice.html", context, status=422 if pay or refund else 200)
