"""The demo's enquiries are made as a coach would make them, each row as its table says."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from clients.models import Enquiry, Intake
from clients.queries.enquiries import came_from, follow_ups
from coach.management import demo_enquiries
from coach.management.demo_rows import rows
from coach.practice.models import AuditEntry, Practice
from content.models import State
from tests import factories
from tests.clients.enquiring import TODAY

ROW = dict.fromkeys(next(rows("enquiries.csv")), "")


def on(days: str) -> date | None:
    return TODAY + timedelta(days=int(days)) if days else None


def fill() -> None:
    """Those who became clients are there before."""
    for row in rows("enquiries.csv"):
        if row["state"] == "client":
            factories.client(row["name"])
    demo_enquiries.fill(TODAY)


def test_each_row_stands_as_its_table_says(practice: Practice) -> None:
    table = list(rows("enquiries.csv"))
    fill()
    kept = {
        row.name: (row.state, row.came_on, row.next_on, row.told, row.closed_why)
        for row in Enquiry.objects.all()
    }
    assert kept == {
        row["name"]: (row["state"], on(row["came"]), on(row["next"]), row["told"], row["why"])
        for row in table
    }
    invited = sorted(row["name"] for row in table if row["state"] == "invited")
    assert sorted(Intake.objects.values_list("name", flat=True)) == invited
    assert AuditEntry.objects.filter(verb="added").count() == len(table)


def test_some_are_late_so_that_today_has_something_to_show(practice: Practice) -> None:
    fill()
    days = [one.day for one in follow_ups(TODAY)]
    assert (days[0] < TODAY, days[-1]) == (True, TODAY)


def test_a_class_is_known_by_its_key_while_it_is_out_and_by_its_title_alone_else(
    practice: Practice, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = factories.fitness_class("Core reset", state=State.PUBLISHED)
    factories.fitness_class("Not out yet")
    table = [
        {**ROW, "name": title, "phone": "1234", "class": title, "came": "-1", "state": "open"}
        for title in ("Core reset", "Not out yet")
    ]
    monkeypatch.setattr(demo_enquiries, "rows", lambda name: iter(table))
    demo_enquiries.fill(TODAY)
    assert list(Enquiry.objects.order_by("pk").values_list("class_uid", "class_title")) == [
        (out.uid, "Core reset"), (None, "Not out yet"),
    ]  # fmt: skip


def test_one_who_is_on_the_roster_is_its_client(
    practice: Practice, monkeypatch: pytest.MonkeyPatch
) -> None:
    her = factories.client("Ines P.")
    row = {**ROW, "name": "Ines P.", "phone": "1234", "where_from": "a comment", "came": "-30",
           "state": "client"}  # fmt: skip
    monkeypatch.setattr(demo_enquiries, "rows", lambda name: iter([row]))
    demo_enquiries.fill(TODAY)
    assert Enquiry.objects.get().client == her
    assert came_from(her) == "a comment, on 3 November 2026"
