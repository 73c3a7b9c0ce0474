"""What a class is filmed with: run sheet, timer, cue track; and titles to lay over the film."""

from __future__ import annotations

from django.http import Http404, HttpResponse, StreamingHttpResponse
from django.shortcuts import render
from django.utils.http import content_disposition_header
from django.utils.text import slugify
from django.views.decorators.http import require_safe

from coach.practice.http import Request, today
from coach.practice.permissions import Fact, requires
from content.documents import run_sheet_pdf
from content.models import FitnessClass
from content.queries.class_page import found
from content.queries.film import Planned, as_shown, planned, titles_of
from content.rules.cue_track import LONGEST_S, chunks, size
from content.rules.run_sheet import run_sheet as sheet_of
from content.rules.timeline import clock
from content.rules.timer import GET_READY_S, beeps_for_script, steps
from content.rules.titles import Title, as_srt, as_vtt

NOT_DESIGNED = "It is not designed yet."


@require_safe
@requires(Fact.CONTENT)
def run_sheet(request: Request, pk: int) -> HttpResponse:
    """The plan on paper, to be filmed from."""
    plan = _something(planned(_found(pk)))
    sheet = sheet_of(plan.item.title, today(request), plan.design, plan.line, plan.library)
    pdf = run_sheet_pdf(sheet, request.practice.name)
    return _file(pdf, "application/pdf", f"run-sheet-{_name(plan.item)}.pdf", shown=True)


@require_safe
@requires(Fact.CONTENT)
def timer(request: Request, pk: int) -> HttpResponse:
    """The plan counted down; without a script the list of its intervals."""
    plan = planned(_found(pk))
    context = {
        "item": plan.item,
        "steps": steps(plan.design, plan.line, plan.library),
        "beeps": beeps_for_script(plan.line),
        "seconds": plan.line.seconds,
        "length": clock(plan.line.seconds),
        "ready": GET_READY_S,
    }
    return render(request, "content/timer.html", context)


@require_safe
@requires(Fact.CONTENT)
def cues_wav(request: Request, pk: int) -> StreamingHttpResponse:
    """The beeps as sound, to lie under the film."""
    plan = _something(as_shown(_found(pk)))
    if plan.line.seconds > LONGEST_S:
        raise Http404("no sound is made for more than six hours")
    answer = StreamingHttpResponse(chunks(plan.line), content_type="audio/wav")
    answer["Content-Length"] = size(plan.line)
    answer["Content-Disposition"] = _disposition(f"cues-{_name(plan.item)}.wav")
    return answer


@require_safe
@requires(Fact.CONTENT)
def titles_vtt(request: Request, pk: int) -> HttpResponse:
    """The titles as WebVTT."""
    item = _found(pk)
    return _file(as_vtt(_titles(item)), "text/vtt; charset=utf-8", f"titles-{_name(item)}.vtt")


@require_safe
@requires(Fact.CONTENT)
def titles_srt(request: Request, pk: int) -> HttpResponse:
    """The titles as SRT."""
    item = _found(pk)
    kind = "application/x-subrip; charset=utf-8"
    return _file(as_srt(_titles(item)), kind, f"titles-{_name(item)}.srt")


def _titles(item: FitnessClass) -> tuple[Title, ...]:
    shown = titles_of(item)
    if not shown:
        raise Http404(NOT_DESIGNED)
    return shown


def _found(pk: int) -> FitnessClass:
    try:
        return found(pk)
    except FitnessClass.DoesNotExist as none:
        raise Http404("no such class") from none


def _something(plan: Planned) -> Planned:
    if not plan.any:
        raise Http404(NOT_DESIGNED)
    return plan


def _name(item: FitnessClass) -> str:
    return slugify(item.title) or str(item.pk)


def _disposition(name: str, *, shown: bool = False) -> str:
    return content_disposition_header(not shown, name) or "attachment"


def _file(content: bytes | str, kind: str, name: str, *, shown: bool = False) -> HttpResponse:
    headers = {"Content-Disposition": _disposition(name, shown=shown)}
    return HttpResponse(content, content_type=kind, headers=headers)
