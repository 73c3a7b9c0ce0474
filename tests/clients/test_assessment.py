"""Assessments: what is kept, what is refused, and who is listed."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from clients import actions, queries
from clients.models import Assessment, Client
from clients.rules.assessment import Measures, problems
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry
from coach.scheduling.dates import Ending, PregnancyDates
from tests import factories, factories_clearance

TODAY = date(2026, 12, 3)
ALL = Measures(above_mm=21, at_mm=28, below_mm=-5, doming="yes", leaking="no", heaviness="",
               effort=0, note="sit-up slowly")  # fmt: skip


@pytest.fixture
def meret(practice: Any) -> Client:
    return factories.client("Meret A.")


def record(client: Client, **values: Any) -> Assessment:
    defaults = {"day": TODAY, "measures": ALL, "measured_by": " Una ", "how": "video"}
    return actions.record_assessment(by=SYSTEM, client=client, **{**defaults, **values})


def test_what_is_known_is_kept_and_named_in_one_entry(meret: Client) -> None:
    record(meret)
    kept = Assessment.objects.get()
    assert (kept.day, Measures.of(kept.measures), kept.by, kept.how) == (TODAY, ALL, "Una", "video")
    assert "heaviness" not in kept.measures
    entry = AuditEntry.objects.get()
    assert (entry.verb, entry.subject_kind) == ("recorded", "clients.assessment")
    assert entry.fields == sorted(
        ["by", "day", "how", *(f"measures {name}" for name in kept.measures)]
    )


def test_nothing_of_it_can_be_read_in_the_database(meret: Client) -> None:
    record(meret)
    with connection.cursor() as cursor:
        cursor.execute("SELECT day, measures, by, how FROM clients_assessment")
        raw = b" ".join(bytes(value) for value in cursor.fetchone())
    assert [word for word in (b"2026", b"at_mm", b"Una", b"video") if word in raw] == []


REFUSED = [
    # when                                                    then: field
    ({"measures": Measures()}, [""]),
    ({"measures": Measures(note="she looked well")}, [""]),
    ({"measures": Measures(at_mm=151)}, ["at_mm"]),
    ({"measures": Measures(above_mm=-11, below_mm=200)}, ["above_mm", "below_mm"]),
    ({"measures": Measures(effort=11)}, ["effort"]),
    ({"measures": Measures(effort=-1)}, ["effort"]),
    ({"measures": Measures(doming="perhaps")}, ["doming"]),
    ({"measures": Measures(at_mm=20, note="x" * 2001)}, ["note"]),
    ({"day": TODAY + timedelta(days=1)}, ["day"]),
    ({"day": date(1986, 1, 1)}, ["day"]),
    ({"how": "by post"}, ["how"]),
    ({"measured_by": "  "}, ["measured_by"]),
]


@pytest.mark.parametrize(("values", "fields"), REFUSED)
def test_what_cannot_be_is_refused_beside_its_field_and_nothing_kept(
    meret: Client, values: dict[str, Any], fields: list[str]
) -> None:
    with pytest.raises(actions.Refused) as refused:
        record(meret, **values)
    assert [one.field for one in refused.value.problems] == fields
    assert (Assessment.objects.count(), AuditEntry.objects.count()) == (0, 0)


@pytest.mark.parametrize("mm", [-10, 0, 150])
def test_the_ends_of_the_scale_are_measures(mm: int) -> None:
    # Down to −5 mm was measured in never-pregnant women: Woxnerud 2023.
    assert problems(
        Measures(at_mm=mm), day=TODAY, measured_by="Una", how="video", today=TODAY
    ) == []  # fmt: skip


def test_her_assessments_come_latest_first(meret: Client) -> None:
    days = [date(2026, 9, 1), date(2026, 11, 1), date(2026, 10, 1)]
    for day in days:
        factories_clearance.assessment(meret, day)
    assert [row.day for row in queries.assessments_of(meret)] == sorted(days, reverse=True)


def test_the_list_of_who_was_assessed_names_everybody(meret: Client) -> None:
    zoe = factories.client("Zoë B.", standing="former", quiet=True)
    factories.pregnancy(zoe, ended=date(2026, 9, 1), ending="birth")
    for day in (date(2026, 11, 1), date(2026, 10, 1)):
        factories_clearance.assessment(zoe, day)
    assert queries.assessment_facts() == [
        queries.AssessmentFacts(meret.pk, "Meret A.", "active", False, (), ()),
        queries.AssessmentFacts(
            zoe.pk, "Zoë B.", "former", True,
            (PregnancyDates(ended=date(2026, 9, 1), ending=Ending.BIRTH),),
            (date(2026, 10, 1), date(2026, 11, 1)),
        ),
    ]  # fmt: skip


def test_that_list_costs_the_same_for_one_and_for_thirty(practice: Any) -> None:
    def add(n: int) -> None:
        for _ in range(n):
            client = factories.client()
            factories.pregnancy(client, due=date(2027, 2, 21))
            factories_clearance.assessment(client, date(2026, 11, 1))

    add(1)
    with CaptureQueriesContext(connection) as one:
        queries.assessment_facts()
    add(29)
    with CaptureQueriesContext(connection) as thirty:
        assert len(queries.assessment_facts()) == 30
    assert (len(one), len(thirty)) == (3, 3)


@pytest.mark.parametrize(
    ("name", "short"),
    [
        ("Siobhán Ní Dhuibhne", "S.N.D."), ("Meret A.", "M.A."), ("e\u0301lise d’arc", "É.D."),
        ("王 秀英", "王.秀."), ("Noor", "N."), ("(Kit) Rowe", "K.R."), ("…", "?"), ("", "?"),
    ],
)  # fmt: skip
def test_initials(name: str, short: str) -> None:
    assert queries.initials(name) == short
