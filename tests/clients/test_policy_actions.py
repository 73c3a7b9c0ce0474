"""The practice's policy: from a day on, never for the past; and sessions trained by exception."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from clients import actions, queries
from clients.models import Client, GoAheadPolicy, SessionException
from clients.rules.policy import policy
from coach import clock
from coach.practice.audit import SYSTEM, Actor
from coach.practice.models import AuditEntry, User
from coach.scheduling.values import GoAheadWord
from tests import factories, factories_clearance
from tests.clients.answering import screen

TODAY = date(2026, 12, 3)
YES, RUN_OUT, WAITING = GoAheadWord.YES, GoAheadWord.RUN_OUT, GoAheadWord.WAITING


def d(days: int) -> date:
    return TODAY + timedelta(days=days)


def trail() -> list[tuple[str, str, list[str], str]]:
    return [(e.verb, e.subject_kind, e.fields, e.reason) for e in AuditEntry.objects.order_by("pk")]


def decide(begins: date | None = None, reason: str = "as agreed", **values: Any) -> GoAheadPolicy:
    return actions.change_policy(by=SYSTEM, values=values, reason=reason, begins=begins)


def words(client: Client, *days: int) -> list[GoAheadWord]:
    """Worked out and stored, which are the same."""
    found = [queries.go_ahead_of(client, on=d(n)).word for n in days]
    assert [queries.words_on(d(n))[client.pk].word for n in days] == found
    assert queries.spans_as_the_facts_say() == []
    return found


@pytest.fixture
def meret(practice: Any) -> Client:
    """Pregnant; a letter of 60 days ago and a screening of 20."""
    client = factories.client("Meret A.")
    factories.pregnancy(client, due=d(80), known_on=d(-100))
    factories_clearance.clearance(client, d(-60))
    factories_clearance.screening(client, d(-20))
    return client


def test_a_day_is_judged_by_the_policy_of_that_day(meret: Client) -> None:
    assert words(meret, -1, 0, 24, 25) == [YES, YES, YES, RUN_OUT]
    row = decide(letter_counts_weeks=8)
    assert (row.begins, row.values, row.reason) == (TODAY, {"letter_counts_weeks": 8}, "as agreed")
    assert words(meret, -1, 0, 24, 25) == [YES, RUN_OUT, RUN_OUT, RUN_OUT]
    assert trail() == [("changed", "clients.goaheadpolicy", ["letter_counts_weeks"], "as agreed")]


def test_it_can_begin_on_a_day_to_come(meret: Client) -> None:
    decide(begins=d(3), letter_counts_weeks=8)
    assert words(meret, 0, 2, 3) == [YES, YES, RUN_OUT]


def test_a_later_policy_takes_the_place_of_an_earlier_one_whole(
    meret: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    decide(letter_counts_weeks=8, gentle_weeks=8)
    monkeypatch.setenv("COACH_TODAY", d(2).isoformat())
    decide(gentle_weeks=8)
    assert words(meret, -1, 0, 1, 2) == [YES, RUN_OUT, RUN_OUT, YES]
    assert queries.policies().on(d(2)).gentle_weeks == 8


def test_twice_on_one_day_is_one_policy_and_two_entries(meret: Client, owner: User) -> None:
    decide(letter_counts_weeks=8)
    actions.change_policy(
        by=Actor(owner), values={"off": ["screening"]}, reason=" another thought "
    )
    row = GoAheadPolicy.objects.get()
    assert (row.values, row.reason, row.by) == ({"off": ["screening"]}, "another thought", owner)
    assert words(meret, -1, 0) == [YES, YES]
    assert [(fields, reason) for _, _, fields, reason in trail()] == [
        (["letter_counts_weeks"], "as agreed"),
        (["letter_counts_weeks", "off"], "another thought"),
    ]


def test_what_is_as_in_the_data_is_not_stored(meret: Client) -> None:
    row = decide(letter_counts_weeks=policy().letter_counts_weeks, gentle_weeks=7, off=[])
    assert row.values == {"gentle_weeks": 7}


def test_what_is_switched_off_is_said_with_every_word(meret: Client) -> None:
    decide(off=["screening"])
    found = queries.go_ahead_now(meret)
    assert found.unchecked == ("answers to health questions",)
    assert "not-checked" in [one.kind for one in found.reasons]
    assert queries.go_ahead_of(meret, on=d(-1)).unchecked == ()


REFUSED: list[tuple[dict[str, Any], list[str]]] = [
    ({"letter_counts_weeks": 0}, ["letter_counts_weeks"]),
    ({"letter_counts_weeks": 105}, ["letter_counts_weeks"]),
    ({"letter_counts_weeks": 7.5}, ["letter_counts_weeks"]),
    ({"letter_counts_weeks": "8"}, ["letter_counts_weeks"]),
    ({"past_due_days": 280}, ["past_due_days"]),
    ({"past_due_days": 295}, ["past_due_days"]),
    ({"letter_wanted_weeks": 51}, ["letter_wanted_weeks"]),
    ({"past_due_days": "late"}, ["past_due_days"]),
    ({"screening_suffices": "yes"}, ["screening_suffices"]),
    ({"off": ["sign"]}, ["off"]),
    ({"off": ["against"]}, ["off"]),
    ({"off": ["no-letter"]}, ["off"]),
    ({"moon": 1}, [""]),
    ({"gentle_weeks": 7, "begins": d(-1)}, ["begins"]),
    ({"gentle_weeks": 7, "reason": "  "}, ["reason"]),
    ({"gentle_weeks": 6}, [""]),
    ({"gentle_weeks": 0, "letter_counts_weeks": 0, "reason": ""},
     ["gentle_weeks", "letter_counts_weeks", "reason"]),
]  # fmt: skip


@pytest.mark.parametrize(("values", "fields"), REFUSED)
def test_a_policy_that_cannot_be_is_refused_beside_its_field(
    meret: Client, values: dict[str, Any], fields: list[str]
) -> None:
    with pytest.raises(actions.Refused) as refused:
        decide(**values)
    assert [one.field for one in refused.value.problems] == fields
    assert (GoAheadPolicy.objects.count(), trail(), words(meret, 0)) == (0, [], [YES])


def test_today_is_where_the_coach_is(meret: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    dates = {"Europe/Dublin": TODAY, "Pacific/Auckland": d(1)}
    Client.objects.update(time_zone="Pacific/Auckland")
    monkeypatch.setattr(clock, "today", lambda zone: dates[str(zone)])
    assert decide(gentle_weeks=7).begins == TODAY


# Trained by exception


def train(client: Client, reason: str = "the letter is in the post") -> SessionException:
    return actions.train_by_exception(by=SYSTEM, client=client, reason=reason)


def run_out(client: Client) -> None:
    decide(letter_counts_weeks=8)
    assert queries.go_ahead_now(client).word is RUN_OUT


def test_stale_paperwork_can_be_trained_over_for_today_and_the_word_stays(meret: Client) -> None:
    run_out(meret)
    row = train(meret)
    assert (row.day, row.reason, row.over) == (TODAY, "the letter is in the post", ["policy-end"])
    assert queries.go_ahead_now(meret).word is RUN_OUT
    assert (queries.exception_on(meret, TODAY), queries.exception_on(meret, d(1))) == (row, None)
    assert trail()[-1] == (
        "trained by exception", "clients.sessionexception", ["day", "over", "reason"], "",
    )  # fmt: skip


def test_old_answers_are_stale_paperwork_too(meret: Client) -> None:
    decide(screening_counts_weeks=2)
    assert train(meret).over == ["screening-old"]


def test_it_needs_a_reason_and_is_made_once_a_day(
    meret: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    run_out(meret)
    with pytest.raises(actions.Refused, match="Say why"):
        train(meret, " ")
    train(meret)
    with pytest.raises(actions.Refused, match="there is one already"):
        train(meret)
    monkeypatch.setenv("COACH_TODAY", d(1).isoformat())
    train(meret)
    assert [row.day for row in queries.exceptions_of(meret)] == [d(1), TODAY]


def _sign(client: Client) -> None:
    factories_clearance.sign(client, TODAY)


def _no(client: Client) -> None:
    factories_clearance.clearance(client, TODAY, word="against")


def _stop(client: Client) -> None:
    screen(client, TODAY, heart="yes")


def _held(client: Client) -> None:
    screen(client, TODAY, anaemia="yes")


def _unknown(client: Client) -> None:
    client.pregnancies.update(due=None)


@pytest.mark.parametrize("make", [_sign, _no, _stop, _held, _unknown])
def test_never_over_anything_but_stale_paperwork(meret: Client, make: Any) -> None:
    run_out(meret)
    make(meret)
    with pytest.raises(actions.Refused, match="only where a letter or the screening has run out"):
        train(meret)
    assert SessionException.objects.count() == 0


def test_never_over_what_was_never_there_and_not_where_nothing_is_in_the_way(
    meret: Client,
) -> None:
    other = factories.client()
    factories.pregnancy(other, due=d(80))
    for client in (meret, other):
        with pytest.raises(actions.Refused):
            train(client)
    assert SessionException.objects.count() == 0
