"""Letters to clinicians: made, kept, sent, chased, answered; and what stands in the way."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest
from django.conf import settings
from django.test import TestCase

from clients.actions import Refused
from clients.actions.letters import chase, drop_letter, make_letter, mark_answered, mark_sent
from clients.models import Client, LetterOut
from clients.queries.letters import (
    asked_of,
    consented_on,
    letters_of,
    to_chase,
)
from clients.rules.letters import NO_CONSENT
from coach.practice import files
from coach.practice.audit import SYSTEM, Actor
from coach.practice.models import AuditEntry, Practice, StoredFile, User
from tests import factories
from tests import factories_clearance as health
from tests.clients.letters import OFFERS, TODAY, TYPED, consent, letter


@pytest.fixture
def her(practice: Practice) -> Client:
    client = factories.client("Maeve Ashgrove", birth_date=date(1993, 5, 4))
    factories.pregnancy(client, due=date(2027, 2, 21), dated_by="scan")
    return client


def refused(act: Callable[[], Any]) -> list[tuple[str, str]]:
    with pytest.raises(Refused) as found:
        act()
    return [(one.field, one.sentence) for one in found.value.problems]


def trail(verb: str) -> list[list[str]]:
    return [entry.fields for entry in AuditEntry.objects.filter(verb=verb).order_by("pk")]


def test_a_letter_is_kept_sealed_as_the_pdf_it_is(her: Client, owner: User) -> None:
    consent(her)
    made = make_letter(by=Actor(owner), client=her, kind="clearance", typed=TYPED)
    document = made.document
    assert (document.name, document.content_type) == ("clearance-2026-12-03.pdf", "application/pdf")
    assert files.read(document).startswith(b"%PDF-1.4")
    assert files.path_of(document).read_bytes().startswith(b"age-encryption.org/v1\n")
    assert (made.made_on, made.by, made.to_name, made.sent_on, made.chased) == (
        TODAY, owner, "Dr Maura Tansey", None, [],
    )  # fmt: skip
    assert trail("made") == [["document", "kind", "made_on", "to_kind", "to_name"]]


def test_what_the_coach_offers_is_kept_for_the_next_one(her: Client, practice: Practice) -> None:
    letter(her)
    practice.refresh_from_db()
    assert practice.offers == OFFERS
    letter(her)
    assert [fields for fields in trail("changed") if fields == ["offers"]] == [["offers"]]


def test_of_a_quiet_client_it_is_not(her: Client, practice: Practice) -> None:
    her.quiet = True
    her.save()
    letter(her)
    practice.refresh_from_db()
    assert practice.offers == ""


def test_a_quiet_client_s_letter_refuses_words_that_say_too_much(her: Client) -> None:
    her.quiet = True
    her.save()
    typed = replace(TYPED, offers="For pregnancy", asks="About the birth", seen="dizzy")
    found = refused(lambda: make_letter(by=SYSTEM, client=her, kind="referral", typed=typed,
                                        by_herself=True))  # fmt: skip
    assert [field for field, _ in found] == ["offers", "asks"]
    assert (LetterOut.objects.count(), StoredFile.objects.count()) == (0, 0)


@pytest.mark.parametrize(
    "given",
    [None, {"purpose": "email"}, {"withdrawn_at": datetime(2026, 11, 30, tzinfo=UTC)}],
    ids=["none", "another purpose", "taken back"],
)
def test_without_her_consent_she_hands_it_over_or_there_is_none(
    her: Client, given: dict[str, Any] | None
) -> None:
    if given is not None:
        consent(her, **given)
    assert consented_on(her) is None
    act = lambda: make_letter(by=SYSTEM, client=her, kind="clearance", typed=TYPED)  # noqa: E731
    assert refused(act) == [("by_herself", NO_CONSENT)]
    assert list(settings.FILES.glob("*")) == []
    assert letter(her).pk == LetterOut.objects.get().pk


def test_the_latest_consent_counts_and_has_the_day_of_the_practice(her: Client) -> None:
    consent(her, withdrawn_at=datetime(2026, 11, 30, tzinfo=UTC))
    consent(her, given_at=datetime(2026, 7, 1, 23, 30, tzinfo=UTC))
    assert consented_on(her) == date(2026, 7, 2)  # half past midnight in Dublin


def test_it_names_what_is_open_and_what_is_limited(her: Client) -> None:
    sign = health.sign(her, date(2026, 12, 1), code="dizzy")
    health.sign(her, date(2026, 11, 1), code="headache", withdrawn_on=date(2026, 11, 1))
    asked = asked_of(her, today=TODAY)
    assert [one.pk for one in asked.signs] == [sign.pk]
    assert asked.named == ("Dizzy or faint, 1 December 2026",)
    assert (asked.held, [one.pk for one in asked.told]) == (True, [sign.pk])


def test_sent_chased_and_answered(her: Client) -> None:
    consent(her)
    made = letter(her, made_on=date(2026, 11, 20))
    mark_sent(by=SYSTEM, letter=made, on=date(2026, 11, 21), how="post")
    chase(by=SYSTEM, letter=made, on=date(2026, 12, 1))
    chase(by=SYSTEM, letter=made, on=date(2026, 11, 28))
    said = health.clearance(her, date(2026, 12, 2))
    mark_answered(by=SYSTEM, letter=made, on=date(2026, 12, 2), clearance=said)
    made.refresh_from_db()
    assert (made.sent_how, made.chased, made.clearance) == (
        "post", ["2026-11-28", "2026-12-01"], said,
    )  # fmt: skip
    assert [trail(verb) for verb in ("sent", "chased", "answered")] == [
        [["sent_how", "sent_on"]], [["chased"], ["chased"]], [["answered_on", "clearance"]],
    ]  # fmt: skip
    (line,) = letters_of(her, today=TODAY)
    assert (line.to, line.notes) == (
        "Dr Maura Tansey, obstetrician",
        ("Sent on 21 November 2026, by post.",
         "Asked again on 28 November 2026, 1 December 2026.", "Answered on 2 December 2026."),
    )  # fmt: skip


def test_it_goes_by_no_other_way_once_she_has_taken_her_consent_back(her: Client) -> None:
    given = consent(her)
    made = letter(her)
    given.withdrawn_at = datetime(2026, 12, 2, tzinfo=UTC)
    given.save()
    act = lambda: mark_sent(by=SYSTEM, letter=made, on=TODAY, how="email")  # noqa: E731
    assert refused(act) == [("sent_how", NO_CONSENT)]
    assert mark_sent(by=SYSTEM, letter=made, on=TODAY, how="herself").sent_on == TODAY


def test_another_client_s_clearance_is_no_answer(her: Client) -> None:
    made, other = letter(her, sent_on=TODAY), health.clearance(factories.client(), TODAY)
    act = lambda: mark_answered(by=SYSTEM, letter=made, on=TODAY, clearance=other)  # noqa: E731
    assert [field for field, _ in refused(act)] == ["clearance"]
    made.refresh_from_db()
    assert made.answered_on is None


def test_one_that_never_went_out_can_be_thrown_away_with_its_file(her: Client) -> None:
    made = letter(her)
    path = files.path_of(made.document)
    with TestCase.captureOnCommitCallbacks(execute=True):
        drop_letter(by=SYSTEM, letter=made)
    assert (LetterOut.objects.count(), StoredFile.objects.count(), path.exists()) == (0, 0, False)
    assert trail("dropped") == [["document"]]


def test_one_that_went_out_stays(her: Client) -> None:
    made = letter(her, sent_on=TODAY)
    assert refused(lambda: drop_letter(by=SYSTEM, letter=made)) == [
        ("", "It has gone out: it stays.")
    ]
    assert LetterOut.objects.count() == 1


def test_today_asks_for_what_waits_for_a_week(her: Client, django_assert_num_queries: Any) -> None:
    other = factories.client("Ada Quill", standing="former")
    late = letter(her, sent_on=date(2026, 11, 26))
    later = letter(other, sent_on=date(2026, 11, 10), chased=["2026-11-20"])
    letter(her, sent_on=date(2026, 11, 27))
    letter(her, sent_on=date(2026, 11, 1), answered_on=date(2026, 11, 3))
    letter(her, sent_on=date(2026, 11, 1), chased=["2026-12-01"])
    letter(her)
    with django_assert_num_queries(1):
        found = to_chase(TODAY)
    assert [(one.client_name, one.letter, one.since) for one in found] == [
        ("Ada Quill", later.pk, date(2026, 11, 20)),
        ("Maeve Ashgrove", late.pk, date(2026, 11, 26)),
    ]


def test_a_letter_that_cannot_be_kept_leaves_no_file(
    her: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: Any, **__: Any) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(LetterOut, "save", fails)
    with pytest.raises(ZeroDivisionError):
        letter(her)
    assert (StoredFile.objects.count(), list(settings.FILES.glob("*"))) == (0, [])
