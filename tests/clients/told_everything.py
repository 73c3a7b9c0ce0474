"""A client of whom everything that can be recorded is, for the pages that tell of it."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any

from clients import actions
from clients.actions.measuring import rewrite_summary
from clients.models import (
    Assessment,
    Clearance,
    Client,
    Consent,
    Entry,
    Intake,
    LetterOut,
    Rhythm,
    SessionException,
)
from clients.rules.notes import MESSAGE, NOTE
from clients.rules.screening import questions_for
from coach.practice import files
from coach.practice.audit import SYSTEM
from coach.scheduling.values import Limits
from tests import factories
from tests.clients.pages import PDF
from tests.factories_clearance import assessment, clearance, sign

TODAY = date(2026, 12, 3)
NOON = datetime(2026, 11, 1, 12, tzinfo=UTC)
TOO_MUCH = "told about the baby, the bump and the birth"


def d(days: int) -> date:
    return TODAY + timedelta(days=days)


def answers(phase: str, **told: str) -> dict[str, str]:
    """Every question of a phase answered with no, but for what is told."""
    return {one.code: "no" for one in questions_for(phase, quiet=False)} | told


def tell(client: Client, *, times: int = 1, typed: str = "as she said") -> None:
    """Each kind of row, so many times; `typed` stands wherever somebody can type."""
    for n in range(times):
        _health(client, -3 * n, typed)
        _writing(client, -3 * n, typed)
    actions.rewrite_spans(client)


def _health(client: Client, days: int, typed: str) -> None:
    code = "praevia"
    actions.record_screening(
        by=SYSTEM, client=client, phase="pregnant", answers=answers("pregnant", **{code: "unsure"}),
        answered_on=d(days - 9), how="call",
    )  # fmt: skip
    actions.name_condition(
        by=SYSTEM, client=client, code=code, named_on=d(days - 20), clinician=typed, text=typed
    )
    told = sign(client, d(days - 8), text=typed, advised_by=typed, advice=typed,
                graded_return=typed, followed_up_on=d(days - 7))  # fmt: skip
    sign(client, d(days - 7), withdrawn_on=d(days - 7), withdrawn_reason=typed)
    letter = clearance(client, d(days - 2), note=typed, clinician=typed, answers=(told.pk,),
                       word="limits", limits=Limits(others=(typed,)))  # fmt: skip
    Clearance.objects.filter(pk=letter.pk).update(origin=typed)
    measured = assessment(client, d(days - 1), by=typed, width_navel_rest=30, heaviness="yes",
                          test_hop_left=10, note=typed)  # fmt: skip
    Assessment.objects.filter(pk=measured.pk).update(origin=typed)
    wrong = assessment(client, d(days - 1), width_navel_rest=31)
    Assessment.objects.filter(pk=wrong.pk).update(withdrawn_on=d(days - 1), withdrawn_reason=typed)
    rewrite_summary(client.pk)
    Rhythm.objects.update_or_create(
        client=client, defaults={"snoozed_until": d(30), "snooze_reason": typed}
    )
    SessionException.objects.create(client=client, day=d(days), reason=typed, over=["own-end"])


def _writing(client: Client, days: int, typed: str) -> None:
    note = entry(client, NOTE, d(days), typed)
    entry(client, NOTE, d(days), typed, adds_to=note)
    entry(client, MESSAGE, d(days), typed, channel=typed)
    with files.atomic():
        pdf = files.store(name="out.pdf", content=PDF, content_type="application/pdf")
    LetterOut.objects.create(client=client, kind="referral", to_name=typed, to_kind="doctor",
                             made_on=d(days), document=pdf, sent_on=d(days), sent_how=typed,
                             chased=[d(days).isoformat()])  # fmt: skip
    form = Intake.objects.create(client=client, expires_at=NOON, sent_at=NOON, alarm="stop")
    Consent.objects.create(client=client, purpose="health", version="1", how="form", intake=form,
                           given_at=NOON + timedelta(days=days))  # fmt: skip


def entry(client: Client, kind: str, day: date, text: str, **values: Any) -> Entry:
    """A note or a message, written when it was about."""
    at = datetime(day.year, day.month, day.day, 12, tzinfo=UTC)
    return Entry.objects.create(
        client=client, kind=kind, day=day, text=text, **{"written_at": at, **values}
    )


def known(quiet: bool = False, **values: Any) -> Client:
    """A client with a pregnancy that runs, quiet or not."""
    client = factories.client("Honora Finch", quiet=quiet, **values)
    factories.pregnancy(client, due=date(2027, 2, 21), dated_by="scan", expected=2)
    return client
