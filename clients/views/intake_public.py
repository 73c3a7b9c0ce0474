"""The form as its client sees it: no account, one screen a step, kept as she goes.

A link that is wrong, run out, withdrawn or used answers everybody with the same short page.
"""

from __future__ import annotations

import uuid
from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST
from django_htmx.http import HttpResponseClientRedirect

from clients.actions import Refused
from clients.actions import intake as actions
from clients.documents.taken import taken
from clients.forms.intake import AgeForm
from clients.forms.intake_steps import Visit, form_for, raw_values, told_of
from clients.models import Intake
from clients.queries import intake as queries
from clients.rules.documents import DocumentRefused
from clients.rules.intake import Step, next_step, resumes_at, step_before, steps_for
from clients.rules.intake_health import advice_for
from clients.rules.intake_words import step_title
from clients.views.intake_throttle import WINDOW_SECONDS, too_many
from coach import clock
from coach.practice.audit import actor_of
from coach.practice.http import Request

_TEMPLATES = {
    Step.BEFORE: "intake/before.html",
    Step.SIGNS: "intake/questions.html",
    Step.HEALTH: "intake/questions.html",
    Step.LETTER: "intake/letter.html",
}
LinkView = Callable[..., HttpResponse]


def for_link(view: LinkView) -> Callable[..., HttpResponse]:
    """Throttled, kept by nobody, telling other sites nothing; `view` gets the form of the link.

    Not "no-referrer": a browser would then send a form without saying where it comes from, and
    the check against forged requests refuses such (Fetch standard, "append a request Origin
    header").
    """

    @login_not_required
    @wraps(view)
    def answered(request: Request, /, token: str, **kwargs: Any) -> HttpResponse:
        if too_many(request, token):
            response = render(request, "intake/later.html", status=429)
            response["Retry-After"] = str(WINDOW_SECONDS)
        else:
            response = _answer(view, request, token, kwargs)
        response["Cache-Control"] = "no-store"
        response["Referrer-Policy"] = "same-origin"
        return response

    return answered


def _answer(view: LinkView, request: Request, token: str, kwargs: dict[str, Any]) -> HttpResponse:
    found = queries.found_by(token)
    if found is None or not (queries.is_live(found, clock.now()) or _is_sent_again(request, found)):
        return closed(request)
    recorded = queries.recorded_of(queries.whose(found))
    days = queries.days_for(found)
    visit = Visit(found, token, recorded, days[0], request.practice.name)
    try:
        return view(request, visit, **kwargs)
    except actions.Closed:  # while she was writing
        return closed(request)


def _is_sent_again(request: Request, found: Intake) -> bool:
    return request.method == "POST" and found.sent_at is not None


def closed(request: Request) -> HttpResponse:
    """The same for every link that opens nothing."""
    return render(request, "intake/closed.html", status=404)


def for_open_link(view: LinkView) -> Callable[..., HttpResponse]:
    """As for_link, for a form that can be filled in; her age stands before everything else."""

    @for_link
    @wraps(view)
    def answered(request: Request, visit: Visit, **kwargs: Any) -> HttpResponse:
        if visit.intake.sent_at:
            return closed(request)
        if (
            not visit.draft.get("born")
            or kwargs["step"] not in steps_for(visit.draft)
            or queries.is_stopped(visit.intake)
        ):
            return _back_to_begin(request, visit)
        return view(request, visit, **kwargs)

    return answered


def _back_to_begin(request: Request, visit: Visit) -> HttpResponse:
    """The whole window, also where a part of it was asked for."""
    if not request.htmx:
        return redirect("form:begin", visit.token)
    return HttpResponseClientRedirect(reverse("form:begin", args=[visit.token]))


@require_http_methods(["GET", "HEAD", "POST"])
@for_link
def begin(request: Request, visit: Visit) -> HttpResponse:
    """How old she is; then on to where she was."""
    if visit.intake.sent_at:
        return closed(request)
    actions.note_opening(by=actor_of(request), intake=visit.intake)
    if queries.is_stopped(visit.intake):
        return render(request, "intake/guardian.html", {"visit": visit})
    if visit.draft.get("born"):
        return redirect("form:step", visit.token, resumes_at(visit.draft))
    form = AgeForm(request.POST or None, today=visit.today, quiet=visit.quiet)
    if request.method == "POST" and form.is_valid():
        day = form.cleaned_data["age_from"]
        actions.keep_age(by=actor_of(request), intake=visit.intake, born=day)
        return redirect("form:begin", visit.token)
    status = 422 if form.is_bound else 200
    return render(request, "intake/begin.html", {"visit": visit, "form": form}, status=status)


@require_http_methods(["GET", "HEAD", "POST"])
@for_open_link
def step(request: Request, visit: Visit, step: str) -> HttpResponse:
    """One screen. Back keeps what is there unjudged; Next keeps it and looks whether it holds."""
    if request.method != "POST":
        return _page(request, visit, Step(step), form_for(visit, Step(step)))
    go = request.POST.get("go", "next")
    if step == Step.LETTER:
        return _letter(request, visit, go)
    keeps = raw_values(visit, Step(step), request.POST, more=go == "more")
    wanted = {"back": step_before(visit.draft, step), "more": Step(step)}.get(go)
    _keep(request, visit, step, keeps, came_to=wanted or Step(step))
    if wanted:
        return redirect("form:step", visit.token, wanted)
    if go == "back":
        return redirect("form:step", visit.token, step)
    form = form_for(visit, Step(step), keeps, may_be_open=go == "open")
    if not form.is_valid():
        return _page(request, visit, Step(step), form, status=422)
    return _on(request, visit, Step(step), keeps)


def _on(request: Request, visit: Visit, step: Step, keeps: dict[str, str]) -> HttpResponse:
    """To the next screen, or to the end."""
    following = next_step(visit.draft, step)
    if following is None:
        return redirect("form:send", visit.token)
    _keep(request, visit, step, keeps, came_to=following)
    return redirect("form:step", visit.token, following)


def _keep(
    request: Request, visit: Visit, step: str, values: dict[str, str], *, came_to: str
) -> list[str]:
    return actions.keep_step(
        by=actor_of(request), intake=visit.intake, step=Step(step), values=values, came_to=came_to
    )


def _page(
    request: Request, visit: Visit, step: Step, form: Any, *, status: int = 200
) -> HttpResponse:
    steps = steps_for(visit.draft)
    context = {
        "visit": visit,
        "form": form,
        "step": step,
        "title": step_title(step, visit.quiet),
        "at": steps.index(step) + 1,
        "of": len(steps),
        "is_first": step == steps[0],
        **_advice(visit),
    }
    template = _TEMPLATES.get(step, "intake/step.html")
    return render(request, template, context, status=status)


def _advice(visit: Visit) -> dict[str, Any]:
    advice = advice_for(visit.draft, recorded_number=visit.recorded.number)
    return {"advice": advice, "told": visit.held_codes}


@require_POST
@for_open_link
def keep(request: Request, visit: Visit, step: str) -> HttpResponse:
    """What stands in a screen so far, kept at every change; without the script, the screen."""
    before = visit.draft.get("said", {})
    values = raw_values(visit, Step(step), request.POST)
    _keep(request, visit, step, values, came_to=step)
    if not request.htmx:
        return redirect("form:step", visit.token, step)
    context = {**_advice(visit), "is_new": visit.draft.get("said", {}) != before}
    questions = form_for(visit, Step(step)).fields if step in {Step.SIGNS, Step.HEALTH} else ()
    return render(request, "intake/kept.html", {**context, "codes": questions, "visit": visit})


def _letter(request: Request, visit: Visit, go: str) -> HttpResponse:
    """Take the file; what is refused is said beside it, and an earlier one stays."""
    sent = request.FILES.get("letter")
    form = form_for(visit, Step.LETTER, {}, request.FILES)
    try:
        if sent:
            document = taken(sent.name or "", sent.read())
            actions.take_document(by=actor_of(request), intake=visit.intake, document=document)
        elif go == "remove":
            actions.take_document(by=actor_of(request), intake=visit.intake, document=None)
    except DocumentRefused as refused:
        form.add_error("letter", str(refused))
        return _page(request, visit, Step.LETTER, form, status=422)
    if go == "back":
        return redirect("form:step", visit.token, step_before(visit.draft, Step.LETTER))
    if go == "remove" or (sent and go == "more"):
        return redirect("form:step", visit.token, Step.LETTER)
    return redirect("form:send", visit.token)


@require_http_methods(["GET", "HEAD", "POST"])
@for_link
def send(request: Request, visit: Visit) -> HttpResponse:
    """What is open still, and the one button; sent twice with the same key it is received once."""
    intake, key = visit.intake, request.POST.get("key", "")
    if request.method == "POST" and key and intake.sent_at and visit.draft.get("key") == key:
        return render(request, "intake/received.html", {"visit": visit, **_advice(visit)})
    if intake.sent_at:
        return closed(request)
    if not visit.draft.get("born") or queries.is_stopped(intake):
        return redirect("form:begin", visit.token)
    told, look_again, is_open = told_of(visit)
    context: dict[str, Any] = {
        "visit": visit, "look_again": look_again, "open": is_open, "key": key or uuid.uuid4().hex,
        "last": steps_for(visit.draft)[-1], **_advice(visit),
    }  # fmt: skip
    if request.method != "POST" or look_again:
        status = 422 if request.method == "POST" else 200
        return render(request, "intake/send.html", context, status=status)
    try:
        actions.send(by=actor_of(request), intake=intake, key=key, told=told)
    except Refused as refused:
        context["problems"] = refused.problems
        return render(request, "intake/send.html", context, status=422)
    return render(request, "intake/received.html", context)
