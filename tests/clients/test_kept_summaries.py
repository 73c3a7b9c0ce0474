"""What lists read of assessments is kept beside the client and always what they come to."""

from __future__ import annotations

import importlib
from datetime import UTC, date, datetime
from types import SimpleNamespace
from typing import Any

import pytest
from django.core.management import call_command
from django.db import connection
from django.test.utils import CaptureQueriesContext

from clients import actions
from clients.models import Assessment, Client, Measurements
from clients.queries.measuring import assessment_facts, stale_summaries, summaries
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry
from coach.practice.queries import problems
from tests import factories
from tests.factories_clearance import assessment, clearance, screening

DAY = date(2026, 11, 24)


@pytest.fixture
def meret(practice: Any) -> Client:
    return factories.client("Meret Solberg")


def keep(client: Client, day: date = DAY, **values: Any) -> Assessment:
    found = {code.replace("_", "-"): value for code, value in values.items()}
    return actions.record_assessment(
        by=SYSTEM, client=client, day=day, values=found, who="coach", measured_by="Una",
        method="calliper", position="crook",
    )  # fmt: skip


def open_codes(client: Client) -> list[str]:
    return [one.code for one in summaries()[client.pk].open]


def test_every_action_keeps_it(meret: Client) -> None:
    row = keep(meret, heaviness="yes", width_navel_rest=20)
    assert (open_codes(meret), summaries()[meret.pk].last) == (["heaviness"], DAY)
    actions.save_assessment(by=SYSTEM, client=meret, key=row.key, typed={"heaviness": "no"})
    assert open_codes(meret) == []
    actions.withdraw_assessment(by=SYSTEM, assessment=row, reason="somebody else")
    assert (summaries()[meret.pk].last, stale_summaries()) == (None, {})


def test_data_are_checked_against_the_assessments(meret: Client) -> None:
    keep(meret, leaking="yes")
    Measurements.objects.update(summary={})
    found = [one.reason for one in problems() if one.kind == "measurements"]
    assert found == [
        f"What is kept of the assessments of client {meret.pk} is not what they come to."
    ]
    call_command("migrate", verbosity=0)
    assert [one for one in problems() if one.kind == "measurements"] == []


def test_the_raw_row_tells_nothing(meret: Client) -> None:
    row = keep(meret, leaking="yes", width_navel_rest=28)
    with connection.cursor() as cursor:
        cursor.execute("SELECT * FROM clients_assessment WHERE id = %s", [row.pk])
        kept = repr([bytes(one) if isinstance(one, memoryview) else one
                     for one in cursor.fetchone()])  # fmt: skip
        cursor.execute("SELECT * FROM clients_measurements")
        kept += repr(cursor.fetchall())
    words = ("leaking", "calliper", "crook", "Una", "2026-11-24", "width")
    assert [word for word in words if word in kept] == []


def test_the_trail_has_names_and_no_values(meret: Client) -> None:
    keep(meret, leaking="yes", width_navel_rest=28)
    last = AuditEntry.objects.filter(verb="recorded").latest("pk")
    assert last.fields == ["by", "day", "measures leaking", "measures width-navel-rest"]


def test_the_facts_of_the_list_cost_the_same_for_long_histories(meret: Client) -> None:
    def count() -> int:
        with CaptureQueriesContext(connection) as caught:
            assessment_facts()
        return len(caught)

    keep(meret, leaking="yes")
    one = count()
    for n in range(30):
        other = factories.client(f"Client {n}")
        assessment(other, DAY)
        assessment(other, date(2026, 11, 1))
    assert count() == one == 4


def test_one_client_s_facts_are_those_of_the_list(meret: Client) -> None:
    keep(meret, leaking="yes")
    factories.client("Ottilie Brandt")
    assert assessment_facts(meret.pk) == [
        one for one in assessment_facts() if one.client_id == meret.pk
    ]


def test_on_hold_nothing_is_begun_and_an_earlier_record_is_kept(practice: Any) -> None:
    her = factories.client("Honora Finch")
    factories.pregnancy(her, due=date(2027, 2, 21), dated_by="scan")
    clearance(her, date(2026, 11, 30))
    screening(her, date(2026, 11, 30))
    actions.record_warning_sign(by=SYSTEM, client=her, code="dizzy", happened_on=date(2026, 12, 2))
    with pytest.raises(actions.Refused, match="on hold"):
        keep(her, date(2026, 12, 3), leaking="no")
    keep(her, date(2026, 11, 30), leaking="no")
    assert Assessment.objects.count() == 1


# ---- what was kept before measures had codes


class _Rows(list[Any]):
    def order_by(self, _: str) -> _Rows:
        return self

    def iterator(self) -> Any:
        return iter(self)


class _Row(SimpleNamespace):
    saved = False
    deleted = False

    def save(self) -> None:
        self.saved = True

    def delete(self) -> None:
        self.deleted = True


def _apps(rows: list[_Row]) -> Any:
    model = SimpleNamespace(objects=_Rows(rows))
    return SimpleNamespace(get_model=lambda *_: model)


MADE = datetime(2026, 10, 1, 9, tzinfo=UTC)


def test_earlier_assessments_are_carried_over_and_back() -> None:
    carry = importlib.import_module("clients.migrations.0007_carry_over_assessments")
    kept = {"at_mm": 28, "above_mm": 14, "below_mm": -2, "doming": "yes", "effort": 5, "note": "n"}
    rows = [_Row(measures=dict(kept), how=how, created_at=MADE) for how in ("herself", "video")]
    carry.carry_over(_apps(rows), None)
    assert [row.measures for row in rows] == [
        {"width-navel-rest": 28, "width-above45-rest": 14, "width-below45-rest": -2,
         "doming": "yes", "effort": 5, "note": "n"},
    ] * 2  # fmt: skip
    assert [(row.who, row.finished_at, row.saved) for row in rows] == [
        ("client", MADE, True), ("coach", MADE, True),
    ]  # fmt: skip
    assert rows[0].key != rows[1].key
    for row in rows:
        row.withdrawn_on, row.measures["pulse"] = None, 60
    unfinished = _Row(finished_at=None, withdrawn_on=None, measures={})
    carry.carry_back(_apps([*rows, unfinished]), None)
    assert [(row.measures, row.how) for row in rows] == [(kept, "herself"), (kept, "in-person")]
    assert (unfinished.deleted, rows[0].deleted) == (True, False)
