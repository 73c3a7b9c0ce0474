"""What a client agreed to, purpose by purpose, and taking it back: as easy as giving it."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse, HttpResponseBadRequest
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from clients.actions import Refused
from clients.actions.consents import give_consent, withdraw_consent
from clients.models import Client
from clients.queries.consents import agreements_of
from coach.practice.audit import actor_of
from coach.practice.http import Request
from coach.practice.permissions import Access, Fact, requires


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.CONTACT, Access.CHANGE)
def consents(request: Request, pk: int) -> HttpResponse:
    """Each purpose with its words, since when; one tap records what she said."""
    client = get_object_or_404(Client, pk=pk)
    if request.method == "POST":
        purpose, taken_back = request.POST.get("purpose", ""), "withdraw" in request.POST
        act = withdraw_consent if taken_back else give_consent
        try:
            act(by=actor_of(request), client=client, purpose=purpose)
        except Refused as refused:
            return HttpResponseBadRequest(str(refused))
        messages.success(request, "Taken back." if taken_back else "Kept.")
        return redirect("clients:consents", pk)
    found = agreements_of(client, request.practice.name)
    return render(request, "clients/consents.html", {"client": client, "agreements": found})
