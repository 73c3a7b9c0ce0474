"""What is published about a class: description, chapters, promises; and the template."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.http import content_disposition_header
from django.utils.text import slugify
from django.views.decorators.http import require_http_methods, require_safe

from coach.practice.audit import actor_of
from coach.practice.http import Request
from coach.practice.permissions import Access, Fact, may, requires
from content.actions import texts as actions
from content.actions.uploads import Refused
from content.models import FitnessClass
from content.queries.chapters import chapters_of
from content.queries.texts import template, words_of
from content.rules.chapters import as_list, as_vtt, problems
from content.rules.description import FIELDS, LONGEST

GET_AND_POST = ("GET", "HEAD", "POST")


@require_http_methods(GET_AND_POST)
@requires(Fact.CONTENT)
def text(request: Request, pk: int) -> HttpResponse:
    """The description to paste, what it promises, and the chapters."""
    item = get_object_or_404(FitnessClass.objects.select_related("series"), pk=pk)
    if request.method != "POST":
        return _page(request, item)
    if not may(request.user, Fact.CONTENT, Access.CHANGE):
        return HttpResponse(status=403)
    try:
        _act(request, item)
    except Refused as refused:
        typed = request.POST.get("description")
        return _page(request, item, wrong=str(refused), typed=typed, status=422)
    messages.success(request, "Kept.")
    return redirect("classes:text", pk)


def _act(request: Request, item: FitnessClass) -> None:
    if "keep" in request.POST:
        actions.keep_promise(by=actor_of(request), item=item, key=request.POST["keep"])
        return
    words = request.POST.get("description", "")
    if "put" in request.POST:
        words = _put(item, request.POST["put"])
    if "from_template" in request.POST:
        words = ""
    actions.keep_description(by=actor_of(request), item=item, description=words)


def _put(item: FitnessClass, key: str) -> str:
    """The description with plainer words in the place of a promise."""
    now = words_of(item)
    found = next((one for one in now.promises if one.key == key), None)
    if found is None or found.words not in now.text:
        raise Refused("These words are not in the description: change the title itself.")
    plainer = found.claim.plainer.split(",")[0].split(";")[0].split(":")[0].strip()
    return now.text.replace(found.words, plainer)


def _page(
    request: Request, item: FitnessClass, *, wrong: str = "", typed: str | None = None,
    status: int = 200,
) -> HttpResponse:  # fmt: skip
    now = words_of(item)
    context = {
        "item": item, "now": now, "wrong": wrong,
        "typed": now.text if typed is None else typed,
        "length": len(now.text), "longest": LONGEST,
        "listed": as_list(now.chapters.chapters),
        "against": problems(now.chapters.chapters, now.chapters.length),
    }  # fmt: skip
    return render(request, "content/text.html", context, status=status)


@require_safe
@requires(Fact.CONTENT)
def chapters_vtt(request: Request, pk: int) -> HttpResponse:
    """The chapters as a WebVTT track."""
    item = get_object_or_404(FitnessClass, pk=pk)
    found = chapters_of(item)
    if not found.chapters:
        raise Http404("no chapters yet")
    try:
        track = as_vtt(found.chapters, found.length)
    except ValueError as wrong:
        messages.error(request, str(wrong))
        return redirect("classes:text", pk)
    response = HttpResponse(track, content_type="text/vtt; charset=utf-8")
    name = f"{slugify(item.title) or 'class'}-chapters.vtt"
    response["Content-Disposition"] = content_disposition_header(True, name) or "attachment"
    return response


@require_http_methods(GET_AND_POST)
@requires(Fact.CONTENT, Access.CHANGE)
def description(request: Request) -> HttpResponse:
    """The template of descriptions, with how one of her classes would look."""
    typed, wrong, status = template(), "", 200
    if request.method == "POST":
        typed = request.POST.get("text", "")
        try:
            actions.keep_template(by=actor_of(request), text=typed)
        except Refused as refused:
            wrong, status = str(refused), 422
        else:
            messages.success(request, "Kept.")
            return redirect("classes:description")
    context: dict[str, Any] = {
        "typed": typed, "wrong": wrong, "fields": FIELDS.items(), "sample": _sample(typed),
    }  # fmt: skip
    return render(request, "content/description.html", context, status=status)


def _sample(typed: str) -> str:
    """One of her classes under a template; "" where she has none that is designed."""
    item = FitnessClass.objects.filter(design__isnull=False).select_related("series").first()
    return words_of(item, of=typed).written.text if item else ""
