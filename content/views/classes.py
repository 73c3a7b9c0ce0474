"""The Classes section: the shelf, the published history, one class and what can be done with it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django import forms
from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from coach.htmx import render_partial
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, may, requires
from content.actions import classes as actions
from content.actions import uploads as upload_actions
from content.actions.uploads import Refused
from content.forms.classes import ClassForm, CorrectionForm, PlaceForm, PublishForm, WithdrawForm
from content.forms.shelf import ShelfForm
from content.models import FitnessClass
from content.queries import classes as queries
from content.queries.class_page import class_page, corrections_of, found, live_upload
from content.queries.making import class_making
from content.queries.pace import pace_page
from content.queries.suits import sent_of

CLASSES_A_PAGE = 40
DAYS_A_PAGE = 60
LONGEST_NUMBER = 19  # digits of the largest id


@require_safe
@requires(Fact.CONTENT)
def shelf(request: Request) -> HttpResponse:
    """Every class, narrowed by the filters."""
    form = ShelfForm(request.GET, series=queries.all_series())
    wanted, groups = form.wanted(), queries.group_counts()
    page = Paginator(queries.shelf(**wanted), CLASSES_A_PAGE).get_page(request.GET.get("page"))
    context = {
        "form": form,
        "page": page,
        "lines": [queries.line(item, today=today(request)) for item in page],
        "groups": groups,
        "group": wanted["group"],
        "total": sum(one.count for one in groups),
        "narrowed": form.narrowed(),
    }
    return render_partial(request, "content/classes.html", context, partials={"shelf": "shelf"})


@require_safe
@requires(Fact.CONTENT)
def history(request: Request) -> HttpResponse:
    """What came out and when, by month."""
    page = Paginator(queries.published(), DAYS_A_PAGE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "months": queries.by_month(list(page), today=today(request)),
        "pace": pace_page(today=today(request)),
    }
    return render(request, "content/classes_history.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.CONTENT, Access.CHANGE)
def add(request: Request) -> HttpResponse:
    """Add a class; `after` names the one before it when several are typed in a row."""
    form = ClassForm(
        request.POST or None, today=today(request), initial=_initial_after(request.GET.get("after"))
    )
    if form.is_valid():
        item = _kept(form, lambda: actions.add_class(by=actor_of(request), **form.values()))
        if item:
            messages.success(request, f"“{item.title}” is added.{_warning(item)}")
            if "another" in request.POST:
                return redirect(f"{reverse('classes:add')}?after={item.pk}")
            return redirect("classes:detail", item.pk)
    return _form_page(request, form, None)


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.CONTENT, Access.CHANGE)
def edit(request: Request, pk: int) -> HttpResponse:
    """Change a class."""
    item = _found(pk)
    form = ClassForm(
        request.POST or None,
        today=today(request),
        instance=item,
        uploaded=live_upload(item) is not None,
        initial=ClassForm.initial_from(item),
    )
    if form.is_valid():
        kept = _kept(
            form, lambda: actions.change_class(by=actor_of(request), item=item, **form.values())
        )
        if kept:
            messages.success(request, f"“{kept.title}” is kept.{_warning(kept)}")
            return redirect("classes:detail", pk)
    return _form_page(request, form, item)


@require_safe
@requires(Fact.CONTENT)
def detail(request: Request, pk: int) -> HttpResponse:
    """One class: what it is, its days, its series."""
    return _detail_page(request, _found(pk))


@require_POST
@requires(Fact.CONTENT, Access.CHANGE)
def step(request: Request, pk: int) -> HttpResponse:
    """Take a class in the making one state further."""
    item = _found(pk)
    try:
        actions.step_on(by=actor_of(request), item=item)
    except Refused as refused:
        messages.error(request, str(refused))
    else:
        messages.success(request, f"“{item.title}” is {item.get_state_display()}.")
    return redirect("classes:detail", pk)


@require_POST
@requires(Fact.CONTENT, Access.CHANGE)
def place(request: Request, pk: int) -> HttpResponse:
    """Give a class its publish day."""
    item, form = _found(pk), PlaceForm(request.POST)
    return _act(
        request,
        item,
        form,
        lambda: upload_actions.place(
            by=actor_of(request), item=item, day=form.cleaned_data["upload_day"]
        ),
        f"“{item.title}” has its day.",
    )


@require_POST
@requires(Fact.CONTENT, Access.CHANGE)
def publish(request: Request, pk: int) -> HttpResponse:
    """Say that a class is out, whether it had a day or not."""
    item, form = _found(pk), PublishForm(request.POST)
    return _act(
        request, item, form, lambda: _publish(request, item, form), f"“{item.title}” is published."
    )


def _publish(request: Request, item: FitnessClass, form: PublishForm) -> None:
    day, upload = form.cleaned_data["published_day"], live_upload(item)
    if upload:
        upload_actions.publish(by=actor_of(request), upload=upload, day=day)
    else:
        upload_actions.publish_unplanned(by=actor_of(request), item=item, day=day)


@require_POST
@requires(Fact.CONTENT, Access.CHANGE)
def take_off(request: Request, pk: int) -> HttpResponse:
    """Take its day away again."""
    upload = live_upload(_found(pk))
    if upload is None:
        messages.error(request, "It has no day to take off.")
        return redirect("classes:detail", pk)
    try:
        upload_actions.take_off(by=actor_of(request), upload=upload)
    except Refused as refused:
        messages.error(request, str(refused))
    else:
        messages.success(request, f"“{upload.item.title}” has no day any more.")
    return redirect("classes:detail", pk)


@require_POST
@requires(Fact.CONTENT, Access.CHANGE)
def withdraw(request: Request, pk: int) -> HttpResponse:
    """Take a class out of use, with the reason."""
    item, form = _found(pk), WithdrawForm(request.POST)
    return _act(
        request,
        item,
        form,
        lambda: actions.withdraw(
            by=actor_of(request),
            item=item,
            reason=form.cleaned_data["reason"],
            note=form.cleaned_data["to_know"],
        ),
        f"“{item.title}” is withdrawn.",
    )


@require_POST
@requires(Fact.CONTENT, Access.CHANGE)
def correct(request: Request, pk: int) -> HttpResponse:
    """Note what was put right about a class that is out."""
    item, form = _found(pk), CorrectionForm(request.POST)
    return _act(
        request,
        item,
        form,
        lambda: actions.correct(by=actor_of(request), item=item, **form.cleaned_data),
        "Noted: tell those who have it.",
    )


@require_POST
@requires(Fact.CONTENT, Access.CHANGE)
def delete(request: Request, pk: int) -> HttpResponse:
    """Delete an idea that never had a day."""
    item = _found(pk)
    try:
        actions.delete_idea(by=actor_of(request), item=item)
    except Refused as refused:
        messages.error(request, str(refused))
        return redirect("classes:detail", pk)
    messages.success(request, f"“{item.title}” is deleted.")
    return redirect("classes:shelf")


def _found(pk: int) -> FitnessClass:
    try:
        return found(pk)
    except FitnessClass.DoesNotExist as none:
        raise Http404("no such class") from none


def _initial_after(pk: str | None) -> dict[str, Any]:
    is_number = pk and pk.isascii() and pk.isdigit() and len(pk) < LONGEST_NUMBER
    before = queries.class_or_none(int(pk)) if pk and is_number else None
    return ClassForm.initial_after(before) if before else {}


def _kept(form: ClassForm, act: Callable[[], FitnessClass]) -> FitnessClass | None:
    """What an action keeps; None with the reason on the form if a rule is against it."""
    try:
        return act()
    except Refused as refused:
        form.add_error(None, str(refused))
        return None


def _warning(item: FitnessClass) -> str:
    return "" if item.stages else " Its stages are not known: it serves nobody in a plan."


def _act(
    request: Request, item: FitnessClass, form: forms.Form, act: Callable[[], Any], done: str
) -> HttpResponse:
    """Do what a form on the class's page asks for; what is against it is said beside the field."""
    if form.is_valid():
        try:
            act()
        except Refused as refused:
            form.add_error(next(iter(form.fields)), str(refused))
        else:
            messages.success(request, done)
            return redirect("classes:detail", item.pk)
    return _detail_page(request, _found(item.pk), status=422, **{type(form).__name__: form})


def _form_page(request: Request, form: ClassForm, item: FitnessClass | None) -> HttpResponse:
    context = {"form": form, "item": item, "series": queries.all_series()}
    status = 422 if form.errors else 200
    return render(request, "content/class_form.html", context, status=status)


def _detail_page(
    request: Request, item: FitnessClass, *, status: int = 200, **bound: forms.Form
) -> HttpResponse:
    page, sent = class_page(item, today=today(request)), sent_of(item)
    context = {
        "page": page,
        "item": page.item,
        "line": page.line,
        "making": class_making(item, today=today(request)),
        "place_form": bound.get("PlaceForm") or PlaceForm(),
        "publish_form": bound.get("PublishForm")
        or PublishForm(initial={"published_day": page.day_out}),
        "withdraw_form": bound.get("WithdrawForm") or WithdrawForm(),
        "correction_form": bound.get("CorrectionForm") or CorrectionForm(),
        "corrections": corrections_of(item),
        "sent": sent if may(request.user, Fact.HEALTH, Access.SEE) else [],
        "sent_to": len(sent),
    }
    return render(request, "content/class_detail.html", context, status=status)
