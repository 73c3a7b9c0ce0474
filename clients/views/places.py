"""Where a client trains, and whom to ring there."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from clients import actions, queries
from clients.forms.place import PlaceForm
from clients.models import Client
from clients.views.shared import done
from coach.practice.audit import actor_of
from coach.practice.http import Request
from coach.practice.permissions import Access, Fact, requires


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.LIMITS, Access.CHANGE)
def place(request: Request, pk: int) -> HttpResponse:
    """Her address while she trains, the number there, whom to ring; and another until a day."""
    client = get_object_or_404(Client, pk=pk)
    data = request.POST if request.method == "POST" else None
    form = PlaceForm(data, place=queries.place_of(client), quiet=bool(client.quiet))
    if done(form, lambda: actions.set_place(
        by=actor_of(request), client=client, **form.cleaned_data)):  # fmt: skip
        messages.success(request, "Kept.")
        return redirect("clients:client", pk)
    context = {"client": client, "form": form}
    return render(request, "clients/place.html", context, status=422 if form.is_bound else 200)
