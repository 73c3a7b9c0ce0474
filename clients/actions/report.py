"""A progress report is made and leaves the practice: nothing is kept but that it did."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from datetime import date

from django.db import transaction

from clients.actions.shared import days_of, refuse_if
from clients.documents import report_pdf
from clients.models import Client
from clients.queries.report import reportable_of
from clients.rules.report import ReportFacts, report_paper, report_problems
from clients.rules.report_words import WHOM
from coach.practice import audit
from coach.practice.audit import Actor


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the coach chose: for whom, from which day on, which parts, a sentence of her own."""

    audience: str
    since: date
    parts: Collection[str]
    remark: str = ""


def make_report(*, by: Actor, client: Client, wanted: Wanted, taken: bool = True) -> bytes:
    """The report as a PDF. For her clinician it is refused without her consent.

    The trail says "exported" where the file was `taken`, else that it was looked at.
    """
    facts = _facts(by, client, wanted)
    content = report_pdf(report_paper(facts))
    _record(by, client, wanted, taken=taken)
    return content


def _facts(by: Actor, client: Client, wanted: Wanted) -> ReportFacts:
    coach = by.user.name if by.user else ""
    found = reportable_of(client, today=days_of(client).earlier, coach=coach)
    facts = replace(
        found.facts,
        audience=wanted.audience,
        since=wanted.since,
        parts=frozenset(wanted.parts),
        remark=wanted.remark,
    )
    refuse_if(report_problems(facts, being_taken=found.being_taken))
    return facts


@transaction.atomic
def _record(by: Actor, client: Client, wanted: Wanted, *, taken: bool) -> None:
    audit.record(
        by=by,
        verb="exported" if taken else "looked at",
        subject=client,
        fields=("assessments", *sorted(wanted.parts)),
        reason=f"progress report, {WHOM[wanted.audience]}",
    )
