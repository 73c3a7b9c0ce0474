"""The list of exercises: find one, look at what it asks, add one of her own."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from coach.htmx import render_partial
from coach.practice.audit import actor_of
from coach.practice.http import Request
from coach.practice.permissions import Access, Fact, requires
from coach.scheduling.values import SERVABLE_STAGES
from content.actions.exercises import Unfit, keep_exercise, retire_exercise
from content.forms.exercise import ExerciseForm
from content.models import OwnExercise
from content.queries.library import library
from content.rules.exercises import FOCUSES, Exercise, Library
from content.rules.exercises import exercises as exercise_table
from content.rules.suitability import judge_stage
from content.views.suits import MARKS

GET_AND_POST = ("GET", "HEAD", "POST")


@require_safe
@requires(Fact.CONTENT)
def exercises(request: Request) -> HttpResponse:
    """All of them by focus, or those that are searched for."""
    known, find = library(), request.GET.get("find", "").strip()
    own = {row.code: row.retired for row in OwnExercise.objects.all()}
    shown = known.search(find, most=60) if find else sorted(known.values(), key=_by_name)
    context = {
        "find": find,
        "count": len(known),
        "groups": [
            (focus, [(one, one.code in own, own.get(one.code, False)) for one in rows])
            for focus in FOCUSES
            if (rows := [one for one in shown if one.focus == focus])
        ],
    }
    parts = {"list": "list"}
    return render_partial(request, "content/exercises.html", context, partials=parts)


def _by_name(one: Exercise) -> str:
    return one.name


@require_safe
@requires(Fact.CONTENT)
def exercise(request: Request, code: str) -> HttpResponse:
    """What one asks of the body, its options, and which stages exclude it."""
    known = library()
    one = _found(known, code)
    row = OwnExercise.objects.filter(code=code).first()
    stages = [(stage, judge_stage(code, stage, known)) for stage in SERVABLE_STAGES]
    context = {
        "one": one,
        "row": row,
        "easier": [known[each] for each in one.easier if each in known],
        "harder": [known[each] for each in one.harder if each in known],
        "stages": [(stage, MARKS[found.verdict], found) for stage, found in stages],
    }
    return render(request, "content/exercise.html", context)


@require_http_methods(GET_AND_POST)
@requires(Fact.CONTENT, Access.CHANGE)
def add_exercise(request: Request) -> HttpResponse:
    """One of her own."""
    known = library()
    form = ExerciseForm(request.POST if request.method == "POST" else None, known=known)
    if form.is_valid():
        code = form.code if form.code not in known else f"{form.code}-{len(known)}"
        if _kept(request, form, code):
            return redirect("classes:exercise", code)
    return _form(request, form, None)


@require_http_methods(GET_AND_POST)
@requires(Fact.CONTENT, Access.CHANGE)
def edit_exercise(request: Request, code: str) -> HttpResponse:
    """Her version of one: classes that hold it go by it from now on."""
    known = library()
    # One whose row is not sound is mended here, from the table's words.
    one = known.get(code) or exercise_table().get(code) or _found(known, code)
    sent = request.POST if request.method == "POST" else None
    form = ExerciseForm(sent, known=known, initial=ExerciseForm.of(one, known))
    if form.is_valid() and _kept(request, form, code):
        return redirect("classes:exercise", code)
    return _form(request, form, one)


@require_POST
@requires(Fact.CONTENT, Access.CHANGE)
def retire(request: Request, code: str) -> HttpResponse:
    """Offer it no longer, or again."""
    one = _found(library(), code)
    off = request.POST.get("retired") == "yes"
    retire_exercise(by=actor_of(request), code=code, retired=off)
    messages.success(request, f"{one.name} is {'no longer offered' if off else 'offered again'}.")
    return redirect("classes:exercise", code)


def _found(known: Library, code: str) -> Exercise:
    if code not in known:
        raise Http404("no such exercise")
    return known[code]


def _kept(request: Request, form: ExerciseForm, code: str) -> bool:
    try:
        keep_exercise(by=actor_of(request), code=code, values=form.values)
    except Unfit as unfit:
        form.refuse(unfit.wrong)
        return False
    messages.success(request, f"{form.cleaned_data['name']} is kept.")
    return True


def _form(request: Request, form: ExerciseForm, one: Exercise | None) -> HttpResponse:
    context = {"form": form, "one": one}
    status = 422 if form.is_bound else 200
    return render(request, "content/exercise_form.html", context, status=status)
