"""Whom classes suit: a table by stage, one class, one client, one stage."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from clients.models import Client
from coach.practice import audit
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Access, Fact, requires
from coach.practice.queries import the_practice
from coach.scheduling.values import SERVABLE_STAGES, Stage
from content.actions.sending import COPIED, MAIL, send_classes
from content.actions.uploads import Refused
from content.models import FitnessClass
from content.queries.design import design_of
from content.queries.library import library
from content.queries.suits import READY, class_by_stage, classes_for
from content.rules.handing_out import text_for
from content.rules.series import Part
from content.rules.suitability import SUPPOSED, Judged, Verdict, judge_class_stage

MARKS = {
    Verdict.FINE: "yes", Verdict.EASIER: "yes, with limits", Verdict.LEAVE_OUT: "no",
    Verdict.NOT_KNOWN: "not known",
}  # fmt: skip
SHORT = {
    Verdict.FINE: "fits", Verdict.EASIER: "option", Verdict.LEAVE_OUT: "not",
    Verdict.NOT_KNOWN: "not known",
}  # fmt: skip


@require_safe
@requires(Fact.CONTENT)
def table(request: Request) -> HttpResponse:
    """Classes by stage at a glance: a stage excludes by its weeks alone, the person is checked.

    `?with=` supposes something found or had beside the stage.
    """
    asked = request.GET.get("with", "")
    supposed = asked if asked in SUPPOSED else ""
    rows = [
        (row.item, [(MARKS[verdict], SHORT[verdict]) for _, verdict in row.verdicts])
        for row in class_by_stage(supposed=supposed)
    ]
    context = {
        "rows": rows, "stages": SERVABLE_STAGES, "every": SUPPOSED, "supposed": supposed,
        "words": SUPPOSED.get(supposed, ""),
    }  # fmt: skip
    return render(request, "content/suits_table.html", context)


@require_safe
@requires(Fact.CONTENT)
def suits(request: Request, pk: int) -> HttpResponse:
    """One class at every stage, with what stands in the way and where that comes from."""
    item = get_object_or_404(FitnessClass, pk=pk)
    design, known = design_of(item), library()
    stages = []
    for stage in SERVABLE_STAGES:
        judged = judge_class_stage(design, stage, known)
        lines = [_told(one, known) for one in judged.in_the_way]
        row = {"stage": stage, "mark": MARKS[judged.verdict], "word": judged.verdict}
        stages.append({**row, "lines": lines})
    context = {"item": item, "stages": stages, "empty": not design.exercises}
    return render(request, "content/suits.html", context)


def _told(one: Judged, known: Any) -> dict[str, Any]:
    name = known[one.exercise].name if one.exercise in known else one.exercise
    option = known[one.option].name if one.option in known else ""
    return {"name": name, "option": option, "reasons": one.reasons, "verdict": one.verdict}


@require_safe
@requires(Fact.CONTENT)
def for_stage(request: Request, code: str) -> HttpResponse:
    """What there is for a stage: finished and published classes that it does not exclude."""
    try:
        stage = Stage(code)
    except ValueError:
        raise Http404("no such stage") from None
    rows = [
        (row.item, verdict)
        for row in class_by_stage(states=READY)
        for at, verdict in row.verdicts
        if at is stage and verdict in {Verdict.FINE, Verdict.EASIER}
    ]
    context = {"stage": stage, "rows": rows, "stages": SERVABLE_STAGES}
    return render(request, "content/for_stage.html", context)


@require_safe
@requires(Fact.HEALTH)
def for_client(request: Request, client: int) -> HttpResponse:
    """What a client can take this week, and why the rest is left out."""
    her = get_object_or_404(Client, pk=client)
    audit.record(by=actor_of(request), verb="looked at", subject=her, fields=_SHOWN)
    return _for_client(request, her)


_SHOWN = ("assessments", "pregnancies", "clearances", "conditions")


def _for_client(
    request: Request, her: Client, *, wrong: str = "", status: int = 200
) -> HttpResponse:
    found, known = classes_for(her, today(request)), library()
    titles = [one.item.title for one in found.offered]
    context = {
        "client": her,
        "found": found,
        "others": [(one.item, _why(one.judged.in_the_way, known)) for one in found.others],
        "series": [(one, [_part(part, known) for part in one.parts]) for one in found.series],
        "text": text_for(her.name, the_practice().name, titles) if titles else "",
        "wrong": wrong,
    }
    return render(request, "content/for_client.html", context, status=status)


def _part(one: Part, known: Any) -> dict[str, Any]:
    lines = _why(one.judged.in_the_way, known)[:1] if one.judged else []
    return {"part": one, "mark": MARKS[one.verdict], "lines": lines}


def _why(lines: Any, known: Any) -> list[dict[str, Any]]:
    return [_told(one, known) for one in lines if one.verdict is not Verdict.EASIER][:3]


@require_POST
@requires(Fact.HEALTH, Access.CHANGE)
def send(request: Request, client: int) -> HttpResponse:
    """Send her the classes that are chosen, or note that they were copied."""
    her = get_object_or_404(Client, pk=client)
    chosen = [int(pk) for pk in request.POST.getlist("classes") if pk.isdigit() and len(pk) < 12]
    how = MAIL if request.POST.get("how") == MAIL else COPIED
    try:
        rows = send_classes(
            by=actor_of(request), client=her, classes=chosen, how=how, on=today(request)
        )
    except Refused as refused:
        return _for_client(request, her, wrong=str(refused), status=422)
    what = "Sent" if how == MAIL else "Noted as sent"
    messages.success(request, f"{what}: {len(rows)} {'class' if len(rows) == 1 else 'classes'}.")
    return redirect("classes:for_client", her.pk)
