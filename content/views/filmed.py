"""The captions of a filmed class: what they tell, and times put right by hand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from coach.practice.audit import actor_of
from coach.practice.http import Request
from coach.practice.permissions import Access, Fact, requires
from content.actions import filmed as actions
from content.actions.uploads import Refused
from content.forms.filmed import CaptionsForm, FixForm
from content.models import FitnessClass
from content.queries.class_page import found
from content.queries.filmed import Filmed, filmed
from content.rules.alignment import Found
from content.rules.film_times import confidence_words, film_clock
from content.rules.interval_words import side_words
from content.rules.timeline import clock


@dataclass(frozen=True, slots=True)
class TimeRow:
    """One interval as the page prints it; `typed` and `error` of a time that was not taken."""

    key: str
    title: str
    side: str
    planned: str
    at: str
    words: str
    mark: str
    fixed: bool
    typed: str
    error: str


@require_safe
@requires(Fact.CONTENT)
def captions(request: Request, pk: int) -> HttpResponse:
    """What the captions of the film tell."""
    return _page(request, _found(pk))


@require_POST
@requires(Fact.CONTENT, Access.CHANGE)
def keep_captions(request: Request, pk: int) -> HttpResponse:
    """Keep a caption file, or text that was pasted."""
    item = _found(pk)
    form = _form(filmed(item), request)
    if form.is_valid():
        try:
            actions.keep_captions(
                by=actor_of(request), item=item, captions=form.captions,
                file_name=form.file_name, length_ms=form.cleaned_data["length"],
                keep_fixed=bool(form.cleaned_data.get("keep_fixed")),
            )  # fmt: skip
        except Refused as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, " ".join(["The captions are kept.", form.captions.notice]))
            return redirect("classes:captions", pk)
    return _page(request, item, form=form, status=422)


@require_POST
@requires(Fact.CONTENT, Access.CHANGE)
def fix_time(request: Request, pk: int) -> HttpResponse:
    """Put one time right, or take that back: the rest is aligned anew."""
    item = _found(pk)
    form = FixForm(request.POST)
    back = request.POST.get("op") == "back"
    if not (form.is_valid() or (back and "key" in form.cleaned_data)):
        return _page(request, item, fix=form, status=422)
    try:
        actions.fix_time(
            by=actor_of(request), item=item, key=form.cleaned_data["key"],
            at_ms=None if back else form.cleaned_data["at"],
        )  # fmt: skip
    except Refused as refused:
        return _page(request, item, wrong=str(refused), status=422)
    messages.success(request, "Taken back." if back else "Put right; the rest is found anew.")
    return redirect("classes:captions", pk)


@require_POST
@requires(Fact.CONTENT, Access.CHANGE)
def align_again(request: Request, pk: int) -> HttpResponse:
    """Compare the captions with the design as it is now."""
    item = _found(pk)
    try:
        actions.align_again(by=actor_of(request), item=item)
    except Refused as refused:
        return _page(request, item, wrong=str(refused), status=422)
    messages.success(request, "Found anew for the design as it is now.")
    return redirect("classes:captions", pk)


def _found(pk: int) -> FitnessClass:
    try:
        return found(pk)
    except FitnessClass.DoesNotExist as none:
        raise Http404("no such class") from none


def _form(now: Filmed, request: Request | None = None) -> CaptionsForm:
    any_fixed = bool(now.row and now.row.fixed)
    if request is not None:
        return CaptionsForm(request.POST, request.FILES, any_fixed=any_fixed)
    return CaptionsForm(any_fixed=any_fixed, initial={"keep_fixed": True})


def _page(
    request: Request,
    item: FitnessClass,
    *,
    form: CaptionsForm | None = None,
    fix: FixForm | None = None,
    wrong: str = "",
    status: int = 200,
) -> HttpResponse:
    now = filmed(item)
    aligned = now.aligned
    context: dict[str, Any] = {
        "item": item,
        "now": now,
        "rows": [_row(one, fix) for one in aligned.found] if aligned else [],
        "missing": [_title(one.title, one.side) for one in aligned.missing] if aligned else [],
        "blocks": _blocks(now),
        "form": form or _form(now),
        "wrong": wrong,
    }
    return render(request, "content/captions.html", context, status=status)


def _row(one: Found, fix: FixForm | None) -> TimeRow:
    mine = fix is not None and fix.data.get("key") == one.target.key
    at = "" if one.at is None else film_clock(one.at)
    return TimeRow(
        one.target.key, one.target.title, side_words(one.target.side),
        clock(one.target.planned_ms // 1000), at,
        confidence_words(one), _mark(one), one.fixed,
        fix.data.get("at", "") if fix and mine else at,
        " ".join(str(error) for error in fix.errors.get("at", ())) if fix and mine else "",
    )  # fmt: skip


def _mark(one: Found) -> str:
    if one.fixed:
        return "fixed"
    return "not known" if one.at is None or one.confidence < 0.6 else "done"


def _title(title: str, side: str) -> str:
    return f"{title}, {side_words(side)}" if side else title


def _blocks(now: Filmed) -> list[tuple[str, str, str, str]]:
    """(name, planned, filmed, how much longer or shorter) of each block."""
    if now.aligned is None:
        return []
    return [
        (now.shown.line.blocks[one.block].name, clock(one.planned // 1000),
         "not known" if one.filmed is None else clock(one.filmed // 1000),
         _over(one.planned, one.filmed))
        for one in now.aligned.overrun
    ]  # fmt: skip


def _over(planned: int, took: int | None) -> str:
    if took is None:
        return ""
    seconds = round((took - planned) / 1000)
    if seconds == 0:
        return "as planned"
    return f"{clock(abs(seconds))} {'longer' if seconds > 0 else 'shorter'}"
