"""The roster: everybody who is coached, found as one types."""

from __future__ import annotations

from django.core.paginator import Paginator
from django.http import HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_safe
from django_htmx.http import replace_url

from clients import queries
from clients.forms.roster import RosterForm
from clients.rules.go_ahead_words import not_checked_words
from coach.htmx import render_partial
from coach.practice.http import Request, today
from coach.practice.permissions import Fact, may, requires

CLIENTS_A_PAGE = 25


@require_safe
@requires(Fact.CONTACT)
def roster(request: Request) -> HttpResponse:
    """Search, filters, order and page are all in the address."""
    stage, word = (may(request.user, fact) for fact in (Fact.STAGE, Fact.GO_AHEAD))
    form = RosterForm.read(request.GET, with_stage=stage, with_word=word)
    now = today(request)
    found = queries.roster(now, with_stage=stage, with_word=word, **form.filters)
    unchecked = queries.policies().on(now).unchecked if word else ()
    context = {
        "unchecked": not_checked_words(unchecked),
        "form": form,
        "roster": found,
        "page": Paginator(found.lines, CLIENTS_A_PAGE).get_page(request.GET.get("page")),
    }
    answer = render_partial(request, "clients/roster.html", context, partials={"roster": "roster"})
    if request.htmx:
        replace_url(answer, f"{reverse('clients:roster')}?{form.address}".rstrip("?"))
    return answer
