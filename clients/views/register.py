"""The register: everyone being coached by her go-ahead, as a page, on paper and as a table."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from clients import queries
from clients.queries import RegisterRow
from clients.rules.go_ahead_words import by_word, not_checked_words
from clients.rules.tables import safe_cell
from coach.practice import audit
from coach.practice.audit import actor_of
from coach.practice.http import Request, today
from coach.practice.permissions import Fact, may, requires
from coach.scheduling.values import Stage

DAYS_AHEAD = 30
NOT_KNOWN = "not known"


@require_safe
@requires(Fact.GO_AHEAD)
def register(request: Request) -> HttpResponse:
    """Those on hold first; then the letters that run out soon, for who may see until when."""
    now = today(request)
    rows = _rows(request)
    unchecked = queries.policies().on(now).unchecked
    context: dict[str, Any] = {
        "groups": by_word(rows),
        "days": DAYS_AHEAD,
        "unchecked": not_checked_words(unchecked),
    }
    if may(request.user, Fact.LIMITS):
        context["running_out"] = queries.letters_running_out(now, DAYS_AHEAD)
    return render(request, "clients/register.html", context)


@require_safe
@requires(Fact.GO_AHEAD)
def clearance_csv(request: Request) -> HttpResponse:
    """The same as a table (RFC 4180), with the columns that this person may see."""
    response = HttpResponse(content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="clearance {today(request)}.csv"'
    # The mark by which spreadsheets tell UTF-8.
    response.write("\ufeff")
    writer = csv.writer(response)
    stage, limits = (may(request.user, fact) for fact in (Fact.STAGE, Fact.LIMITS))
    heads = ["Name", *(["Stage"] if stage else []), "Go-ahead", "May train", "Not checked"]
    writer.writerow([*heads, *(["Limits", "Since and until", "Last day"] if limits else [])])
    for row in _rows(request):
        writer.writerow([safe_cell(cell) for cell in _cells(row, stage=stage, limits=limits)])
    audit.record(by=actor_of(request), verb="exported", reason="the register of clearances")
    return response


def _rows(request: Request) -> list[RegisterRow]:
    return queries.register_rows(
        with_stage=may(request.user, Fact.STAGE), with_limits=may(request.user, Fact.LIMITS)
    )


def _cells(row: RegisterRow, *, stage: bool, limits: bool) -> Iterator[str]:
    yield row.person.name
    if stage:
        yield NOT_KNOWN if row.line.stage is Stage.UNKNOWN else row.line.short
    yield str(row.word or "")
    yield "yes" if row.word and row.word.may_train else "no"
    yield "; ".join(row.unchecked)
    if limits:
        yield from (row.limits, row.span, row.until.isoformat() if row.until else "")
