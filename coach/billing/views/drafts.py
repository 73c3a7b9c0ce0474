"""Drafts: begun, changed with their lines, discarded, looked at once more and issued."""

from __future__ import annotations

import uuid

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from coach.billing.actions import invoices as actions
from coach.billing.actions.once import AlreadyKept, draft_once, issue_as_seen
from coach.billing.forms.filters import client_named
from coach.billing.forms.invoices import (
    DraftForm,
    IssueForm,
    LinesFormSet,
    NewDraftForm,
    lines_shown,
    lines_typed,
)
from coach.billing.models import Invoice
from coach.billing.papers import in_words, paper_of
from coach.billing.queries.invoices import InvoicePage
from coach.billing.queries.pages import last_paper, last_payer, unbilled
from coach.billing.views.shared import done, kept, paper_or_404, sent, twice
from coach.htmx import render_partial
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, requires


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.MONEY, Access.CHANGE)
def begin(request: Request) -> HttpResponse:
    """An invoice of something sold, or one without a package."""
    client = client_named(request.GET)
    payer = NewDraftForm.payer_initial(client, last_payer(client.pk)) if client else {}
    initial = {"seen": last_paper(), "client": client and client.pk, **payer}
    form = NewDraftForm(sent(request), initial=initial)
    try:
        invoice = kept(form, lambda: draft_once(by=actor_of(request), **form.values()))
    except AlreadyKept as already:
        twice(request)
        return redirect("accounts:draft", already.uid)
    if invoice:
        return redirect("accounts:draft", invoice.uid)
    context = {"form": form, "unbilled": unbilled(today(request))}
    status = 422 if form.is_bound else 200
    return render_partial(
        request, "billing/begin.html", context, partials={"payer": "payer"}, status=status
    )


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.MONEY, Access.CHANGE)
def draft(request: Request, uid: uuid.UUID) -> HttpResponse:
    """Change a draft; what is kept can be looked at and issued."""
    page = paper_or_404(uid, today(request))
    invoice = page.invoice
    if not invoice.is_draft:
        return redirect("accounts:invoice", uid)
    if request.method != "POST":
        return _draft_page(request, page)
    form = DraftForm(request.POST, currency=invoice.currency)
    lines = lines_typed(request.POST, currency=invoice.currency)
    if not _draft_kept(request, invoice, form, lines):
        return _draft_page(request, page, form=form, lines=lines)
    if "look" in request.POST:
        return redirect("accounts:issue", uid)
    messages.success(request, "The draft is kept.")
    if request.htmx:
        return _draft_page(request, paper_or_404(uid, today(request)))
    return redirect(f"{reverse('accounts:draft', args=[uid])}{'?more' * _adds(request)}")


def _adds(request: Request) -> bool:
    """Whether another line is about to be written."""
    return "more" in request.POST or "more" in request.GET


def _draft_kept(
    request: Request, invoice: Invoice, form: DraftForm, lines: LinesFormSet
) -> Invoice | None:
    if not lines.is_valid():
        form.is_valid()  # so that what is wrong with it is said at the same time
        return None
    return kept(
        form,
        lambda: actions.change_draft(
            by=actor_of(request), invoice=invoice, lines=lines.lines, **form.values()
        ),
    )


@require_POST
@requires(Fact.MONEY, Access.CHANGE)
def discard(request: Request, uid: uuid.UUID) -> HttpResponse:
    """Throw a draft away; what was issued stays."""
    invoice = paper_or_404(uid, today(request)).invoice
    said = "The draft is discarded; it never had a number."
    if done(request, lambda: actions.discard_draft(by=actor_of(request), invoice=invoice), said):
        return redirect("accounts:index")
    return redirect("accounts:invoice", uid)


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.MONEY, Access.CHANGE)
def issue(request: Request, uid: uuid.UUID) -> HttpResponse:
    """The last look at a draft, and its number: afterwards it never changes."""
    page = paper_or_404(uid, today(request))
    form = IssueForm(sent(request), initial={"seen": page.invoice.changed_at.isoformat()})
    try:
        issued = kept(
            form,
            lambda: issue_as_seen(
                by=actor_of(request), invoice=page.invoice, today=today(request), **form.given()
            ),
        )
    except AlreadyKept:
        twice(request)
        return redirect("accounts:invoice", uid)
    if issued:
        messages.success(request, f"Invoice {issued.number} is issued.")
    if issued or not page.invoice.is_draft:
        return redirect("accounts:invoice", uid)
    status = 422 if form.is_bound else 200
    context = {"form": form, "page": page, "paper": in_words(paper_of(page, request.practice))}
    return render(request, "billing/issue.html", context, status=status)


def _draft_page(
    request: Request,
    page: InvoicePage,
    *,
    form: DraftForm | None = None,
    lines: LinesFormSet | None = None,
) -> HttpResponse:
    currency, usual_bp = page.invoice.currency, request.practice.tax_basis_points
    context = {
        "page": page,
        "form": form or DraftForm(initial=DraftForm.initial_from(page.invoice), currency=currency),
        "lines": lines
        or lines_shown(page.lines, currency=currency, usual_bp=usual_bp, adds=_adds(request)),
        "paper": in_words(paper_of(page, request.practice)),
    }
    return render_partial(
        request,
        "billing/draft.html",
        context,
        partials={"draft": "draft"},
        status=422 if form else 200,
    )
