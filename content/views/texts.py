"""What is published about a class: description, chapters, promises; and the template."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.http import content_disposition_header
from django.utils.text import slugify
from django.views.decorators.http import require_http_methods, require_safe

from coach.htmx import render_partial
from coach.practice.audit import actor_of
from coach.practice.http import Request
from coach.practice.permissions import Access, Fact, may, requires
from content.actions import texts as actions
from content.actions.uploads import Refused
from content.models import FitnessClass
from content.queries.chapters import chapters_of
from content.queries.texts import sample, samples, template, words_of
from content.rules.chapters import as_list, as_vtt, problems
from content.rules.description import FIELDS, LONGEST, Template, typed_text

GET_AND_POST = ("GET", "HEAD", "POST")
LONGEST_NUMBER = 19  # digits of the largest id


@require_http_methods(GET_AND_POST)
@requires(Fact.CONTENT)
def text(request: Request, pk: int) -> HttpResponse:
    """The description to paste, what it promises, and the chapters; "look" keeps nothing."""
    item = get_object_or_404(FitnessClass.objects.select_related("series"), pk=pk)
    typed = request.POST.get("description")
    if request.method != "POST":
        return _page(request, item)
    if not may(request.user, Fact.CONTENT, Access.CHANGE):
        return HttpResponse(status=403)
    if "look" in request.POST:
        return _page(request, item, typed=typed)
    try:
        _act(request, item, words_of(item).typed if typed is None else typed)
    except Refused as refused:
        return _page(request, item, wrong=str(refused), typed=typed, status=422)
    messages.success(request, "Kept.")
    return redirect("classes:text", pk)


def _act(request: Request, item: FitnessClass, typed: str) -> None:
    """What the button pressed asks for."""
    by, sent = actor_of(request), request.POST
    if "keep" in sent:
        actions.keep_promise(by=by, item=item, key=sent["keep"], typed=typed)
    elif "put" in sent:
        actions.put_plainer(by=by, item=item, key=sent["put"], typed=typed)
    elif "put_title" in sent:
        actions.put_plainer_title(by=by, item=item, key=sent["put_title"])
    elif "again" in sent:
        actions.ask_again(by=by, item=item, key=sent["again"])
    else:
        words = "" if "from_template" in sent else typed
        actions.keep_description(by=by, item=item, description=words)


def _page(
    request: Request, item: FitnessClass, *, wrong: str = "", typed: str | None = None,
    status: int = 200,
) -> HttpResponse:  # fmt: skip
    now = words_of(item, typed=None if typed is None else typed_text(typed))
    context = {
        "item": item, "now": now, "wrong": wrong, "longest": LONGEST,
        "typed": now.typed if typed is None else typed,
        "kept": [(key, key.partition(":")[2]) for key in now.kept],
        "listed": as_list(now.chapters.chapters),
        "against": problems(now.chapters.chapters, now.chapters.length),
    }  # fmt: skip
    partials = {"reading": "reading"}
    return render_partial(request, "content/text.html", context, partials=partials, status=status)


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
    """The template of descriptions, with how one of her classes looks; "look" keeps nothing."""
    if request.method != "POST":
        return _template_page(request, template())
    sent = Template(request.POST.get("text", ""), request.POST.get("links", ""))
    if "look" in request.POST:
        return _template_page(request, sent)
    try:
        actions.keep_template(by=actor_of(request), text=sent.text, links=sent.links)
    except Refused as refused:
        return _template_page(request, sent, wrong=str(refused))
    messages.success(request, "Kept.")
    return redirect("classes:description")


def _template_page(request: Request, typed: Template, *, wrong: str = "") -> HttpResponse:
    chosen = request.POST.get("class", "")
    is_number = chosen.isascii() and chosen.isdigit() and len(chosen) < LONGEST_NUMBER
    looked = Template(typed_text(typed.text), typed_text(typed.links))
    pk, written = sample(looked, int(chosen) if is_number else None)
    context = {
        "typed": typed, "wrong": wrong, "fields": FIELDS.items(), "written": written,
        "longest": LONGEST, "samples": samples(), "chosen": pk,
    }  # fmt: skip
    status, partials = 422 if wrong else 200, {"sample": "sample"}
    page = "content/description.html"
    return render_partial(request, page, context, partials=partials, status=status)
