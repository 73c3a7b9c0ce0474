"""Her progress report: what goes into it is chosen here, then it is looked at or saved as a PDF."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_http_methods

from clients.actions.report import make_report
from clients.forms.report import ReportForm
from clients.models import Client
from clients.queries.report import Reportable, reportable_of
from clients.rules.report import NO_ASSESSMENT, NO_CONSENT, NOT_FINISHED
from clients.rules.report_words import CLIENT, PARTS
from clients.views.shared import kept, looked_at
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, requires


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.HEALTH, Access.CHANGE)
def report(request: Request, pk: int) -> HttpResponse:
    """Choose for whom, since when and what; the form's answer is the PDF itself."""
    client = get_object_or_404(Client, pk=pk)
    found = reportable_of(client, today=today(request), coach=request.user.name)
    form = _form(request, found)
    taken = "look" not in request.POST
    if form.is_valid():
        pdf = kept(form, lambda: make_report(
            by=actor_of(request), client=client, wanted=form.wanted, taken=taken))  # fmt: skip
        if pdf:
            return _answer(pdf, found, taken=taken)
    looked_at(request, client, ["assessments"])
    context = {
        "client": client, "form": form, "being_taken": found.being_taken,
        "days": [one.day for one in found.facts.measured],
        "consented_on": found.facts.consented_on, "no_consent": NO_CONSENT,
        "no_assessment": NO_ASSESSMENT, "not_finished": NOT_FINISHED,
    }  # fmt: skip
    status = 422 if form.is_bound else 200
    return render(request, "clients/report.html", context, status=status)


def _form(request: Request, found: Reportable) -> ReportForm:
    initial = {"audience": CLIENT, "since": found.facts.since, "parts": list(PARTS)}
    return ReportForm(request.POST if request.method == "POST" else None, initial=initial)


def _answer(pdf: bytes, found: Reportable, *, taken: bool) -> HttpResponse:
    """The PDF under a name that says nothing of her."""
    how = "attachment" if taken else "inline"
    return HttpResponse(
        pdf,
        content_type="application/pdf",
        headers={
            "Content-Disposition": f'{how}; filename="report-{found.facts.today}.pdf"',
            "Cache-Control": "no-store",
            "X-Content-Type-Options": "nosniff",
        },
    )
