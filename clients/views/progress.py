"""Her assessments over time."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.safestring import SafeString
from django.views.decorators.http import require_safe

from clients.models import Client
from clients.queries.heart_rate import heart_rate_of
from clients.queries.progress import HerProgress, Taken, progress_of
from clients.rules.assessment import NOTE
from clients.rules.happened import HIDDEN
from clients.rules.measured_words import told_of, way_words
from clients.rules.measuring import HERSELF
from clients.rules.progress import ChartOf
from clients.rules.words import unless_quiet
from clients.views.shared import looked_at
from coach.practice.http import Request, today
from coach.practice.permissions import Fact, requires
from coach.practice.print.charts import svg

IN_SIGHT = 12  # assessments; those before them are folded
WIDTH, HEIGHT = 370, 165  # CSS pixels of a small chart: as wide as a telephone leaves


def drawn(one: ChartOf) -> SafeString:
    """A chart as the page has it."""
    return svg(one.chart, width=WIDTH, height=HEIGHT)


@require_safe
@requires(Fact.HEALTH)
def assessments(request: Request, pk: int) -> HttpResponse:
    """Charts, answers by day, what is open now, and every assessment."""
    client = get_object_or_404(Client, pk=pk)
    looked_at(request, client, ("assessments", "pregnancies", "birth_date"))
    found, quiet = progress_of(client), bool(client.quiet)
    lines = [_line(one, found, quiet) for one in found.taken]
    context = {
        "client": client,
        "open": found.open,
        "groups": [
            (group.title, [(drawn(one), one) for one in group.charts])
            for group in found.progress.groups
        ],
        "progress": found.progress,
        "lines": lines,
        "newest": lines[:IN_SIGHT],
        "earlier": lines[IN_SIGHT:],
        "heart_rate": heart_rate_of(client, today(request)),
    }
    return render(request, "clients/assessments.html", context)


def _line(one: Taken, found: HerProgress, quiet: bool) -> dict[str, Any]:
    """One assessment in the list: when, how it was taken, what was measured."""
    measured = one.measured
    by = "by herself" if measured.who == HERSELF else unless_quiet(measured.by, quiet=quiet)
    note = unless_quiet(measured.answer(NOTE), quiet=quiet, instead=HIDDEN)
    return {
        "row": one.row,
        "finished": one.finished,
        "how": ", ".join(word for word in (by, way_words(measured)) if word),
        "told": "; ".join(told_of(measured, found.known)),
        "note": note,
        "origin": unless_quiet(measured.origin, quiet=quiet, instead="name not shown"),
    }
