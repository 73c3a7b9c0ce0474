"""Making classes: what is due by day, the ticks of a class, the practice's checklist."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse, HttpResponseBadRequest
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, requires
from content.actions import making as actions
from content.actions.uploads import Refused
from content.forms.making import CheckItemForm, MoveForm, RetireForm, TickForm
from content.models import FitnessClass
from content.queries.class_page import found
from content.queries.making import checklist as checklist_rows
from content.queries.making import class_making, step_of
from content.queries.making_page import making_page
from content.rules.making import TITLES, Item

_change = requires(Fact.CONTENT, Access.CHANGE)


@require_safe
@requires(Fact.CONTENT)
def making(request: Request) -> HttpResponse:
    """What is to be made, by day; what is late, and the hours of the weeks."""
    return render(request, "content/making.html", {"page": making_page(today(request))})


@require_POST
@_change
def check(request: Request, pk: int) -> HttpResponse:
    """Tick one item for a class, or take that back."""
    item, form, refused = _found(pk), TickForm(request.POST), ""
    if not form.is_valid():
        return HttpResponseBadRequest("There is no such item.\n", content_type="text/plain")
    try:
        actions.tick(by=actor_of(request), item=item, today=today(request), **form.cleaned_data)
    except Refused as error:
        refused = str(error)
    if not request.htmx:
        if refused:
            messages.error(request, refused)
        return redirect(f"{reverse('classes:detail', args=[pk])}#making")
    shown = class_making(item, today=today(request))
    context = {"item": item, "making": shown, "refused": refused}
    context["opened"] = step_of(form.cleaned_data["code"])
    return render(request, "content/_class_making.html", context)


@require_safe
@requires(Fact.CONTENT)
def checklist(request: Request) -> HttpResponse:
    """What is looked at in every class, by step."""
    return _checklist_page(request)


@require_POST
@_change
def keep_check_item(request: Request) -> HttpResponse:
    """Add an item, change one, or put it earlier or later."""
    if "move" in request.POST:
        return _move(request)
    form = CheckItemForm(request.POST)
    if form.is_valid():
        try:
            actions.keep_check_item(by=actor_of(request), **form.cleaned_data)
        except Refused as refused:
            form.add_error("words", str(refused))
        else:
            messages.success(request, f"“{form.cleaned_data['words']}” is on the checklist.")
            return redirect("uploads:checklist")
    return _checklist_page(request, bound=form)


@require_POST
@_change
def retire_check_item(request: Request, code: str) -> HttpResponse:
    """Ask for an item no more, or again."""
    form = RetireForm(request.POST)
    retired = form.is_valid() and form.cleaned_data["retired"]
    try:
        row = actions.retire_check_item(by=actor_of(request), code=code, retired=retired)
    except Refused as refused:
        messages.error(request, str(refused))
    else:
        how = "not asked for any more" if retired else "asked for again"
        messages.success(request, f"“{row.words}” is {how}.")
    return redirect("uploads:checklist")


def _move(request: Request) -> HttpResponse:
    form = MoveForm(request.POST)
    if not form.is_valid():
        return HttpResponseBadRequest("An item goes earlier or later.\n", content_type="text/plain")
    code = form.cleaned_data["code"]
    try:
        earlier = form.cleaned_data["move"] == "earlier"
        actions.move_check_item(by=actor_of(request), code=code, earlier=earlier)
    except Refused as refused:
        messages.error(request, str(refused))
    return redirect(f"{reverse('uploads:checklist')}#item-{code}")


def _found(pk: int) -> FitnessClass:
    try:
        return found(pk)
    except FitnessClass.DoesNotExist as none:
        raise Http404("no such class") from none


def _checklist_page(request: Request, *, bound: CheckItemForm | None = None) -> HttpResponse:
    items = checklist_rows()
    code = bound.data.get("code", "") if bound else ""
    there = code in {one.code for one in items if not one.retired}
    context: dict[str, Any] = {
        "steps": [
            (TITLES[step], [(one, _form(one, bound, code)) for one in rows])
            for step in TITLES
            if (rows := [one for one in items if one.step == step and not one.retired])
        ],
        "retired": [one for one in items if one.retired],
        "new": bound if bound and not there else CheckItemForm(auto_id="new_%s"),
    }
    return render(request, "content/checklist.html", context, status=422 if bound else 200)


def _form(one: Item, bound: CheckItemForm | None, code: str) -> CheckItemForm:
    """The form of one item; what was typed stays in it where it was refused."""
    if bound and one.code == code:
        return bound
    initial = {"code": one.code, "words": one.words, "step": one.step}
    return CheckItemForm(initial=initial, auto_id=f"{one.code}_%s")
