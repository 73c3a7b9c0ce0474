"""Notes and pasted messages: written on her page, put right within the day, added to later."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from clients import actions
from clients.forms.notes import AddendumForm, EntryForm
from clients.models import Client, Entry
from clients.rules.happened import HIDDEN
from clients.rules.notes import MESSAGE, NOTE, may_change
from clients.rules.words import says_too_much, unless_quiet
from clients.views.client import her_page
from clients.views.shared import done, looked_at
from coach import clock
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, requires

_LOCKED = "This stands as it is now: add to it instead."
_HIDDEN = "It is not shown while quiet is on: turn quiet off to change it."


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.HEALTH, Access.CHANGE)
def write(request: Request, pk: int) -> HttpResponse:
    """Keep a note, or a message pasted in."""
    client = get_object_or_404(Client, pk=pk)
    sent = request.POST if request.method == "POST" else request.GET
    kind = MESSAGE if sent.get("kind") == MESSAGE else NOTE
    data = request.POST if request.method == "POST" else None
    form = EntryForm(data, kind=kind, today=today(request))
    if done(form, lambda: actions.write_entry(
        by=actor_of(request), client=client, kind=kind, **form.facts)):  # fmt: skip
        messages.success(request, "Kept.")
        return her_page(request, client) if request.htmx else _back(client)
    status = 422 if form.is_bound else 200
    if request.htmx:
        return her_page(request, client, form=form, status=status)
    context = {"client": client, "form": form, "title": "Note" if kind == NOTE else "Message"}
    return render(request, "clients/note.html", context, status=status)


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.HEALTH, Access.CHANGE)
def change(request: Request, pk: int, which: int) -> HttpResponse:
    """Put right what one wrote oneself less than a day ago."""
    entry = _found(pk, which)
    if _hides(entry) or not _is_open(request, entry):
        messages.info(request, _HIDDEN if _hides(entry) else _LOCKED)
        return redirect("clients:add_to_note", pk, entry.adds_to_id or entry.pk)
    data = request.POST if request.method == "POST" else None
    stored = {"text": entry.text, "channel": entry.channel, "day": entry.day}
    form = EntryForm(data, kind=entry.kind, today=today(request), kept=stored)
    if done(form, lambda: actions.change_entry(
        by=actor_of(request), entry=entry, **form.facts)):  # fmt: skip
        messages.success(request, "Kept.")
        return _back(entry.client)
    looked_at(request, entry, ["text"])
    context = {"client": entry.client, "form": form, "title": "Put it right"}
    return render(request, "clients/note.html", context, status=422 if form.is_bound else 200)


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.HEALTH, Access.CHANGE)
def add_to(request: Request, pk: int, which: int) -> HttpResponse:
    """Add to what stands as it is."""
    entry = _found(pk, which)
    form = AddendumForm(request.POST if request.method == "POST" else None)
    if done(form, lambda: actions.add_to_entry(
        by=actor_of(request), entry=entry, text=form.cleaned_data["text"])):  # fmt: skip
        messages.success(request, "Added.")
        return _back(entry.client)
    looked_at(request, entry, ["text"])
    context = {
        "client": entry.client,
        "form": form,
        "title": "Add to it",
        "text": unless_quiet(entry.text, quiet=bool(entry.client.quiet), instead=HIDDEN),
        "day": entry.day,
    }
    return render(request, "clients/note.html", context, status=422 if form.is_bound else 200)


def _found(pk: int, which: int) -> Entry:
    rows = Entry.objects.select_related("client", "adds_to")
    return get_object_or_404(rows, pk=which, client_id=pk)


def _is_open(request: Request, entry: Entry) -> bool:
    return may_change(entry.written_at, now=clock.now(), written_by=entry.by_id, by=request.user.pk)


def _hides(entry: Entry) -> bool:
    return bool(entry.client.quiet) and says_too_much(f"{entry.text} {entry.channel}")


def _back(client: Client) -> HttpResponseRedirect:
    return HttpResponseRedirect(f"{reverse('clients:client', args=[client.pk])}#happened")
