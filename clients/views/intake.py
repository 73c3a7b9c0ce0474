"""Forms by link as the coach sees them: made, mailed, withdrawn, received, a minor decided."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clients.actions import Refused
from clients.actions import intake as actions
from clients.forms.intake_review import (
    AsideForm,
    GuardianForm,
    MailForm,
    MakeForm,
    NewLinkForm,
    WhoseForm,
)
from clients.models import Client, Intake
from clients.queries import intake as queries
from clients.rules.intake import MINOR
from clients.views.shared import kept, looked_at
from coach import clock
from coach.practice.audit import actor_of
from coach.practice.http import Request
from coach.practice.permissions import Access, Fact, may, requires


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.CONTACT, Access.CHANGE)
def intakes(request: Request) -> HttpResponse:
    """Every form, out and received; and one for somebody new."""
    form = NewLinkForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        made = kept(form, lambda: actions.make_link(by=actor_of(request), **form.cleaned_data))
        if made:
            return redirect("clients:intake_link", made.pk)
    context = {"forms": queries.forms(clock.now()), "form": form}
    status = 422 if form.is_bound else 200
    return render(request, "clients/intake_list.html", context, status=status)


@require_POST
@requires(Fact.CONTACT, Access.CHANGE)
def make(request: Request) -> HttpResponse:
    """One tap from a client’s page."""
    form = MakeForm(request.POST)
    if not form.is_valid():
        return redirect("clients:intakes")
    client = get_object_or_404(Client, pk=form.cleaned_data["client"])
    made = actions.make_link(by=actor_of(request), client=client)
    return redirect("clients:intake_link", made.pk)


@require_safe
@requires(Fact.CONTACT, Access.CHANGE)
def link(request: Request, form: int) -> HttpResponse:
    """Its address to copy, whom to mail it, how far it has come."""
    return _link_page(request, _found(form))


def _found(pk: int) -> Intake:
    return get_object_or_404(
        Intake.objects.select_related("client", "enquiry", "document", "made_by"), pk=pk
    )


def _link_page(
    request: Request, intake: Intake, *, mail: MailForm | None = None,
    guardian: GuardianForm | None = None,
) -> HttpResponse:  # fmt: skip
    now = clock.now()
    sees_health = may(request.user, Fact.HEALTH, Access.CHANGE)
    if sees_health and (intake.alarm or intake.guardian):
        looked_at(request, intake, ["alarm", "guardian"])
    is_live = queries.is_live(intake, now)
    is_minor = is_live and queries.is_stopped(intake)
    context = {
        "intake": intake,
        "line": queries.Line(intake, queries.state_of(intake, now)),
        "is_live": is_live,
        "address": address_of(request, intake) if is_live else "",
        "mail": mail or MailForm(initial={"email": intake.email}),
        "is_minor": is_minor and sees_health,
        "guardian": guardian or GuardianForm(),
        "alarm": intake.alarm if sees_health and intake.alarm != MINOR else "",
        "aside": AsideForm() if sees_health and not intake.reviewed_at else None,
        "whose": WhoseForm() if sees_health and not intake.client else None,
    }
    wrong = any(form is not None and form.errors for form in (mail, guardian))
    response = render(request, "clients/intake_link.html", context, status=422 if wrong else 200)
    response["Referrer-Policy"] = "same-origin"
    return response


def address_of(request: Request, intake: Intake) -> str:
    """The whole address that she opens."""
    return request.build_absolute_uri(reverse("form:begin", args=[queries.token_of(intake)]))


@require_POST
@requires(Fact.CONTACT, Access.CHANGE)
def mail(request: Request, form: int) -> HttpResponse:
    """Send her the address by e-mail."""
    intake, sent = _found(form), MailForm(request.POST)
    if sent.is_valid():
        to, address = sent.cleaned_data["email"], address_of(request, intake)
        mailed = kept(sent, lambda: actions.mail_link(
            by=actor_of(request), intake=intake, address=address, email=to))  # fmt: skip
        if mailed:
            messages.success(request, "The link is on its way to her.")
            return redirect("clients:intake_link", form)
    return _link_page(request, intake, mail=sent)


@require_POST
@requires(Fact.CONTACT, Access.CHANGE)
def withdraw(request: Request, form: int) -> HttpResponse:
    """Its address opens nothing any more."""
    intake = _found(form)
    try:
        actions.withdraw_link(by=actor_of(request), intake=intake)
    except Refused as refused:
        messages.error(request, str(refused))
    else:
        messages.success(request, "Withdrawn: the address opens nothing any more.")
    return redirect("clients:intake_link", form)


@require_POST
@requires(Fact.HEALTH, Access.CHANGE)
def decide(request: Request, form: int) -> HttpResponse:
    """For somebody under 18: her guardian’s consent and what the coach decides."""
    intake, sent = _found(form), GuardianForm(request.POST)
    if sent.is_valid():
        decided = kept(sent, lambda: actions.decide_minor(
            by=actor_of(request), intake=intake, **sent.cleaned_data))  # fmt: skip
        if decided:
            messages.success(request, "Kept, with your name and the time.")
            return redirect("clients:intake_link", form)
    return _link_page(request, intake, guardian=sent)
