"""Writes of assessments: kept from the first value on, finished, put right, withdrawn."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any
from uuid import UUID, uuid4

from django.db import transaction

from clients.actions.measuring_typed import against_tests, measurer, read_typed, refuse_on_hold
from clients.actions.shared import Refused, days_of, lock, refuse_if
from clients.models import Assessment, Client, Measurements
from clients.queries.entry import last_time
from clients.queries.measuring import as_measured, catalogue, stale_summaries, wanted_summary
from clients.rules.assessment import NEXT_DAY, NEXT_DAY_ON, Measured, problems
from clients.rules.measuring import COACH, NO, YES
from clients.rules.plausible import Question, questions
from clients.rules.pregnancies import Problem
from coach import clock
from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.writing import change

MISTAKE = "Say why: it stays beside what was measured."
NOTHING = "Nothing is measured: fill in at least one value or answer."
GONE = "This assessment is not taken any more."


@dataclass(frozen=True, slots=True)
class Saved:
    """What was kept, and what of it could not be: each beside its field. None: nothing yet.

    `asked`: what is unlikely in it and waits for a second look before it counts.
    """

    assessment: Assessment | None
    problems: list[Problem]
    asked: list[Question] = field(default_factory=list)


@transaction.atomic
def save_assessment(
    *, by: Actor, client: Client, key: UUID, typed: Mapping[str, str], sure: Collection[str] = ()
) -> Saved:
    """Keep what was typed into an assessment, as far as it can be; the rest is told and not kept.

    `typed` holds texts by code (rules.assessment, and day, who, by, method, position, finger_mm,
    origin); an empty text takes a value away. What is not in it stays, so that a part sent twice
    or late changes nothing else. The first value makes the assessment: Refused for a client on
    hold. A finished one is put right in the same way, all or nothing, and what is unlikely in the
    new values is asked first; `sure` holds the tokens of what was looked at again.
    """
    lock(client)
    row = Assessment.objects.select_for_update().filter(key=key).first()
    if row and (row.client_id != client.pk or row.withdrawn_on):
        raise Refused([Problem("", GONE)])
    today = days_of(client).later
    values, about, found = read_typed(typed, today)
    if row is None and any(value is not None for value in values.values()):
        refuse_on_hold(client, about, today)
    found += against_tests(client, row, values, about, today)
    wrong = {one.field for one in found}
    values = {code: value for code, value in values.items() if code not in wrong}
    about = {name: value for name, value in about.items() if name not in wrong}
    if row is None and not any(value is not None for value in values.values()):
        return Saved(None, found)
    about |= measurer(client, row, about, by)
    row = row or _begun(by, client, key, about, today)
    measures = {**row.measures, **values}
    about["measures"] = {code: value for code, value in measures.items() if value is not None}
    if row.finished_at and (asked := _put_right(client, row, about, found, sure, today)):
        return Saved(row, [], asked)
    _write(by, row, about)
    return Saved(row, found)


def _begun(
    by: Actor, client: Client, key: UUID, about: Mapping[str, Any], today: date
) -> Assessment:
    row = Assessment.objects.create(
        client=client,
        key=key,
        day=about.get("day", today),
        who=about.get("who", COACH),
        by=about["by"],
        finger_mm=about["finger_mm"],
    )
    audit.record(by=by, verb="began", subject=row, fields={"day"})
    return row


def _put_right(
    client: Client,
    row: Assessment,
    about: dict[str, Any],
    found: list[Problem],
    sure: Collection[str],
    today: date,
) -> list[Question]:
    """What is asked of the new values of a finished one; Refused when it cannot be so."""
    changed = {("values" if name == "measures" else name): about[name] for name in about}
    after = _replaced(as_measured(row), changed)
    refuse_if(found + problems(after, today=today))
    new = {code for code in after.values if after.values[code] != row.measures.get(code)}
    open_ones = questions(after, last_time(client, row, after.day), row.sure)
    asked = [one for one in open_ones if one.field in new and one.token not in sure]
    about["sure"] = sorted({*row.sure, *(one.token for one in open_ones if one.token in sure)})
    return asked


def _replaced(one: Measured, changed: Mapping[str, Any]) -> Measured:
    same = {name: getattr(one, name) for name in one.__slots__}
    return Measured(**{**same, **changed})


def _write(by: Actor, row: Assessment, about: Mapping[str, Any]) -> None:
    """Save what differs, one entry with its names, and what lists read of it."""
    before = dict(row.measures)
    changed = set(change(row, **about))
    if not changed:
        return
    if "measures" in changed:
        differs = {
            code for code in {*before, *row.measures} if before.get(code) != row.measures.get(code)
        }
        changed = changed - {"measures"} | {f"measures {code}" for code in differs}
    rewrite_summary(row.client_id)
    audit.record(by=by, verb="changed", subject=row, fields=changed)


@transaction.atomic
def finish_assessment(
    *, by: Actor, assessment: Assessment, sure: Collection[str] = ()
) -> list[Question]:
    """Finish an assessment: from now on it counts as taken. Nothing happens the second time.

    What is unlikely in it comes back as questions, once, and it is not finished; `sure` holds the
    tokens of those that were looked at again. Refused when nothing was measured or it cannot be.
    """
    row = _hold(assessment)
    if row.finished_at:
        return []
    found = as_measured(row)
    refuse_if(problems(found, today=days_of(row.client).later))
    asked = questions(found, last_time(row.client, row, row.day), row.sure)
    if waits := [one for one in asked if one.token not in sure]:
        return waits
    row.sure = sorted({*row.sure, *(one.token for one in asked)})
    row.finished_at = row.changed_at = clock.now()
    row.save(update_fields=["finished_at", "sure", "changed_at"])
    rewrite_summary(row.client_id)
    fields = {"day", "by", *(f"measures {code}" for code in row.measures)}
    audit.record(by=by, verb="recorded", subject=row, fields=fields)
    return []


def save_and_finish(
    *, by: Actor, client: Client, key: UUID, typed: Mapping[str, str], sure: Collection[str] = ()
) -> Saved:
    """Keep a whole form and finish it, or put a finished one right.

    In two steps, each whole: what was typed stays kept when it cannot be finished yet.
    """
    saved = save_assessment(by=by, client=client, key=key, typed=typed, sure=sure)
    row = saved.assessment
    if row is None:
        return Saved(None, saved.problems or [Problem("", NOTHING)])
    if saved.problems or row.finished_at:
        return saved
    try:
        return Saved(row, [], finish_assessment(by=by, assessment=row, sure=sure))
    except Refused as refused:
        return Saved(row, refused.problems)


def _hold(assessment: Assessment) -> Assessment:
    lock(assessment.client)
    assessment.refresh_from_db(from_queryset=Assessment.objects.select_for_update())
    if assessment.withdrawn_on:
        raise Refused([Problem("", GONE)])
    return assessment


@transaction.atomic
def withdraw_assessment(*, by: Actor, assessment: Assessment, reason: str = "") -> None:
    """Say that an assessment was a mistake: it stays on the time line and counts for nothing.

    Refused without a reason, unless nothing was measured: then nothing of it stays.
    """
    row = _hold(assessment)
    if not row.measures and not row.finished_at:
        audit.record(by=by, verb="dropped", subject=row)
        row.delete()
        return
    refuse_if([] if reason.strip() else [Problem("reason", MISTAKE)])
    today = days_of(row.client).earlier
    change(row, withdrawn_on=today, withdrawn_reason=reason.strip())
    rewrite_summary(row.client_id)
    audit.record(by=by, verb="withdrew", subject=row, fields={"withdrawn_on"})


@transaction.atomic
def record_next_day(*, by: Actor, assessment: Assessment, answer: str, on: date) -> Assessment:
    """Keep whether she had symptoms after the tests, as she said on a later day.

    Refused where no test was done, for a day that is not after it, and without a yes or a no.
    """
    row = _hold(assessment)
    today = days_of(row.client).later
    found = []
    if answer not in {YES, NO}:
        found.append(Problem("answer", "Say yes or no."))
    if not row.day < on <= today:
        found.append(Problem("on", "A day after the tests, today at the latest."))
    if not any(code.startswith("test-") for code in row.measures):
        found.append(Problem("", "No test was done that day."))
    refuse_if(found)
    measures = {**row.measures, NEXT_DAY: answer, NEXT_DAY_ON: on.isoformat()}
    _write(by, row, {"measures": measures})
    return row


@transaction.atomic
def record_assessment(
    *,
    by: Actor,
    client: Client,
    day: date,
    values: Mapping[str, Any],
    who: str,
    measured_by: str,
    method: str = "",
    position: str = "",
    finger_mm: int | None = None,
    origin: str = "",
) -> Assessment:
    """Keep a whole assessment at once, finished; Refused when it cannot be.

    `values` by code, as rules.assessment reads them; unlikely ones are kept as they are.
    """
    about = {
        "day": day.isoformat(), "who": who, "by": measured_by, "method": method,
        "position": position, "finger_mm": str(finger_mm or ""), "origin": origin,
    }  # fmt: skip
    typed = {code: str(value) for code, value in values.items()}
    saved = save_assessment(by=by, client=client, key=uuid4(), typed={**about, **typed})
    refuse_if(saved.problems)
    if saved.assessment is None:
        raise Refused([Problem("", NOTHING)])
    row = saved.assessment
    asked = finish_assessment(by=by, assessment=row)
    if asked:
        finish_assessment(by=by, assessment=row, sure=[one.token for one in asked])
    return row


def rewrite_summary(client: int) -> None:
    """Make what lists read of her assessments what they come to now; after they are saved."""
    wanted = wanted_summary(client, catalogue())
    Measurements.objects.update_or_create(client_id=client, defaults={"summary": wanted.stored})


@transaction.atomic
def rewrite_all_summaries() -> None:
    """The same for everybody whose summary is another: after the rules or the choices changed."""
    for pk, wanted in stale_summaries().items():
        Measurements.objects.update_or_create(client_id=pk, defaults={"summary": wanted.stored})
