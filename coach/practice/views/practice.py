"""The Practice section: the business, its audit trail, taking everything away, the style page."""

from __future__ import annotations

import json

from django.contrib import messages
from django.core.paginator import Paginator
from django.core.serializers.json import DjangoJSONEncoder
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from coach.practice import actions, queries, registry
from coach.practice.audit import actor_of
from coach.practice.forms import DetailsForm
from coach.practice.http import Request
from coach.practice.permissions import TABLE, Access, Fact, may, requires
from coach.practice.style_form import StyleForm

ENTRIES_A_PAGE = 50


@require_safe
def index(request: Request) -> HttpResponse:
    """What there is in this section for the person signed in."""
    pages = [
        page for page in registry.settings_pages() if may(request.user, page.fact, Access.CHANGE)
    ]
    return render(request, "practice/index.html", {"settings_pages": pages})


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.PRACTICE, Access.CHANGE)
def details(request: Request) -> HttpResponse:
    """The business details."""
    form = DetailsForm(request.POST or None, initial=DetailsForm.initial_from(request.practice))
    if request.method == "POST" and form.is_valid():
        actions.change_practice(
            by=actor_of(request), practice=request.practice, **form.practice_values()
        )
        messages.success(request, "The details are kept.")
        return redirect("practice:index")
    return render(request, "practice/details.html", {"form": form})


@require_safe
@requires(Fact.PRACTICE)
def trail(request: Request) -> HttpResponse:
    """Who did what, newest first."""
    page = Paginator(queries.trail(), ENTRIES_A_PAGE).get_page(request.GET.get("page"))
    return render(request, "practice/trail.html", {"page": page})


@require_safe
@requires(Fact.PRACTICE)
def roles(request: Request) -> HttpResponse:
    """The table of who may see what, as the code has it."""
    rows = [(role, list(facts.values())) for role, facts in TABLE.items()]
    return render(request, "practice/roles.html", {"facts": list(Fact), "rows": rows})


@require_POST
@requires(Fact.PRACTICE, Access.CHANGE)
def take_away(request: Request) -> HttpResponse:
    """Everything that is stored, readable, as one JSON file."""
    actions.record_export(by=actor_of(request), practice=request.practice)
    text = json.dumps(dict(queries.everything()), cls=DjangoJSONEncoder, indent=1)
    return HttpResponse(
        text,
        content_type="application/json",
        headers={"Content-Disposition": 'attachment; filename="practice.json"'},
    )


@require_safe
@requires(Fact.PRACTICE)
def style(request: Request) -> HttpResponse:
    """Each piece of the look once."""
    form = StyleForm({"title": "", "day": "", "focus": "core"})
    return render(request, "style.html", {"form": form})
