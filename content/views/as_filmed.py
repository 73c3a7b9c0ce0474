"""What was really filmed: from then on whom a class suits goes by that."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from coach.practice.audit import actor_of
from coach.practice.http import Request
from coach.practice.permissions import Access, Fact, requires
from content.actions.design import set_filmed
from content.actions.uploads import Refused
from content.models import FitnessClass
from content.queries.as_filmed import FilmPage, film_page
from content.rules.as_filmed import Told, as_filmed


@require_http_methods(("GET", "HEAD", "POST"))
@requires(Fact.CONTENT, Access.CHANGE)
def as_filmed_page(request: Request, pk: int) -> HttpResponse:
    """Item by item: in the film or not, done instead, which options are shown."""
    page = film_page(get_object_or_404(FitnessClass, pk=pk))
    if request.method != "POST":
        return _render(request, page, page.begin, {}, {})
    typed = {one.key: request.POST.get(f"instead-{one.key}", "").strip() for one in page.rows}
    instead, wrong = {}, {}
    for key, words in typed.items():
        found = page.library.named(words) if words else None
        if words and found is None:
            wrong[key] = f"“{words}” is not in the list of exercises."
        elif found is not None:
            instead[key] = found.code
    told = Told(request.POST.getlist("taken"), request.POST.getlist("shown"), instead)
    refused = "" if wrong else _keep(request, page, told)
    if wrong or refused:
        return _render(request, page, told, typed, wrong, refused=refused)
    messages.success(request, "Kept: whom it suits goes by the film from now on.")
    return redirect("classes:suits", pk)


def _keep(request: Request, page: FilmPage, told: Told) -> str:
    """Why it cannot be kept; "" when it is."""
    try:
        filmed = None if "as_planned" in request.POST else as_filmed(page.plan, told)
        set_filmed(by=actor_of(request), item=page.item, filmed=filmed)
    except (ValueError, Refused) as why:
        return str(why)
    return ""


def _render(
    request: Request, page: FilmPage, told: Told, typed: dict[str, str], wrong: dict[str, str],
    *, refused: str = "",
) -> HttpResponse:  # fmt: skip
    lines = [
        {
            "row": one, "taken": one.key in told.taken, "instead": typed.get(one.key, ""),
            "wrong": wrong.get(one.key, ""),
            "options": [(each, each.key in told.shown) for each in one.options],
        }
        for one in page.rows
    ]  # fmt: skip
    context = {"item": page.item, "page": page, "lines": lines, "wrong": wrong, "refused": refused,
               "names": sorted(one.name for one in page.library.values())}  # fmt: skip
    status = 422 if wrong or refused else 200
    return render(request, "content/as_filmed.html", context, status=status)
