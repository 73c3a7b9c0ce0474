"""Conditions that a clinician named: kept, answered by name, over."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from clients import actions, queries
from clients.models import Client, Condition
from clients.rules.facts import ClearanceFact, ClearanceWord, KnownBy
from clients.rules.go_ahead import open_conditions
from clients.rules.words import NEVER_IF_QUIET
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry
from coach.scheduling.values import GoAheadWord, Limits
from tests import factories, factories_clearance
from tests.clients.answering import screen

TODAY = date(2026, 12, 3)
HOLD, WAITING, YES = GoAheadWord.ON_HOLD, GoAheadWord.WAITING, GoAheadWord.YES


def d(days: int) -> date:
    return TODAY + timedelta(days=days)


def trail() -> list[tuple[str, str, list[str]]]:
    return [(e.verb, e.subject_kind, e.fields) for e in AuditEntry.objects.order_by("pk")]


def word(client: Client) -> GoAheadWord:
    found = queries.go_ahead_now(client).word
    assert queries.words_now()[client.pk].word is found
    return found


@pytest.fixture
def meret(practice: Any) -> Client:
    """28 weeks and 4 days, with a letter and a screening."""
    client = factories.client("Meret A.")
    factories.pregnancy(client, due=d(80), known_on=d(-60))
    factories_clearance.clearance(client, d(-9))
    screen(client, d(-9))
    return client


def name(client: Client, code: str = "preeclampsia", days: int = -2, **values: Any) -> Condition:
    given = {"clinician": "Dr Imelda Roe", **values}
    return actions.name_condition(by=SYSTEM, client=client, code=code, named_on=d(days), **given)


def test_it_acts_at_once_and_is_kept_with_who_named_it(meret: Client) -> None:
    assert word(meret) is YES
    row = name(meret, text=" since Monday ", clinician=" Dr Imelda Roe ")
    assert (row.code, row.text, row.clinician, row.origin, row.answer) == (
        "preeclampsia", "since Monday", "Dr Imelda Roe", "clinician", "yes",
    )  # fmt: skip
    assert (row.named_on, row.known_on, row.pregnancy) == (d(-2), TODAY, meret.pregnancies.get())
    assert word(meret) is HOLD
    fields = ["clinician", "code", "known_on", "named_on", "text"]
    assert trail()[-1] == ("recorded", "clients.condition", fields)


REFUSED: list[tuple[dict[str, Any], str]] = [
    ({"code": "moon"}, "code"),
    ({"code": "blood"}, "code"),
    ({"code": "medical"}, "text"),
    ({"days": 1}, "named_on"),
    ({"days": -41 * 366}, "named_on"),
    ({"clinician": " "}, "clinician"),
]


@pytest.mark.parametrize(("values", "field"), REFUSED)
def test_what_cannot_be_is_refused(meret: Client, values: dict[str, Any], field: str) -> None:
    before = len(trail())
    with pytest.raises(actions.Refused) as refused:
        name(meret, **values)
    assert [one.field for one in refused.value.problems] == [field]
    assert [w for w in NEVER_IF_QUIET if w in str(refused.value).lower()] == []
    assert (Condition.objects.count(), len(trail())) == (0, before)


def answer(client: Client, key: str, days: int = -1, **values: Any) -> Any:
    facts = ClearanceFact(
        said_on=d(days), answers_conditions=(key,), clinician="Imelda Roe", **values
    )
    return actions.record_clearance(by=SYSTEM, client=client, facts=facts)


def test_a_clinician_answers_it_by_name(meret: Client) -> None:
    row = name(meret)
    answer(meret, queries.condition_key(row.pk))
    assert word(meret).may_train
    assert open_conditions(queries.facts_for(meret), TODAY) == []


@pytest.mark.parametrize(
    "values",
    [{"known_by": KnownBy.CLIENT}, {"word": ClearanceWord.AGAINST}, {"days": -3}, {"key": "x:1"}],
)
def test_nothing_else_answers_it(meret: Client, values: dict[str, Any]) -> None:
    row = name(meret)
    given = {"key": queries.condition_key(row.pk), **values}
    with pytest.raises(actions.Refused) as refused:
        answer(meret, given.pop("key"), **given)
    assert [one.field for one in refused.value.problems] == ["answers_conditions"]
    assert word(meret) is HOLD


def test_one_of_somebody_else_is_not_answered(meret: Client) -> None:
    other = name(factories.client())
    with pytest.raises(actions.Refused, match="none of what is recorded of her"):
        answer(meret, queries.condition_key(other.pk))


def test_how_many_are_expected_is_answered_by_its_own_key(meret: Client) -> None:
    pregnancy = meret.pregnancies.get()
    facts = queries.facts_of(pregnancy)
    actions.change_pregnancy(
        by=SYSTEM, pregnancy=pregnancy, facts=type(facts)(due=facts.due, expected=2)
    )
    assert word(meret) is WAITING
    answer(meret, f"number:{pregnancy.pk}", days=0)
    assert word(meret).may_train


def test_over_as_a_clinician_said_from_that_day_on(meret: Client) -> None:
    row = name(meret)
    actions.end_condition(by=SYSTEM, condition=row, over_on=TODAY, said_by=" Dr Penn ")
    kept = Condition.objects.get()
    assert (kept.over_on, kept.over_known_on, kept.over_said_by) == (TODAY, TODAY, "Dr Penn")
    assert word(meret) is YES
    assert trail()[-1] == (
        "recorded the end of", "clients.condition", ["over_known_on", "over_on", "over_said_by"],
    )  # fmt: skip


@pytest.mark.parametrize(
    ("values", "field"),
    [({"over_on": d(1)}, "over_on"), ({"over_on": d(-3)}, "over_on"), ({"said_by": ""}, "said_by")],
)
def test_an_end_that_cannot_be_is_refused(
    meret: Client, values: dict[str, Any], field: str
) -> None:
    row = name(meret)
    given = {"over_on": TODAY, "said_by": "Dr Penn", **values}
    with pytest.raises(actions.Refused) as refused:
        actions.end_condition(by=SYSTEM, condition=row, **given)
    assert [one.field for one in refused.value.problems] == [field]
    assert word(meret) is HOLD


def test_it_ends_once(meret: Client) -> None:
    row = name(meret)
    actions.end_condition(by=SYSTEM, condition=row, over_on=TODAY, said_by="Dr Penn")
    with pytest.raises(actions.Refused, match="recorded already"):
        actions.end_condition(by=SYSTEM, condition=row, over_on=d(-1), said_by="Dr Penn")


LIMITED = {"word": ClearanceWord.LIMITS, "limits": Limits(no_impact=True)}


def letter(client: Client, days: int, **values: Any) -> Any:
    facts = ClearanceFact(said_on=d(days), **{"clinician": "Imelda Roe", **values})
    return actions.record_clearance(by=SYSTEM, client=client, facts=facts)


def test_limits_go_when_a_letter_takes_their_place_and_come_back_with_them(meret: Client) -> None:
    first = letter(meret, -5, **LIMITED)
    letter(meret, -4)
    assert queries.go_ahead_now(meret).limits == Limits(no_impact=True)
    second = letter(meret, -3, replaces=(first.pk,))
    assert queries.go_ahead_now(meret).limits == Limits()
    actions.withdraw_clearance(by=SYSTEM, clearance=second, reason="another client’s")
    assert queries.go_ahead_now(meret).limits == Limits(no_impact=True)


@pytest.mark.parametrize(
    "values", [{"known_by": KnownBy.CLIENT}, {"days": -6}, {"replaces": (999,)}]
)
def test_only_a_clinicians_later_word_takes_the_place_of_one_of_hers(
    meret: Client, values: dict[str, Any]
) -> None:
    first = letter(meret, -5, **LIMITED)
    given = {"days": -3, "replaces": (first.pk,), **values}
    with pytest.raises(actions.Refused) as refused:
        letter(meret, given.pop("days"), **given)
    assert [one.field for one in refused.value.problems] == ["replaces"]


def test_who_handed_it_over_is_kept(meret: Client) -> None:
    facts = ClearanceFact(d(-4), clinician="Imelda Roe", examined="yes", names_more=True)
    row = actions.record_clearance(by=SYSTEM, client=meret, facts=facts, origin=" Bo Lind, coach ")
    row.refresh_from_db()
    assert (row.origin, row.names_more) == ("Bo Lind, coach", True)
    assert trail()[-1][2] == [
        "clinician", "examined", "known_by", "known_on", "names_more", "origin", "said_on", "word",
    ]  # fmt: skip
