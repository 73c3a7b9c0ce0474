"""Clients with letters and assessments, as the diary and its feed want them. All invented."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

from clients.actions import record_clearance
from clients.models import Assessment, Clearance, Client
from clients.rules.facts import ClearanceFact
from coach.practice.audit import SYSTEM
from tests import factories, factories_clearance

CAME = datetime(2026, 11, 2, 8, tzinfo=UTC)

_SAID = {"clinician": "Dr Hana Quill", "clinician_kind": "gp", "examined": "yes"}


def client(name: str, **values: Any) -> Client:
    """A client who came on 2 November 2026, unless said otherwise."""
    return factories.client(name, **{"created_at": CAME, "changed_at": CAME, **values})


def pregnant(name: str, due: date, **values: Any) -> Client:
    """A client with a pregnancy that has not ended."""
    made = client(name, **values)
    factories.pregnancy(made, due=due, dated_by="told", created_at=CAME, changed_at=CAME)
    return made


def afterwards(name: str, ended: date, ending: str = "birth", **values: Any) -> Client:
    """A client whose pregnancy ended on a day."""
    made = client(name, **values)
    factories.pregnancy(made, ended=ended, ending=ending, created_at=CAME, changed_at=CAME)
    return made


def assessed(of: Client, day: date, at: datetime = CAME, **values: Any) -> Assessment:
    """A finished assessment on a day, written down at a moment."""
    row = factories_clearance.assessment(of, day, **values)
    Assessment.objects.filter(pk=row.pk).update(created_at=at, changed_at=at)
    return row


def letter(of: Client, said_on: date, **values: Any) -> Clearance:
    """A clinician's letter, recorded today, and the health questions answered on its day."""
    over = of.pregnancies.filter(ended__isnull=False).exists()
    factories_clearance.screening(of, said_on, phase="after" if over else "pregnant")
    facts = ClearanceFact(said_on=said_on, **{**_SAID, **values})
    return record_clearance(by=SYSTEM, client=of, facts=facts)
