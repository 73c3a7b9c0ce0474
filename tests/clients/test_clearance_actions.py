"""Writes of clearances and warning signs: what is kept, what is refused, what the trail says."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection

from clients import actions, queries
from clients.models import Clearance, Client, WarningSign
from clients.queries.facts import clearance_fact
from clients.rules.documents import Document
from clients.rules.facts import ClearanceFact, ClearanceWord, KnownBy
from clients.rules.words import NEVER_IF_QUIET
from coach import clock
from coach.practice import files
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry, StoredFile
from coach.scheduling.values import GoAheadWord, Limits
from tests import factories, factories_clearance

TODAY = date(2026, 12, 3)
LETTER = Document("letter.pdf", b"%PDF-1.7 what it says", "application/pdf")


def d(days: int) -> date:
    return TODAY + timedelta(days=days)


def said(days: int = -9, **values: Any) -> ClearanceFact:
    defaults = {"clinician": "Imelda Roe", "clinician_kind": "midwife"}
    return ClearanceFact(said_on=d(days), **{**defaults, **values})


def record(client: Client, facts: ClearanceFact, **values: Any) -> Clearance:
    return actions.record_clearance(by=SYSTEM, client=client, facts=facts, **values)


def trail() -> list[tuple[str, str, list[str], str]]:
    return [(e.verb, e.subject_kind, e.fields, e.reason) for e in AuditEntry.objects.order_by("pk")]


def word(client: Client) -> GoAheadWord:
    return queries.go_ahead_of(client, on=TODAY).word


@pytest.fixture
def meret(practice: Any) -> Client:
    """Pregnant and screened, without a letter."""
    client = factories.client("Meret A.")
    factories.pregnancy(client, due=d(80))
    factories_clearance.screening(client, d(-9))
    return client


def test_everything_said_is_kept_and_read_back_the_same(meret: Client) -> None:
    sign = factories_clearance.sign(meret, d(-12))
    facts = said(
        word=ClearanceWord.LIMITS,
        known_by=KnownBy.SPOKEN,
        known_on=d(-4),
        limits=Limits(no_impact=True, lift_at_most_kg=8, others=("no swimming", "sit to rest")),
        until=d(50),
        answers=(sign.pk,),
        examined="no",
    )
    row = record(meret, facts, note=" rang at noon ")
    kept: dict[str, Any] = {**Clearance.objects.values().get()}
    assert clearance_fact(kept) == ClearanceFact(**{
        name: getattr(facts, name) for name in ClearanceFact.__dataclass_fields__ if name != "pk"
    }, pk=row.pk)  # fmt: skip
    assert kept["note"] == "rang at noon"
    assert queries.go_ahead_of(meret, on=TODAY).limits == facts.limits


def test_one_entry_names_what_is_known_and_no_value(meret: Client) -> None:
    record(meret, said(), document=LETTER)
    fields = ["clinician", "clinician_kind", "document", "known_by", "known_on", "said_on", "word"]
    assert trail() == [("recorded", "clients.clearance", fields, "")]


def test_the_letter_is_stored_encrypted(meret: Client) -> None:
    row = record(meret, said(), document=LETTER)
    assert row.document is not None
    assert files.read(row.document) == LETTER.content
    assert b"what it says" not in files.path_of(row.document).read_bytes()
    assert (row.document.name, row.document.content_type) == ("letter.pdf", "application/pdf")


def test_nothing_said_can_be_read_in_the_database(meret: Client) -> None:
    sign = factories_clearance.sign(meret, d(-12), text="on the stairs")
    record(meret, said(answers=(sign.pk,), until=d(9)), note="rang")
    with connection.cursor() as cursor:
        cursor.execute("SELECT * FROM clients_clearance, clients_warningsign")
        raw = b" ".join(one for one in cursor.fetchone() if isinstance(one, bytes | memoryview))
    words = (b"go-ahead", b"Imelda", b"midwife", b"2026", b"dizzy", b"stairs", b"rang", b"letter")
    assert [word for word in words if word in raw] == []


REFUSED: list[tuple[str, dict[str, Any], list[str]]] = [
    ("said tomorrow", {"days": 1}, ["said_on"]),
    ("said 41 years ago", {"days": -41 * 366}, ["said_on"]),
    ("limits, but none", {"word": ClearanceWord.LIMITS}, ["word"]),
    ("no limits, but some", {"limits": Limits(no_impact=True)}, ["word"]),
    ("against with limits", {"word": ClearanceWord.AGAINST, "limits": Limits(no_impact=True)},
     ["word"]),
    ("nobody’s word", {"clinician": "", "clinician_kind": ""}, ["clinician"]),
    ("ends before it was said", {"until": d(-10)}, ["until"]),
    ("ends in ten years", {"until": d(3650)}, ["until"]),
    ("two ends", {"until": d(9), "until_birth": True}, ["until"]),
    ("answers a sign that is not hers", {"answers": (999,)}, ["answers"]),
    ("two things wrong", {"days": 1, "clinician": "", "clinician_kind": ""},
     ["said_on", "clinician"]),
]  # fmt: skip


@pytest.mark.parametrize(("values", "fields"), [row[1:] for row in REFUSED],
                         ids=[row[0] for row in REFUSED])  # fmt: skip
def test_what_cannot_be_is_refused_beside_its_field_and_nothing_kept(
    meret: Client, values: dict[str, Any], fields: list[str]
) -> None:
    with pytest.raises(actions.Refused) as refused:
        record(meret, said(**values), document=LETTER)
    assert [one.field for one in refused.value.problems] == fields
    assert [w for w in NEVER_IF_QUIET if w in str(refused.value).lower()] == []
    assert (Clearance.objects.count(), StoredFile.objects.count(), trail()) == (0, 0, [])


def test_until_the_birth_needs_one_to_come(practice: Any) -> None:
    client = factories.client()
    factories.pregnancy(client, due=d(-40), ended=d(-45), ending="birth")
    with pytest.raises(actions.Refused, match="Nothing in her dates was running"):
        record(client, said(-20, until_birth=True))
    record(client, said(-60, until_birth=True))
    assert Clearance.objects.count() == 1


@pytest.mark.parametrize(
    "values", [{"known_by": KnownBy.CLIENT}, {"word": ClearanceWord.AGAINST}, {"days": -13}]
)
def test_only_a_clinicians_later_go_ahead_answers_a_sign(
    meret: Client, values: dict[str, Any]
) -> None:
    sign = factories_clearance.sign(meret, d(-12))
    with pytest.raises(actions.Refused) as refused:
        record(meret, said(**{"days": -9, **values}, answers=(sign.pk,)))
    assert [one.field for one in refused.value.problems] == ["answers"]


def test_a_sign_of_somebody_else_is_not_answered(meret: Client) -> None:
    other = factories_clearance.sign(factories.client(), d(-12))
    with pytest.raises(actions.Refused, match="none of her"):
        record(meret, said(answers=(other.pk,)))


def test_a_clearance_known_without_a_day_is_known_today(meret: Client) -> None:
    assert record(meret, said()).known_on == TODAY


def test_one_recorded_by_mistake_stays_in_the_history_and_counts_no_more(meret: Client) -> None:
    row = record(meret, said())
    assert word(meret) is GoAheadWord.YES
    actions.withdraw_clearance(by=SYSTEM, clearance=row, reason=" another client’s letter ")
    kept = Clearance.objects.get()
    assert (kept.withdrawn_on, kept.withdrawn_reason) == (TODAY, "another client’s letter")
    assert word(meret) is GoAheadWord.WAITING
    fields = ["withdrawn_on", "withdrawn_reason"]
    assert trail()[1:] == [("withdrew", "clients.clearance", fields, "another client’s letter")]


@pytest.mark.parametrize("reason", ["", "  "])
def test_it_is_withdrawn_with_a_reason_and_once(meret: Client, reason: str) -> None:
    row = record(meret, said())
    with pytest.raises(actions.Refused, match="Say what was wrong"):
        actions.withdraw_clearance(by=SYSTEM, clearance=row, reason=reason)
    actions.withdraw_clearance(by=SYSTEM, clearance=row, reason="mistake")
    with pytest.raises(actions.Refused, match="withdrawn already"):
        actions.withdraw_clearance(by=SYSTEM, clearance=row, reason="again")
    assert Clearance.objects.get().withdrawn_reason == "mistake"


def sign(client: Client, code: str = "dizzy", days: int = 0, **values: Any) -> WarningSign:
    return actions.record_warning_sign(
        by=SYSTEM, client=client, code=code, happened_on=d(days), **values
    )


def test_a_sign_puts_her_on_hold_at_once_in_one_entry(meret: Client) -> None:
    record(meret, said())
    row = sign(meret, days=-2, text=" on the stairs ")
    assert (row.code, row.happened_on, row.known_on, row.text) == (
        "dizzy", d(-2), TODAY, "on the stairs",
    )  # fmt: skip
    assert word(meret) is GoAheadWord.ON_HOLD
    fields = ["code", "happened_on", "known_on", "text"]
    assert trail()[1:] == [("recorded", "clients.warningsign", fields, "")]


@pytest.mark.parametrize(
    ("values", "field"),
    [({"code": "moon"}, "code"), ({"code": ""}, "code"), ({"code": "other"}, "text"),
     ({"code": "other", "text": " "}, "text"), ({"days": 1}, "happened_on"),
     ({"days": -41 * 366}, "happened_on")],
)  # fmt: skip
def test_a_sign_that_cannot_be_is_refused(
    meret: Client, values: dict[str, Any], field: str
) -> None:
    with pytest.raises(actions.Refused) as refused:
        sign(meret, **values)
    assert [one.field for one in refused.value.problems] == [field]
    assert (WarningSign.objects.count(), trail()) == (0, [])


@pytest.mark.parametrize("zone", ["Pacific/Auckland", "America/Los_Angeles"])
def test_what_is_recorded_counts_at_once_wherever_it_is_already_tomorrow(
    monkeypatch: pytest.MonkeyPatch, meret: Client, zone: str
) -> None:
    east = {"Pacific/Auckland": d(1), "Europe/Dublin": TODAY, "America/Los_Angeles": d(-1)}
    monkeypatch.setattr(clock, "today", lambda place: east[str(place)])
    Client.objects.update(time_zone=zone)
    meret.refresh_from_db()
    earlier, later = sorted((east[zone], TODAY))
    row = sign(meret, days=(later - TODAY).days)
    assert (row.happened_on, row.known_on) == (later, earlier)
    assert queries.go_ahead_of(meret, on=later).word is GoAheadWord.ON_HOLD
    assert queries.go_ahead_now(meret).word is GoAheadWord.ON_HOLD
    assert queries.words_now()[meret.pk].word is GoAheadWord.ON_HOLD


def test_signs_wait_until_they_are_answered_by_name(meret: Client) -> None:
    first, second = sign(meret, days=-3), sign(meret, "headache", days=-2)
    record(meret, said(-1, answers=(second.pk,)))
    assert [one.pk for one in queries.unanswered_signs(meret, on=TODAY)] == [first.pk]
    record(meret, said(0, answers=(first.pk,)))
    assert queries.unanswered_signs(meret, on=TODAY) == []
    assert word(meret) is GoAheadWord.YES


def test_the_history_comes_latest_first_with_what_was_withdrawn(meret: Client) -> None:
    rows = [record(meret, said(days)) for days in (-30, -5, -20)]
    actions.withdraw_clearance(by=SYSTEM, clearance=rows[1], reason="mistake")
    assert [row.said_on for row in queries.clearances_of(meret)] == [d(-5), d(-20), d(-30)]
    signs = [sign(meret, days=days) for days in (-9, -2)]
    assert queries.signs_of(meret) == signs[::-1]
