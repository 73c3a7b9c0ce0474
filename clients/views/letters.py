"""Letters to her clinicians: make one, take it as a PDF, say that it was sent, chased, answered."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clients.actions import Refused
from clients.actions import letters as actions
from clients.forms.letters import (
    AnsweredForm,
    ChaseForm,
    ClearanceLetterForm,
    LetterForm,
    ReferralForm,
    SentForm,
)
from clients.models import Client, LetterOut
from clients.queries import letters as queries
from clients.rules.happened import said_words
from clients.rules.letter_words import named_sign
from clients.rules.letters import CLEARANCE, NO_CONSENT, TITLES
from clients.rules.words import unless_quiet
from clients.views.shared import kept, looked_at, stored_file
from coach.practice import files
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, requires


@require_safe
@requires(Fact.HEALTH, Access.CHANGE)
def letters(request: Request, pk: int) -> HttpResponse:
    """Her letters to clinicians, each with how far it has come and the one thing to do next."""
    client = get_object_or_404(Client, pk=pk)
    looked_at(request, client, ["letters"])
    context = {
        "client": client,
        "letters": queries.letters_of(client, today=today(request)),
        "consented_on": queries.consented_on(client),
        "no_consent": NO_CONSENT,
    }
    return render(request, "clients/letters.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.HEALTH, Access.CHANGE)
def make(request: Request, pk: int, kind: str) -> HttpResponse:
    """A letter of a kind: what is recorded is put in, the rest is typed here."""
    client = get_object_or_404(Client, pk=pk)
    asked = queries.asked_of(client, today=today(request))
    consented = queries.consented_on(client) is not None
    form = _form(request, kind, asked, consented=consented)
    if form.is_valid():
        row = kept(form, lambda: actions.make_letter(
            by=actor_of(request), client=client, kind=kind, typed=form.typed,
            by_herself=form.cleaned_data["by_herself"]))  # fmt: skip
        if row:
            messages.success(request, "Made. Print or send it, then say here that it went.")
            return redirect("clients:letters", pk)
    looked_at(request, client, ["pregnancies", "signs", "conditions"])
    context = {
        "client": client, "form": form, "kind": kind, "title": TITLES[kind], "asked": asked,
        "no_consent": "" if consented else NO_CONSENT,
    }  # fmt: skip
    status = 422 if form.is_bound else 200
    return render(request, "clients/letter_make.html", context, status=status)


def _form(
    request: Request, kind: str, asked: queries.Asked, *, consented: bool
) -> ClearanceLetterForm | ReferralForm:
    quiet, data = asked.about.quiet, request.POST if request.method == "POST" else None
    initial: dict[str, Any] = {"reply_to": request.user.email}
    if kind == CLEARANCE:
        initial["offers"] = unless_quiet(request.practice.offers, quiet=quiet)
        return ClearanceLetterForm(data, initial=initial, consented=consented)
    told = sorted(asked.told, key=lambda one: (one.happened_on, one.pk), reverse=True)
    signs = [(one.pk, named_sign(one, quiet=quiet)) for one in told]
    # What waits for a clinician is recorded already: it is reported, not answered, by a tick.
    initial["signs"] = [str(one.pk) for one in asked.signs]
    return ReferralForm(data, initial=initial, consented=consented, signs=signs)


def _found(pk: int, which: int) -> LetterOut:
    rows = LetterOut.objects.select_related("client", "document")
    return get_object_or_404(rows, pk=which, client_id=pk)


@require_safe
@requires(Fact.HEALTH)
def letter_out(request: Request, pk: int, which: int) -> HttpResponse:
    """The letter as it was made, to print or to send on; each time is in the trail."""
    letter = _found(pk, which)
    looked_at(request, letter, ["document"])
    try:
        return stored_file(letter.document, download=True)
    except files.FileDamaged:
        messages.error(request, "The letter cannot be opened: its file is missing or damaged.")
        return redirect("clients:letters", pk)


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.HEALTH, Access.CHANGE)
def sent(request: Request, pk: int, which: int) -> HttpResponse:
    """It went out: when and how."""
    letter = _found(pk, which)
    consented = queries.consented_on(letter.client) is not None
    form = SentForm(
        request.POST if request.method == "POST" else None,
        initial={"sent_on": today(request)},
        consented=consented,
    )
    note = "" if consented else NO_CONSENT
    return _step(request, letter, form, "Mark it as sent", "Noted as sent.", note, lambda data: (
        actions.mark_sent(by=actor_of(request), letter=letter, on=data["sent_on"],
                          how=data["sent_how"])))  # fmt: skip


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.HEALTH, Access.CHANGE)
def chased(request: Request, pk: int, which: int) -> HttpResponse:
    """An answer was asked for again."""
    letter = _found(pk, which)
    form = ChaseForm(
        request.POST if request.method == "POST" else None, initial={"on": today(request)}
    )
    note = "" if queries.consented_on(letter.client) else "Ask her, not the clinician."
    return _step(request, letter, form, "Asked again", "Noted.", note, lambda data: (
        actions.chase(by=actor_of(request), letter=letter, on=data["on"])))  # fmt: skip


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.HEALTH, Access.CHANGE)
def answered(request: Request, pk: int, which: int) -> HttpResponse:
    """It was answered: first the clearance is recorded, then it is named here."""
    letter = _found(pk, which)
    rows = {row.pk: row for row in queries.answers_to(letter)}
    said = [(row.pk, said_words(row.word, row.said_on)) for row in rows.values()]
    form = AnsweredForm(
        request.POST if request.method == "POST" else None,
        initial={"on": today(request)},
        said=said,
    )
    return _step(request, letter, form, "It is answered", "Noted as answered.", "", lambda data: (
        actions.mark_answered(by=actor_of(request), letter=letter, on=data["on"],
                              clearance=rows.get(form.which or 0))),
                 asks_clearance=True)  # fmt: skip


def _step(
    request: Request, letter: LetterOut, form: LetterForm | Any, title: str, done: str, note: str,
    act: Callable[[dict[str, Any]], LetterOut], *, asks_clearance: bool = False,
) -> HttpResponse:  # fmt: skip
    """One thing that happened to a letter: its form, and back to the list once it is kept."""
    if form.is_valid() and kept(form, lambda: act(form.cleaned_data)):
        messages.success(request, done)
        return redirect("clients:letters", letter.client_id)
    looked_at(request, letter, ["kind", "to_name", "sent_on"])
    context = {
        "client": letter.client, "form": form, "title": title, "note": note,
        "what": TITLES[letter.kind], "asks_clearance": asks_clearance,
    }  # fmt: skip
    status = 422 if form.is_bound else 200
    return render(request, "clients/letter_step.html", context, status=status)


@require_POST
@requires(Fact.HEALTH, Access.CHANGE)
def drop(request: Request, pk: int, which: int) -> HttpResponse:
    """Throw away one that never went out."""
    try:
        actions.drop_letter(by=actor_of(request), letter=_found(pk, which))
        messages.success(request, "Thrown away.")
    except Refused as refused:
        messages.error(request, str(refused))
    return redirect("clients:letters", pk)
