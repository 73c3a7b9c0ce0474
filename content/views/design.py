"""Build a class: blocks, patterns, exercises, seconds; every step is kept at once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST, require_safe

from coach.htmx import render_partial
from coach.practice.audit import actor_of
from coach.practice.http import Request
from coach.practice.permissions import Access, Fact, requires
from content.actions import design as actions
from content.actions.uploads import Refused
from content.forms.design import wanted
from content.models import FitnessClass
from content.queries.class_page import found
from content.queries.design import Designed, designed
from content.queries.library import library, offered
from content.rules.design import KINDS, SIDES
from content.rules.exercises import KIT, Exercise
from content.rules.interval_words import side_of
from content.rules.timeline import WORK, Interval, clock

PARTS = {"design": "design"}


@dataclass(frozen=True, slots=True)
class ItemLine:
    """One line of the builder: an exercise at its place, with when it comes."""

    place: tuple[int, int, int]
    name: str
    known: Exercise | None
    item: Any
    starts: str
    sides: str
    options: list[tuple[str, str, bool]]
    checks: list[Any]
    first: bool
    last: bool


@require_safe
@requires(Fact.CONTENT)
def design(request: Request, pk: int) -> HttpResponse:
    """How a class is built, with what to look at and what it comes to."""
    return _page(request, _found(pk))


@require_POST
@requires(Fact.CONTENT, Access.CHANGE)
def save_design(request: Request, pk: int) -> HttpResponse:
    """One step of building it."""
    item = _found(pk)
    try:
        step = wanted(request.POST, library())
        revision = request.POST.get("revision", "")
        actions.change_design(
            by=actor_of(request), item=item, step=step.step, what=step.what,
            revision=int(revision) if revision.isdigit() else None,
        )  # fmt: skip
    except (Refused, ValueError) as refused:
        return _page(request, item, wrong=str(refused), status=422)
    return _after(request, item)


@require_POST
@requires(Fact.CONTENT, Access.CHANGE)
def undo_design(request: Request, pk: int) -> HttpResponse:
    """Take the last step back."""
    item = _found(pk)
    try:
        what = actions.undo_design(by=actor_of(request), item=item)
    except Refused as refused:
        return _page(request, item, wrong=str(refused), status=422)
    messages.success(request, f"Taken back: {what}.")
    return _after(request, item)


def _after(request: Request, item: FitnessClass) -> HttpResponse:
    if getattr(request, "htmx", False):
        return _page(request, item)
    return redirect("classes:design", item.pk)


def _found(pk: int) -> FitnessClass:
    try:
        return found(pk)
    except FitnessClass.DoesNotExist as none:
        raise Http404("no such class") from none


def _page(
    request: Request, item: FitnessClass, *, wrong: str = "", status: int = 200
) -> HttpResponse:
    now = designed(item)
    found_in = request.GET.get("find", "").strip()
    context = {
        "item": item,
        "now": now,
        "blocks": [_block(now, b) for b in range(len(now.design.blocks))],
        "length": clock(now.line.seconds),
        "promised": clock(now.design.promised) if now.design.promised else "",
        "kinds": KINDS.items(),
        "kit": [(code, words, code in now.design.kit) for code, words in KIT.items()],
        "sides": SIDES.items(),
        "find": found_in,
        "at": request.GET.get("at", ""),
        "results": offered().search(found_in) if found_in else [],
        "focus": _minutes(now.figures.by_focus),
        "effort": _minutes(now.figures.by_intensity),
        "shares": now.figures.shares,
        "curve": _curve(now),
        "wrong": wrong,
    }
    return render_partial(request, "content/design.html", context, partials=PARTS, status=status)


def _minutes(seconds: Any) -> list[tuple[str, str]]:
    return [(name, clock(count)) for name, count in seconds.items() if count]


def _block(now: Designed, b: int) -> dict[str, Any]:
    block, told = now.design.blocks[b], now.line.blocks[b]
    patterns = [
        {
            "place": p,
            "pattern": pattern,
            "at": f"{b}.{p}",
            "items": [_item(now, (b, p, i)) for i in range(len(pattern.items))],
        }
        for p, pattern in enumerate(block.patterns)
    ]
    return {
        "place": b, "block": block, "told": told, "length": clock(told.seconds),
        "starts": clock(told.start), "patterns": patterns, "first": b == 0,
        "last": b + 1 == len(now.design.blocks),
    }  # fmt: skip


def _item(now: Designed, place: tuple[int, int, int]) -> ItemLine:
    b, p, i = place
    row = now.design.blocks[b].patterns[p].items
    item = row[i]
    known = now.library.get(item.exercise)
    mine = [one for one in now.line.intervals if _is_at(one, place)]
    options = [
        (code, now.library[code].name, code in item.shows)
        for code in (known.easier if known else ())
        if code in now.library
    ]
    return ItemLine(
        place, known.name if known else item.label or item.exercise, known, item,
        clock(mine[0].start) if mine else "", _sides(mine), options,
        [one for one in now.checks if one.where == place], i == 0, i + 1 == len(row),
    )  # fmt: skip


def _is_at(one: Interval, place: tuple[int, int, int]) -> bool:
    return one.kind == WORK and one.round == 1 and (one.block, one.pattern, one.item) == place


def _sides(mine: list[Interval]) -> str:
    sides = [side for one in mine if (side := side_of(one))]
    return ", ".join(dict.fromkeys(sides))


def _curve(now: Designed) -> str:
    """The effort over time as a path in a box of 480 by 48; "" where there is none."""
    points, whole = now.figures.curve, now.line.seconds
    if not whole:
        return ""
    steps = [f"M0 {48 - 15 * points[0][1]}"]
    for second, level in points[1:]:
        steps += [f"H{480 * second // whole}", f"V{48 - 15 * level}"]
    return " ".join(steps)
